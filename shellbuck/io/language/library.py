"""The built-in metals: typical values, not allowables, each with its standing."""

from __future__ import annotations

import difflib
from dataclasses import replace
from functools import cache
from importlib.resources import files

from ...core.errors import Refusal
from ...model import Material
from .schema import read_table
from .toml_text import toml_tables


@cache
def _library() -> dict[str, Material]:
    text = files("shellbuck.io").joinpath("data/materials.toml").read_text(encoding="utf-8")
    metals = {}
    for entry in toml_tables(text)["materials"]:
        standings = tuple(entry.pop("standings").items())
        metal = read_table(Material, entry, entry["name"])
        metals[metal.name] = replace(metal, library=True, standings=standings)
    return metals


def material_names() -> tuple[str, ...]:
    """Names of the library's metals."""
    return tuple(_library())


def material(name: str) -> Material:
    """A metal of the library by its name (letter case and blanks do not matter).

    Raises
    ------
    Refusal
        When there is no such metal; the message names the nearest.

    Examples
    --------
    >>> material("2219-t87").points[0].youngs_modulus
    73100000000.0
    """
    plain = {n.lower().replace(" ", ""): m for n, m in _library().items()}
    found = plain.get(str(name).lower().replace(" ", ""))
    if found is not None:
        return found
    near = difflib.get_close_matches(str(name), _library(), 1, 0.4)
    what = "no such metal in the library"
    way_out = (f"did you mean {near[0]}? " if near else "") + "or give an own material with its source"
    raise Refusal.of("material-unknown", what, "", repr(name)[:60], ", ".join(_library()), way_out)
