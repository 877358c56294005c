"""The meshes with ribs of a barrel, and the proof that no wave around was missed."""

from __future__ import annotations

from dataclasses import replace

from ...core.errors import Refusal
from ...core.records import Finding
from .. import fe
from ..fe.energy import energy_shares
from ..fe.repeating import fields_of
from .harmonics import lower_harmonics
from .meshing import Part, bay_of
from .repeating import repeating_words
from .solving import Solved, Solving


def with_ribs(
    solving: Solving, parts: list[Part], ribs: bool, waves: tuple[int, ...], most: int
) -> tuple[list[Solved], Finding]:
    """The meshes with ribs from coarse to fine, and what is known of the waves that they do not hold.

    A part between mirror planes holds the n that are multiples of a number. One bay with the same elements counts all
    others below what is reported; where something lower shows, that bay is solved in place of the part.
    """
    words = "mesh with ribs"
    found = solving.all(words, parts)
    part = found[-1].part
    if part.harmonics:
        found[-1] = _with_a_general_mode(found[-1])
        return found, uncounted(0, repeating_words(found[-1]))
    if part.multiple == 1:
        return found, uncounted(0, "the mesh holds every n")
    only = f"the meshed part holds waves whose n is a multiple of {part.multiple}"
    if not ribs:
        return found, uncounted(0, f"{only}; without ribs n do not mix, and Ritz has solved the others")
    bays = part.bays // 2 + 1
    others = bays - len(range(0, bays, part.multiple))
    try:
        bay = bay_of(solving.shape, part, waves, most)
        fe.refuse_loose(*solving.edges)
    except Refusal as refusal:
        text = f"{only}; {others} other harmonics were not counted: {refusal.problems[0].sentence()}"
        return found, uncounted(others, text)
    bar = _reported(found[-1])
    solving.progress(f"counting one bay below {bar:.4g}: {bay.plan.size}")
    lower, counted = lower_harmonics(
        solving.bay(bay), bay.angle, bar, lambda k: k % part.multiple == 0, lambda text: solving.progress(f"  {text}")
    )
    if not lower:
        which = "lowest general mode" if _general(found[-1], 0) is not None else "last mode listed"
        return found, uncounted(0, f"{only}; in the {counted} other harmonics none lies below the {which}, by counts")
    bay_parts = [bay_of(solving.shape, one.part, waves, most) for one in found]
    bay_parts = [replace(one, harmonics=tuple(dict.fromkeys([*lower, *one.harmonics]))) for one in bay_parts]
    found = solving.all(f"{words}, one bay, for what lies lower at other n", bay_parts)
    found[-1] = _with_a_general_mode(found[-1])
    return found, uncounted(0, repeating_words(found[-1]))


def _general(solved: Solved, start: int) -> int | None:
    """The first general mode from a place on."""
    for i in range(start, solved.line_loads.size):
        mode = solved.modes[:, i]
        if energy_shares(solved.shell, fields_of(mode) if solved.harmonics else mode).general:
            return i
    return None


def _reported(solved: Solved) -> float:
    """The load below which nothing may be missed: of the lowest general mode, or of the last one."""
    at = _general(solved, 0)
    return float(solved.line_loads[-1 if at is None else at])


def _with_a_general_mode(solved: Solved) -> Solved:
    """The listed modes, and where none of them is general the lowest general one that was found above."""
    at = _general(solved, 0)
    listed = list(range(solved.listed))
    return solved.only(listed if at is None or at < solved.listed else [*listed, at])


def uncounted(number: int, text: str) -> Finding:
    """How many harmonics were neither solved nor counted."""
    return Finding("harmonics not counted", float(number), 0.0, number == 0, text)
