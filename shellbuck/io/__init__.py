"""Plain data in and out: units, case files, the material library, results as JSON."""

from .language.case_file import CaseFile, case_from_text, read_case
from .language.library import material, material_names
from .results import refusal_object, result_object

__all__ = ["CaseFile", "case_from_text", "material", "material_names", "read_case", "refusal_object", "result_object"]
