"""Differences between the engines of an agreement, with their reasons: numbers against limits, and text.

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


def difference(quantity: str, value: float, text: str, digits: int = 2, more: float = 0.0) -> Finding:
    """A relative difference, judged by its size; "#" in the text is its place."""
    limit = LIMITS[quantity] + more
    return Finding(quantity, value, limit, abs(value) <= limit, text.replace("#", percent(value, digits)))


def ends_words(ends: tuple[str, str]) -> str:
    """The two ends as the case has them.

    Examples
    --------
    >>> ends_words(("C4", "C4")), ends_words(("SS3", "C4"))
    ('C4 at both ends', 'SS3 at x = 0 and C4 at x = L')
    """
    return f"{ends[0]} at both ends" if ends[0] == ends[1] else f"{ends[0]} at x = 0 and {ends[1]} at x = L"


def differences(c: Compared) -> list[Said]:
    """Differences between the engines, with their reasons."""
    wall, ends = c.problem.wall, (c.problem.edges.start, c.problem.edges.end)
    at = {name: load.line_load for name, load in c.loads.items()}
    closed, by_ritz, smeared = at["closed form as meshed"], at["Ritz"], at["smeared mesh"]
    said: list[Said] = []
    if wall.ribs:
        text = "the mesh models ribs from the skin mid-surface, which changes the classical load by #"
        said.append(difference("section as meshed", closed / at["closed form as drawn"] - 1, text))
    moved = by_ritz / closed - 1
    if ends != ("SS3", "SS3"):
        said.append(f"{ends_words(ends)}: the Ritz load differs by {percent(moved, 2)} from SS3 at both ends")
    elif c.loads["Ritz"].n == 1:
        said.append(f"Ritz differs from the closed form by {percent(moved, 3)} (the closed form excludes n = 1)")
    else:
        said.append(difference("Ritz from the closed form", moved, "Ritz differs from the closed form by #", 3))
    order = 2 * by_ritz / wall.A[0, 0]
    text = (
        "the smeared mesh differs from Ritz by #; full displacement gradients instead of Sanders' rotations account "
        f"for up to 2 N/A11 = {100 * order:.2f} %"
    )
    said.append(difference("smeared mesh from Ritz", smeared / by_ritz - 1, text, 3, order))
    if not wall.ribs:
        text = "transverse shear changes the load by #"
        return [*said, difference("transverse shear", at["mesh with ribs"] / smeared - 1, text, 3)]
    return said + _with_ribs(c)


def _with_ribs(c: Compared) -> list[Said]:
    """Effects of discrete ribs."""
    by_ritz, p = c.loads["Ritz"], c.problem
    reference = c.loads["smeared mesh"].line_load
    if not c.complete:
        reference *= _at_multiple(by_ritz, c.part.multiple) / by_ritz.line_load
    at = next((i for i, mode in enumerate(c.modes) if mode.general), None)
    first_share = percent_of(c.modes[0].line_load, reference)
    if at is None:
        count = len(c.modes)
        text = (
            f"the {count} lowest modes of the mesh with ribs are local, from {first_share} of the smeared load on; "
            "smeared theory does not include skin buckling between ribs. A general mode lies above more modes than "
            "were requested (shellbuck modes CASE --compare engines --count)"
        )
        quantity, none = (
            "general load from the smeared one",
            "no general mode to compare with the smeared load was found",
        )
        return [
            Finding("local modes below the general one", float(count), 0.0, False, text),
            Finding(quantity, None, LIMITS[quantity], False, none),
        ]
    first = c.modes[at]
    local = sum(not mode.general for mode in c.modes[:at])
    text = (
        "no local mode lies below the lowest general one"
        if not local
        else (f"local modes come first, at {first_share} of the smeared load; smeared theory does not include them")
    )
    said: list[Said] = [Finding("local modes below the general one", float(local), 0.0, not local, text)]
    gap = first.line_load / reference - 1
    limit = LIMITS["general load from the smeared one"]
    reason = (
        "within a per cent"
        if abs(gap) <= _CLOSE
        else (
            "rib cross-sections deform, rib prestress acts at the rib centroid, webs deform in shear, and a wave spans "
            "few bays"
            if abs(gap) <= limit
            else f"more than {100 * limit:.0f} %: the smeared load must not be used before the reason is known"
        )
    )
    called = counted(first.content).pair
    above = "" if at < c.listed else f", found above the {c.listed} lowest modes (more may lie between)"
    cells = "no waves around" if first.n == 0 else f"{c.part.bays / first.n:.1f} bays to a full wave"
    text = f"the lowest general mode with ribs as they are, {called}{above}, differs by # from the smeared mesh"
    said.append(difference("general load from the smeared one", gap, f"{text} ({cells}): {reason}"))
    moved = height_effect(p.wall, p.R, p.L, first.m, first.n, by_ritz.line_load, p.pressure)
    said.append(
        f"rib prestress acts at the rib centroid, in a smeared wall at the skin mid-surface: {percent(moved, 2)} for "
        f"the mode ({first.m}, {first.n}) of SS3 at both ends"
    )
    if first.n != by_ritz.n:
        said.append(f"it has n = {first.n}, the Ritz mode n = {by_ritz.n}: closely spaced modes may change order")
    return said


def percent_of(load: float, whole: float) -> str:
    """A load as a share of another."""
    return f"{100 * load / whole:.1f} %"


def _at_multiple(by_ritz: Load, multiple: int) -> float:
    """Lowest Ritz load of the harmonics that are a multiple of a number; the lowest of all where none is near."""
    return min((m.line_load for m in by_ritz.lowest_by_n if m.n % multiple == 0), default=by_ritz.line_load)


def statics_words(by_statics: float, uniform: float) -> Finding:
    """Effect of the prestress of linear statics on the lowest load of the finest mesh."""
    text = (
        "with the prestress of linear statics between flat rigid platens the lowest load of the finest mesh changes by "
        "#: supports that restrain radial expansion cause hoop compression near the ends; the change of shape before "
        "buckling is excluded here and included by shellbuck modes CASE --compare edges"
    )
    return difference("prestress of linear statics", by_statics / uniform - 1, text)


def likeness_words(alike: float | None) -> Finding:
    """The likeness of mesh and Ritz modes."""
    limit = LIMITS["likeness"]
    if alike is None:
        text = "no general mode of the mesh has the n of a computed Ritz mode: their likeness is not available"
        return Finding("likeness", None, limit, False, text)
    verdict = "the same mode" if alike >= limit else f"below {limit:g}: different modes, compare both"
    text = f"subspace MAC of the lowest general modes with the Ritz mode of their n {alike:.3f}: {verdict}"
    return Finding("likeness", alike, limit, alike >= limit, text)
