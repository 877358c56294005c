"""Where the engines of an agreement part, and why: numbers against limits, and words.

What can be judged is a `Finding`, judged by its number alone; what only explains is text.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..core.engine_records import Role
from ..core.records import Finding, Load, MeshMode
from ..core.wavecount import counted
from ..engines.fe_barrel.meshing import Part
from ..engines.problem import BucklingProblem
from .edges import percent
from .height import height_effect

LIMITS = {
    "section as meshed": 0.05,
    "Ritz from the closed form": 1e-3,
    "smeared mesh from Ritz": 0.002,
    "transverse shear": 0.03,
    "general load from the smeared one": 0.05,
    "local modes below the general one": 0.0,
    "likeness": 0.9,
    "prestress of linear statics": 0.05,
}
"""Largest relative difference that passes, least likeness, largest number (own limits).

The smeared mesh may part from Ritz by 2 N/A11 more: it uses full gradients where Ritz uses Sanders' rotations. 5 % is
what few bays to a wave, webs that shear and ribs at their own height explain on stout walls; a smeared load that is
further off is explained by nothing known here. Below a likeness of .9 a tenth of w^2 moves otherwise."""

_CLOSE = 0.01

Said = str | Finding


@dataclass(frozen=True)
class Compared:
    """What is put into words.

    Parameters
    ----------
    loads : dict
        By name, as in an agreement.
    modes : tuple of MeshMode
        Of the finest mesh with ribs, the first `listed` of them without a gap.
    listed : int
    part : Part
        What was meshed.
    complete : bool
        Whether every n was solved or counted.
    problem : BucklingProblem
        With the section as meshed.
    """

    loads: dict[Role, Load]
    modes: tuple[MeshMode, ...]
    listed: int
    part: Part
    complete: bool
    problem: BucklingProblem


def difference(quantity: str, value: float, text: str, more: float = 0.0) -> Finding:
    """A relative difference, judged by its size."""
    limit = LIMITS[quantity] + more
    return Finding(quantity, value, limit, abs(value) <= limit, text)


def ends_words(ends: tuple[str, str]) -> str:
    """The two ends as the case has them.

    Examples
    --------
    >>> ends_words(("C4", "C4")), ends_words(("SS3", "C4"))
    ('C4 at both ends', 'SS3 at x = 0 and C4 at x = L')
    """
    return f"{ends[0]} at both ends" if ends[0] == ends[1] else f"{ends[0]} at x = 0 and {ends[1]} at x = L"


def parting(c: Compared) -> list[Said]:
    """Where the engines part, and why."""
    wall, ends = c.problem.wall, (c.problem.edges.start, c.problem.edges.end)
    at = {name: load.line_load for name, load in c.loads.items()}
    closed, by_ritz, smeared = at["closed form as meshed"], at["Ritz"], at["smeared mesh"]
    said: list[Said] = []
    if wall.ribs:
        moved = closed / at["closed form as drawn"] - 1
        said.append(
            difference(
                "section as meshed",
                moved,
                f"the meshed section runs from the skin's middle: it moves the classical load by {percent(moved, 2)}",
            )
        )
    moved = by_ritz / closed - 1
    if ends != ("SS3", "SS3"):
        said.append(f"{ends_words(ends)} move the Ritz load by {percent(moved, 2)} from SS3 at both ends")
    elif c.loads["Ritz"].n == 1:
        said.append(f"Ritz and closed form part by {percent(moved, 3)} (the closed form leaves n = 1 out)")
    else:
        said.append(difference("Ritz from the closed form", moved, f"Ritz and closed form part by {percent(moved, 3)}"))
    order = 2 * by_ritz / wall.A[0, 0]
    moved = smeared / by_ritz - 1
    said.append(
        difference(
            "smeared mesh from Ritz",
            moved,
            f"the smeared mesh lies {percent(moved, 3)} from Ritz; it uses full gradients where Ritz uses Sanders' "
            f"rotations, a difference up to 2 N/A11 = {100 * order:.2f} %",
            order,
        )
    )
    if not wall.ribs:
        moved = at["mesh with ribs"] / smeared - 1
        return [*said, difference("transverse shear", moved, f"transverse shear moves the load by {percent(moved, 3)}")]
    return said + _with_ribs(c)


def _with_ribs(c: Compared) -> list[Said]:
    """What ribs as they are do."""
    by_ritz, p = c.loads["Ritz"], c.problem
    reference = c.loads["smeared mesh"].line_load
    if not c.complete:
        reference *= _at_multiple(by_ritz, c.part.multiple) / by_ritz.line_load
    at = next((i for i, mode in enumerate(c.modes) if mode.general), None)
    first_share = percent_of(c.modes[0].line_load, reference)
    if at is None:
        count = len(c.modes)
        return [
            Finding(
                "local modes below the general one",
                float(count),
                0.0,
                False,
                f"the {count} lowest modes of the mesh with ribs are local: the skin moves between the ribs from "
                f"{first_share} of the smeared load on; smeared theory does not see them, and a general mode lies "
                "above more of them than were asked for (`agree --modes`; often far more)",
            ),
            Finding(
                "general load from the smeared one",
                None,
                LIMITS["general load from the smeared one"],
                False,
                "no general mode was found to be compared with the smeared load",
            ),
        ]
    first = c.modes[at]
    local = sum(not mode.general for mode in c.modes[:at])
    text = (
        "no local mode lies below the lowest general one"
        if not local
        else (f"local modes come first, at {first_share} of the smeared load; smeared theory does not see them")
    )
    said: list[Said] = [Finding("local modes below the general one", float(local), 0.0, not local, text)]
    gap = first.line_load / reference - 1
    limit = LIMITS["general load from the smeared one"]
    reason = (
        "within a per cent"
        if abs(gap) <= _CLOSE
        else (
            "ribs that are not moved rigidly by the skin, their force at their own height, shear in the webs, and few "
            "bays to a wave"
            if abs(gap) <= limit
            else f"more than {100 * limit:.0f} %: do not trust the smeared load without finding out why"
        )
    )
    called = counted(first.content).pair
    above = "" if at < c.listed else f", found above the {c.listed} lowest modes (more may lie between)"
    cells = "no waves around" if first.n == 0 else f"{c.part.bays / first.n:.1f} bays to a full wave"
    said.append(
        difference(
            "general load from the smeared one",
            gap,
            f"the lowest general mode with ribs as they are, {called}{above}, lies {percent(gap, 2)} from the smeared "
            f"mesh ({cells}): {reason}",
        )
    )
    moved = height_effect(p.wall, p.R, p.L, first.m, first.n, by_ritz.line_load, p.pressure)
    said.append(
        f"force in the ribs works on the motion at their own height, in a smeared wall on that of the skin's middle: "
        f"{percent(moved, 2)} by the mode ({first.m}, {first.n}) of SS3 at both ends"
    )
    if first.n != by_ritz.n:
        said.append(f"it has n = {first.n} where Ritz has n = {by_ritz.n}: modes close together change order")
    return said


def percent_of(load: float, whole: float) -> str:
    """A load as a share of another."""
    return f"{100 * load / whole:.1f} %"


def _at_multiple(by_ritz: Load, multiple: int) -> float:
    """Lowest Ritz load of the harmonics that are a multiple of a number; the lowest of all where none is near."""
    return min((m.line_load for m in by_ritz.lowest_by_n if m.n % multiple == 0), default=by_ritz.line_load)


def statics_words(by_statics: float, uniform: float) -> Finding:
    """What the prestress of linear statics does to the lowest load of the finest mesh."""
    moved = by_statics / uniform - 1
    return difference(
        "prestress of linear statics",
        moved,
        f"with the prestress of linear statics between flat rigid platens the lowest load of the finest mesh moves by "
        f"{percent(moved, 2)}: supports that keep the wall from swelling compress it around near "
        "the ends; the change of shape before buckling is left out here, the nonlinear prebuckling of "
        "shellbuck modes CASE --compare edges computes it",
    )


def likeness_words(alike: float | None) -> Finding:
    """The likeness of mesh and Ritz modes."""
    limit = LIMITS["likeness"]
    if alike is None:
        text = "no general mode of the mesh has the n of a Ritz mode at hand: likeness could not be formed"
        return Finding("likeness", None, limit, False, text)
    verdict = "the same mode" if alike >= limit else f"below {limit:g}: not the same mode, look at both"
    text = f"subspace MAC of the lowest general modes with the Ritz mode of their n {alike:.3f}: {verdict}"
    return Finding("likeness", alike, limit, alike >= limit, text)
