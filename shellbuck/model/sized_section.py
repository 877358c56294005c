"""Which section a sizing builds its stringers or rings of; it finds the dimensions itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from ..core.errors import Problem
from .checked import Checked
from .sections import SECTIONS, Section, keys_of
from .sections.web import Attached, Joint

_SIZED = tuple(name for name in SECTIONS if name != "given")

if TYPE_CHECKING:
    SizedName = str
else:
    SizedName = Literal[_SIZED]


@dataclass(frozen=True)
class SizedSection(Checked):
    """What a sizing makes stringers or rings of.

    Parameters
    ----------
    section : {"blade", "tee", "angle", "zee", "hat", "i", "bulb"}
        Its dimensions are what the sizing finds.
    joint : {"integral", "riveted", "welded"} or None
        How it is joined to the skin; needed by every section but a blade.
    attached : {"web", "flange"} or None
        What of a tee or an angle is on the skin; needed by these alone.
    own_thicknesses : bool
        Flange and foot have thicknesses of their own; otherwise they have the web's, as a bent sheet has.
    """

    section: SizedName = "blade"
    joint: Joint | None = None
    attached: Attached | None = None
    own_thicknesses: bool = False

    def cross_problems(self) -> Iterator[Problem]:
        needed, known = keys_of(self.section, needed=True), keys_of(self.section)
        for key in ("joint", "attached"):
            given = getattr(self, key) is not None
            if key in needed and not given:
                yield Problem("value-missing", f"a {self.section} section needs it", key, way_out=f"give {key}")
            elif given and key not in known:
                yield Problem(
                    "value-foreign", f"does not belong to a {self.section} section", key, way_out=f"drop {key}"
                )
        if self.own_thicknesses and not self._further:
            what = f"a {self.section} section has one thickness"
            yield Problem("value-foreign", what, "own_thicknesses", way_out="drop own_thicknesses")
        if self.joint == "riveted" and (self.attached == "web" or self.section == "bulb"):
            yield Problem(
                "section-shape",
                "the edge of a web cannot be riveted to the skin",
                "joint",
                self.joint,
                "integral, welded",
                "a riveted section needs a foot",
            )

    @property
    def _further(self) -> tuple[str, ...]:
        return tuple(key for key in keys_of(self.section) if key.endswith("_thickness"))

    @property
    def kind(self) -> type[Section]:
        """The section."""
        return SECTIONS[self.section]

    @property
    def chosen(self) -> tuple[str, ...]:
        """Keys of the dimensions that are chosen: all it needs, and the thicknesses it may have besides."""
        needed = (key for key in keys_of(self.section, needed=True) if key not in ("joint", "attached"))
        return *needed, *(self._further if self.own_thicknesses else ())

    @property
    def fixed(self) -> dict[str, Any]:
        """Keys that are given, beside the name of the section."""
        return {key: getattr(self, key) for key in ("joint", "attached") if getattr(self, key) is not None}

    @property
    def words(self) -> str:
        """Such as "hat, riveted"."""
        attached = f"{self.attached} on the skin" if self.attached else ""
        return ", ".join(word for word in (self.section, attached, self.joint) if word)


BLADES = SizedSection()
"""Where a file says nothing."""
