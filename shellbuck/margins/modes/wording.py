"""What the stories of several stability modes share."""

from __future__ import annotations

from ...core.records import Beside, Check, Load
from ...model.walls import SmearedWall
from ..findings import Story
from ..state import State

NO_COMPRESSION = "the wall carries no compression"
WITHHELD = "loads on unbuckled stiffness do not hold after that"
LOW_WAVES = 4
"""Up to this many waves around Donnell's theory is poor (SP-8007 Rev 2, 4.1.2.1)."""


def loads_beside(loads: tuple[Load, ...]) -> tuple[Beside, ...]:
    """Computed loads with their waves, beside the official one."""
    return tuple(Beside(load.name, load.line_load, waves_of(load)) for load in loads)


def waves_of(load: Load, *, pair: bool = True) -> str:
    """Waves of a mode; of one that is no single sine along the axis those around alone."""
    if load.m is None:
        return f"n = {load.n}"
    return f"(m, n) = ({load.m}, {load.n})" if pair else f"m = {load.m}, n = {load.n}"


def withheld_story(s: State, title: str, wall: SmearedWall, length: float) -> Story:
    """A withheld row; where the case asks for them with the loads on unbuckled stiffness beside it, which are no
    allowable: the skin between ribs buckles first."""
    from .skin_field import name_of

    why = f"withheld: the {name_of(s)} buckles below the ultimate line load, and {WITHHELD}"
    if s.case.policy.withheld_loads is None:
        return Story(dict(note=why))
    beside = tuple(
        Beside(
            f"{load.name}, on unbuckled stiffness",
            load.line_load,
            f"(m, n) = ({load.m}, {load.n}); no allowable: the skin between ribs buckles first",
        )
        for load in s.engines.lowest(wall, length, title).pair
    )
    return Story(dict(note=why, beside=beside))


def waves_check(s: State, title: str, load: Load) -> Check:
    """Whether few waves around govern, where Donnell's theory is poor."""
    if load.n > LOW_WAVES:
        return Check("low-wave-number", "passed", f"{title}: n = {load.n} governs, above {LOW_WAVES}", s.load.name)
    return Check(
        "low-wave-number",
        "warned",
        f"{title}: n = {load.n} governs; Donnell's theory is 10 to 40 % off for n up to {LOW_WAVES}, the Sanders load "
        "stands beside it and the lower counts",
        s.load.name,
        "NASA SP-8007 Rev 2, 4.1.2.1",
    )


def joined(*notes: str) -> str:
    """Notes that are there, in one line."""
    return "; ".join(note for note in notes if note)
