"""A bare sheet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar, Literal

from .. import shop
from ..shop import Pattern
from .wall import Wall


@dataclass(frozen=True)
class PlainWall(Wall):
    """Bare sheet."""

    plain: ClassVar[bool] = True
    kind: Literal["plain"] = "plain"

    @classmethod
    def patterns(cls) -> tuple[Pattern, ...]:
        bare = Pattern(
            "plain",
            "plain sheet, no credit for pressure",
            "sheet",
            variables=lambda s: (shop.skin(s.limits, False),),
            wall=lambda _s, _v, _w: cls(),
            bounds=lambda _s, _v: [],
            group="plain sheet without credit for pressure",
            compared=True,
            credits_pressure=False,
        )
        kept = replace(
            bare,
            name="plain-pressurised",
            title="plain sheet, pressure-stabilised",
            group="pressure-stabilised sheet",
            pressurised=True,
            credits_pressure=True,
        )
        return bare, kept
