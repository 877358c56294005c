"""EN 1993-1-6, axial compression of plain steel walls: a second opinion on general instability.

Its resistance is characteristic and its partial factors are its own, so it is neither mixed with the margins nor
counted. Compared is the net meridional line load at the peak fibre; bending has no milder factor there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...core.records import Comparison, MarginRow, Worked
from ...handbook import shell_standard as en
from ...handbook import work
from ...model import Case
from ...model.case import LEAST_RADIUS_TO_THICKNESS
from ..components import AXIAL, BENDING, COMPONENTS
from ..state import State
from .screen import Compared, Screen

QUALITY = {"A": 40.0, "B": 25.0, "C": 16.0}
"""Fabrication quality parameter Q of every class."""

_SIMPLY_SUPPORTED = 1.0
LEAST_LONG_FACTOR = 0.6
_FLOOR_AT = 1.5
"""omega t/R at which the factor of a long, simply supported cylinder reaches its least: longer ones are columns first
(own upper limit)."""


def compare(s: State, _rows: Sequence[MarginRow]) -> Iterator[Compared]:
    """The characteristic resistance against the factored net line load."""
    asked = s.case.policy.second_opinion
    title = f"{asked.standard}, class {asked.quality}"
    base = dict(
        load_case=s.load.name,
        key="shell-standard",
        title=title,
        quantity="line load",
        source=f"{asked.standard} (from memory{'' if asked.standard == en.FIRST else ', in part second-hand'})",
    )
    if why := _outside(s, asked.other_metals):
        yield Compared(Comparison(**base, outcome="outside its scope", note=why))
        return
    demand = s.factor * s.compression - s.tension - s.relief
    if not s.compressed or demand <= 0:
        note = "no net compression at the factored loads"
        yield Compared(Comparison(**base, outcome="not compressed", note=note))
        return
    lines, words = resistance(s, asked.standard, QUALITY[asked.quality])
    capacity = lines[-1].value
    excess = capacity / demand - 1
    scale = s.case.material.family != "steel"
    note = (
        "characteristic resistance over loads with the factor of this case; the standard's own partial factors are "
        "not in it"
    )
    if scale:
        note = f"outside its scope ({s.case.material.family or 'metal not said to be steel'}): for scale only; {note}"
    yield Compared(
        Comparison(
            **base,
            outcome="for scale" if scale else "above" if excess >= 0 else "below",
            demand=float(demand),
            capacity=float(capacity),
            excess=float(excess),
            equation=words,
            note=note,
            worked=lines,
        )
    )


def _outside(s: State, other_metals: bool) -> str:
    """Why it says nothing of a barrel; empty where it does."""
    if not s.case.wall.plain:
        return "it is worked here for plain walls only"
    if s.case.material.family != "steel" and not other_metals:
        what = f"this metal is {s.case.material.family}" if s.case.material.family else "the metal's family is not said"
        return f"a standard for steel shells; {what} (other_metals = true shows its figure for scale)"
    ratio, omega = s.R / s.t, en.relative_length(s.L, s.R, s.t)
    if not LEAST_RADIUS_TO_THICKNESS <= ratio <= en.MOST_RADIUS_TO_THICKNESS:
        return f"R/t = {ratio:.0f}; it covers {LEAST_RADIUS_TO_THICKNESS:g} to {en.MOST_RADIUS_TO_THICKNESS:g}"
    if omega < en.LEAST_RELATIVE_LENGTH:
        return f"L/sqrt(R t) = {omega:.2g}: shorter than {en.LEAST_RELATIVE_LENGTH:g} is not given here (own limit)"
    if omega > _FLOOR_AT * ratio:
        far = f"beyond {_FLOOR_AT:g} R/t = {_FLOOR_AT * ratio:.3g}"
        return f"L/sqrt(R t) = {omega:.3g}: {far} the barrel is a column first (own limit)"
    counted = (AXIAL, BENDING, *(key for key, one in COMPONENTS.items() if one.treatment == "fixed"))
    others = [one.component for one in s.components if one.applied and one.component not in counted]
    if others:
        return f"{', '.join(others)} acts too; only axial compression is worked here"
    if s.p_max * s.R / s.t > _yield(s):
        return "the hoop stress of the maximum pressure exceeds the yield strength, where its factors end"
    return ""


def _yield(s: State) -> float:
    return min(s.point.tension_yield, s.point.compressive_yield)


def resistance(s: State, standard: str, Q: float) -> tuple[tuple[Worked, ...], str]:
    """Worked lines, the characteristic line load last, and what it rests on."""
    ratio, f_y = s.R / s.t, _yield(s)
    omega = work(en.relative_length, L=s.L, R=s.R, t=s.t)
    lines = [omega]
    C_x = 1.0
    if omega.value <= en.SHORT_TO:
        lines.append(work(en.short_length_factor, omega=omega.value))
        C_x = lines[-1].value
    elif omega.value > ratio / 2:
        lines.append(work(en.long_length_factor, omega=omega.value, R_over_t=ratio, C_xb=_SIMPLY_SUPPORTED))
        C_x = max(lines[-1].value, LEAST_LONG_FACTOR)
    critical = work(en.shell_critical_stress, E=s.wall.skin.E, C_x=C_x, R_over_t=ratio)
    w = work(en.quality_amplitude, R_over_t=ratio, Q=Q)
    second = standard == en.SECOND
    alpha = work(en.imperfection_factor_second if second else en.imperfection_factor, w_t=w.value)
    slender = work(en.relative_slenderness, f_y=f_y, sigma_cr=critical.value)
    lines += [critical, w, alpha, slender]
    a, which = alpha.value, "without pressure"
    if s.p_max > 0:
        helped, bulged = _pressurised(s, ratio, critical.value, a, slender.value)
        lines += [*helped, *bulged]
        a = min(helped[-1].value, bulged[-1].value)
        bulges = a < helped[-1].value
        which = "bulging at a held end, maximum pressure" if bulges else "helped by the minimum pressure"
    beta = en.PLASTIC_RANGE_2007
    if second:
        lines.append(work(en.plastic_range_second, w_t=w.value))
        beta = lines[-1].value
    limit = work(en.plastic_slenderness, alpha_x=a, beta_p=beta)
    lines.append(limit)
    lamda, lamda_0, chi = slender.value, en.SLENDERNESS_LIMIT, 1.0
    if lamda >= limit.value:
        lines.append(work(en.elastic_reduction, alpha_x=a, lamda=lamda))
        chi, where = lines[-1].value, "elastic"
    elif lamda > lamda_0:
        span = dict(lamda=lamda, lamda_0=lamda_0, lamda_p=limit.value)
        eta = en.EXPONENT_2007
        if second:
            ends = dict(
                eta_0=work(en.squash_exponent_second, w_t=w.value), eta_p=work(en.elastic_exponent_second, w_t=w.value)
            )
            lines += [*ends.values(), work(en.interaction_exponent, **span, **{k: x.value for k, x in ends.items()})]
            eta = lines[-1].value
        lines.append(work(en.plastic_reduction, **span, beta_p=beta, eta_b=eta))
        chi, where = lines[-1].value, "elastic-plastic"
    else:
        where = "at yield"
    lines.append(work(en.characteristic_line_load, chi=min(chi, 1.0), f_y=f_y, t=s.t))
    return tuple(lines), f"chi f_y t, alpha = {a:.3f} ({which}), {where}; simply supported ends"


def _pressurised(
    s: State, ratio: float, critical: float, alpha: float, lamda: float
) -> tuple[tuple[Worked, Worked], tuple[Worked, Worked, Worked]]:
    """The elastic factor at minimum pressure and the plastic one at maximum."""
    hoop = dict(R=s.R, t=s.t, sigma_cr=critical)
    low, high = work(en.relative_pressure, p=s.p_min, **hoop), work(en.relative_pressure, p=s.p_max, **hoop)
    thin = work(en.pressure_thinness, R_over_t=ratio)
    helped = work(en.pressurised_elastic_factor, alpha_x=alpha, p_s=low.value)
    return (low, helped), (high, thin, work(en.pressurised_plastic_factor, lamda=lamda, p_g=high.value, s=thin.value))


def _asked(case: Case) -> bool:
    return case.policy.second_opinion is not None


SCREENS = (
    Screen(
        "shell-standard",
        "EN 1993-1-6, axial compression",
        10,
        _asked,
        compare,
        walls="plain steel walls, by choice; other metals for scale only",
        capacity="characteristic resistance chi f_y t of its fabrication quality class over the factored net line load "
        "at the peak fibre",
        valid="R/t 20 to 5000; L/sqrt(R t) from 0.5 to 1.5 R/t (own limits); p R/t up to yield",
        source="EN 1993-1-6:2007 (from memory); second generation second-hand, with lambda_0, length and pressure of "
        "2007",
        formulas=("characteristic-line-load", "plastic-reduction", "elastic-reduction"),
    ),
)
