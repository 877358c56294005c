"""Where the engines of an agreement part, and why, in words."""

from __future__ import annotations

from ..model import Barrel
from ..records import Load, MeshMode
from ..walls import SmearedWall
from .edges import percent
from .height import height_effect
from .meshing import Part

_CLOSE, _APART = 0.01, 0.05
_LIKE = 0.9


def parting(
    loads: tuple[Load, ...], modes: tuple[MeshMode, ...], part: Part, wall: SmearedWall, barrel: Barrel,
    pressure: float, by_ritz: Load,
) -> list[str]:
    """Where the engines part, and why.

    Parameters
    ----------
    loads : tuple of Load
        Closed form as drawn and as meshed, Ritz, smeared mesh, mesh with ribs.
    modes : tuple of MeshMode
        Of the finest mesh with ribs.
    part : Part
        What was meshed.
    wall : SmearedWall
        The section as meshed.
    barrel : Barrel
    pressure : float
        Fixed [Pa].
    by_ritz : Load
    """
    drawn, closed, ritz_load, smeared, real = (load.line_load for load in loads)
    words = []
    multiple = part.multiple
    if by_ritz.n % multiple:
        words.append(
            f"the part of the barrel with ribs holds waves whose n is a multiple of {multiple}, not Ritz's "
            f"n = {by_ritz.n}"
        )
    if wall.ribs:
        words.append(
            "the meshed section runs from the skin's middle: it moves the classical load by "
            f"{percent(closed / drawn - 1, 2)}"
        )
    same = loads[2].edges.startswith("both ends SS3")
    if same:
        words.append(
            f"Ritz and closed form part by {percent(ritz_load / closed - 1, 3)}"
            + (" (the closed form leaves n = 1 out)" if abs(ritz_load / closed - 1) > 1e-6 else "")
        )
    else:
        words.append(f"the edges of the case move the Ritz load by {percent(ritz_load / closed - 1, 2)} from SS3")
    order = ritz_load / wall.A[0, 0]
    words.append(
        f"the smeared mesh lies {percent(smeared / ritz_load - 1, 3)} from Ritz; it uses full gradients where Ritz "
        f"uses Sanders' rotations, a difference up to twice N/A11 = {100 * order:.2f} %"
    )
    if not wall.ribs:
        words.append(f"transverse shear moves the load by {percent(real / smeared - 1, 3)}")
        return words
    part_of_ritz = _at_multiple(by_ritz, multiple)
    reference = smeared * part_of_ritz / ritz_load
    general = [mode for mode in modes if mode.general]
    if not general:
        words.append(
            f"the {len(modes)} lowest modes of the mesh with ribs are local: the skin moves between the ribs from "
            f"{100 * real / part_of_ritz:.1f} % of the smeared load on; smeared theory does not see them, and a "
            "general mode lies above more of them than were asked for (`agree --modes`; often far more)"
        )
        return words
    first = general[0]
    if not modes[0].general:
        words.append(
            f"local modes come first, at {100 * modes[0].line_load / part_of_ritz:.1f} % of the smeared load; smeared "
            "theory does not see them"
        )
    gap = first.line_load / reference - 1
    cells = _cells(part, first.n)
    reason = "within a per cent" if abs(gap) <= _CLOSE else (
        "ribs that are not moved rigidly by the skin, their force at their own height, shear in the webs, and few bays "
        "to a wave"
        if abs(gap) <= _APART else "more than 5 %: do not trust the smeared load without finding out why"
    )  # fmt: skip
    words.append(
        f"the lowest general mode with ribs as they are, ({first.m}, {first.n}), lies {percent(gap, 2)} from the "
        f"smeared mesh ({cells}): {reason}"
    )
    moved = height_effect(wall, barrel.middle_radius, barrel.length, first.m, first.n, by_ritz.line_load, pressure)
    words.append(
        f"force in the ribs works on the motion at their own height, in a smeared wall on that of the skin's middle: "
        f"{percent(moved, 2)} for simply supported ends"
    )
    if first.n != by_ritz.n:
        words.append(f"it has n = {first.n} where Ritz has n = {by_ritz.n}: modes close together change order")
    return words


def _at_multiple(by_ritz: Load, multiple: int) -> float:
    """Lowest Ritz load of the harmonics that are a multiple of a number; the lowest of all where none is near."""
    return min((m.line_load for m in by_ritz.lowest_by_n if m.n % multiple == 0), default=by_ritz.line_load)


def _cells(part: Part, n: int) -> str:
    return "no waves around" if n == 0 else f"{part.bays / n:.1f} bays to a full wave"


def statics_words(by_statics: float, uniform: float) -> str:
    """What the prestress of linear statics does to the lowest load of the finest mesh, in words."""
    return (
        f"with the prestress of linear statics between flat rigid platens the lowest load of the finest mesh moves by "
        f"{percent(by_statics / uniform - 1, 2)}: supports that keep the wall from swelling compress it around near "
        "the ends; the change of shape before buckling is left out here, the nonlinear prebuckling of "
        "`shellbuck edges` has it"
    )


def likeness_words(alike: float | None) -> tuple[str, ...]:
    """The likeness of mesh and Ritz modes in words."""
    if alike is None:
        return ()
    verdict = "the same mode" if alike >= _LIKE else "below .9: not the same mode, look at both"
    return (f"subspace MAC of the lowest general modes with the Ritz mode {alike:.3f}: {verdict}",)
