"""Whether rings are stiff enough that the panels between them fail first: by comparing loads, and by Shanley's formula.

Neither makes a margin. Rings that are too soft show in the row of general instability; these two say why.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...core.records import Check, Comparison, MarginRow, Worked
from ...handbook import rings, work
from ...model import Case
from ...model.walls import RibFamily
from ..keys import GENERAL, PANEL
from ..state import State
from .screen import Compared, Screen

SINGLE = 0.01
"""How near to one ring a number of rings counts as a single one."""

_LOADS, _STIFFNESS = "ring adequacy by loads", "ring stiffness by Shanley"
_SOURCE = "NASA SP-8007 Rev 2, 4.1.5.3"
_SHANLEY = "Shanley 1949 (from memory): empirical, usually but not always conservative"


def by_loads(s: State, rows: Sequence[MarginRow]) -> Iterator[Compared]:
    """The general load against the load of the panel between rings, both before any factor."""
    base = dict(load_case=s.load.name, key="ring-loads", title=_LOADS, quantity="line load", source=_SOURCE)
    general, panel = (next((r for r in rows if r.key == key), None) for key in (GENERAL, PANEL))
    bay = s.case.ring_bay
    if abs(s.L / bay - 1 - 1) <= SINGLE:
        note = "a single ring that makes two equal bays: the comparison of panel and general loads does not apply"
        yield Compared(Comparison(**base, outcome="outside its scope", note=note))
        return
    if any(row is None or row.basis is None for row in (general, panel)):
        missing = " and ".join(r.mode for r in (general, panel) if r is not None and r.basis is None)
        note = f"no load to compare: {missing or 'a row'} has none"
        yield Compared(Comparison(**base, outcome="outside its scope", note=note))
        return
    if other := general.basis.component or panel.basis.component:
        note = f"{other} takes the largest share; only axial loads are compared"
        yield Compared(Comparison(**base, outcome="outside its scope", note=note))
        return
    N_g, N_p = general.basis.line_load, panel.basis.line_load
    enough = N_g >= N_p
    words = "before any factor" if general.basis.kind != "path" else "nonlinear prebuckled against classical"
    text = (
        f"rings: general instability ({N_g / 1e3:.4g} kN/m) lies {'above' if enough else 'BELOW'} the panel between "
        f"rings ({N_p / 1e3:.4g} kN/m, {words}): "
        + ("the panels fail first" if enough else "the rings are too soft to make the panels fail first")
    )
    check = Check("ring-adequacy", "passed" if enough else "warned", text, s.load.name, _SOURCE)
    yield Compared(
        Comparison(
            **base,
            outcome="above" if enough else "below",
            demand=N_p,
            capacity=N_g,
            excess=N_g / N_p - 1,
            equation=f"load of general instability over that of the panel between rings, {words}",
            note="" if enough else "general instability has its own margin; stiffer rings would raise it",
        ),
        (check,),
    )


def by_stiffness(s: State, _rows: Sequence[MarginRow]) -> Iterator[Compared]:
    """The ring's bending stiffness against Shanley's, at the factored line load of the peak fibre without relief."""
    base = dict(
        load_case=s.load.name,
        key="ring-stiffness",
        title=_STIFFNESS,
        quantity="bending stiffness of a ring",
        source=_SHANLEY,
    )
    N = s.factor * max(float(s.compression), 0.0)
    if N <= 0:
        yield Compared(Comparison(**base, outcome="not compressed", note="no compression at the factored loads"))
        return
    ring = next(rib for rib in s.wall.ribs if rib.name == "rings")
    moment = work(rings.peak_moment, N=N, R=s.R)
    need = work(rings.ring_stiffness_needed, M=moment.value, D=2 * s.R, L=s.case.ring_bay)
    lines, has, skin = _stiffness(s, ring)
    enough = has >= need.value
    others = ", ".join(s.further)
    text = (
        f"rings: E I = {has:.4g} N m^2 ({skin}) is {'above' if enough else 'BELOW'} Shanley's {need.value:.4g} N m^2 "
        "at the factored line load (empirical, usually but not always conservative)"
    )
    yield Compared(
        Comparison(
            **base,
            outcome="above" if enough else "below",
            demand=need.value,
            capacity=has,
            excess=has / need.value - 1,
            equation=f"E I of a ring ({skin}) over M D^2/(16000 L), M = N pi R^2 of the factored line load",
            note=f"{others} not counted" if others else "",
            worked=(moment, need, *lines),
        ),
        (Check("ring-stiffness", "passed" if enough else "warned", text, s.load.name, _SHANLEY),),
    )


def _stiffness(s: State, ring: RibFamily) -> tuple[tuple[Worked, ...], float, str]:
    """Bending stiffness of a ring [N m^2] with its lines, and the skin that is in it."""
    own, width = ring.E * ring.inertia, s.case.policy.ring_skin_width
    if width is None:
        return (), own, "of its own section, no skin with it"
    skin = s.wall.skin
    terms = dict(
        EI_own=own, EA_r=ring.E * ring.area, EA_s=skin.E * width * skin.t, EI_s=skin.E * width * skin.t**3 / 12
    )
    line = work(rings.ring_with_skin_stiffness, **terms, z=abs(ring.z))
    return (line,), line.value, f"with {width * 1e3:.4g} mm of skin"


def _ringed(case: Case) -> bool:
    return case.ring_bay is not None


SCREENS = (
    Screen(
        "ring-loads",
        _LOADS,
        20,
        _ringed,
        by_loads,
        walls="walls with rings",
        capacity="load of general instability against that of the panel between rings, before any factor",
        valid="two rings or more; a single ring that makes two equal bays is left out",
        source=_SOURCE,
    ),
    Screen(
        "ring-stiffness",
        _STIFFNESS,
        21,
        _ringed,
        by_stiffness,
        walls="walls with rings",
        capacity="bending stiffness of a ring by itself, or with the skin that ring_skin_width gives, against "
        "M D^2/(16000 L) at the factored line load of the peak fibre",
        source=_SHANLEY,
        formulas=("ring-stiffness-needed", "peak-moment", "ring-with-skin-stiffness"),
    ),
)
