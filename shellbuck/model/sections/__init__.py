"""Cross-sections of ribs: one module each, found here by the word of a case file."""

from __future__ import annotations

from dataclasses import MISSING, Field, fields
from typing import Any

from ..checked import declared
from .blade import Blade
from .bulb import Bulb
from .given import GivenSection
from .hat import Hat
from .section import Element, Section
from .webbed import Angle, IBeam, Tee, Zee

SECTIONS: dict[str, type[Section]] = {cls.name: cls for cls in (Blade, Tee, Angle, Zee, Hat, IBeam, Bulb, GivenSection)}


def keys_of(section: str, *, needed: bool = False) -> list[str]:
    """Keys of a section; of those it cannot do without, if `needed`."""
    return [f.name for f in fields(SECTIONS[section]) if not (needed and _optional(f))]


def _optional(f: Field) -> bool:
    return f.default is not MISSING


def section_keys() -> dict[str, Any]:
    """Key -> declaration of every key that some section has; needed ones first, each optional."""
    found: dict[str, Any] = {}
    for optional in (False, True):
        for cls in SECTIONS.values():
            found |= {
                f.name: declared(cls)[f.name] | None
                for f in fields(cls)
                if _optional(f) is optional and f.name not in found
            }
    return found


__all__ = [
    "SECTIONS",
    "Angle",
    "Blade",
    "Bulb",
    "Element",
    "GivenSection",
    "Hat",
    "IBeam",
    "Section",
    "Tee",
    "Zee",
    "keys_of",
    "section_keys",
]
