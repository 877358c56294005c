"""The pydantic tables of `schema.py` in a JSON schema: a quantity is text with a unit."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from pydantic import WithJsonSchema

from ...model import FACTOR_SETS
from ...model.checked import SI_UNIT, Matrix, Quantity, Text, Whole
from .units import example


def shown_quantity(mark: Quantity) -> WithJsonSchema:
    """A number with its range, or a text with a unit, the range in words."""
    low, high = (x if math.isfinite(x) else None for x in (mark.low, mark.high))
    if mark.kind == "number":
        ends = {key: x for key, x in (("minimum", low), ("maximum", high)) if x is not None}
        return WithJsonSchema({"type": ["number", "string"], **ends})
    unit = SI_UNIT[mark.kind].replace(" ", "*")
    limits = "" if low is None and high is None else f", {mark.low:g} to {mark.high:g} {unit}"
    shown = example(mark.kind, mark.low)
    words = "".join(f', or "{word}"' for word in mark.words)
    return WithJsonSchema(
        {
            "type": "string",
            "minLength": 2,
            "description": f"{mark.kind} with its unit{limits}, for example {shown}{words}",
        }
    )


def shown_whole(mark: Whole) -> WithJsonSchema:
    """A whole number with its range."""
    return WithJsonSchema({"type": "integer", "minimum": mark.low, "maximum": mark.high})


def shown_text(mark: Text) -> WithJsonSchema:
    """A text; an empty one where it may be."""
    return WithJsonSchema({"type": "string", "maxLength": mark.longest, **({"minLength": 1} if mark.required else {})})


def shown_matrix(mark: Matrix) -> WithJsonSchema:
    """Three rows of three numbers with their unit."""
    row = {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3}
    rows = {"type": "array", "items": row, "minItems": 3, "maxItems": 3}
    unit = {"type": "string", "description": f"unit of a {mark.kind}"}
    return WithJsonSchema(
        {
            "type": "object",
            "properties": {"unit": unit, "rows": rows},
            "required": ["unit", "rows"],
            "additionalProperties": False,
        }
    )


class OrElse:
    """Beside the table of a class, a short form that the reader takes too."""

    def __init__(self, *forms: dict[str, Any]):
        self.forms = forms

    def __get_pydantic_json_schema__(self, core: Any, handler: Callable[[Any], dict[str, Any]]) -> dict[str, Any]:
        return {"anyOf": [*self.forms, handler(core)]}


OR_NAMED_FACTORS = OrElse({"enum": list(FACTOR_SETS)})
OR_NAMED_METAL = OrElse(
    {"type": "string", "description": "name of a library metal"},
    {
        "type": "object",
        "properties": {
            "name": {"type": "string"},
            "clamp_below_range": {"type": "boolean"},
            "hardening_exponent": {"type": ["number", "string"], "minimum": 2.0, "maximum": 60.0},
            "hardening_source": {"type": "string", "maxLength": 300},
            "compression_yield": {"type": "string", "description": 'stress with its unit, or "as tension"'},
        },
        "required": ["name"],
        "additionalProperties": False,
    },
)
