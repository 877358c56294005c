"""Which knockdown a wall gets, and why: of one design or of many."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from ..core.records import Check, Knockdown, Worked
from ..handbook import orthotropic, plain, work
from ..model.walls import SmearedWall
from .components import AXIAL, BENDING
from .engines import Mask, Number

OWN = "the user's own factor (reason on every page)"


@dataclass(frozen=True, eq=False)
class Factors:
    """Knockdown by load component, with where it is refused and how near its range is to its end."""

    factors: dict[str, Number]
    say: Callable[[str], tuple[Knockdown | None, tuple[Check, ...]]]
    """Record and checks of a single design, by the title of the row; no record where it is refused."""
    refused: dict[str, Mask] = field(default_factory=dict)
    limits: dict[str, Number] = field(default_factory=dict)

    @property
    def beyond(self) -> np.ndarray:
        """Where there is no factor."""
        return np.asarray(sum((np.asarray(mask) for mask in self.refused.values()), start=np.False_), dtype=bool)

    def times(self, line_load: Number) -> dict[str, Number]:
        """Factor times a load, by component [N/m]."""
        return {key: factor * line_load for key, factor in self.factors.items()}


def _ranged(ratio: Number, limited: Mask = True) -> dict[str, dict]:
    """Where R/t or R/t_e is beyond the range of the standard's factors."""
    beyond = np.asarray(limited) & ~np.asarray(ratio <= plain.MOST_RADIUS_TO_THICKNESS)
    return {"refused": {"radius-to-thickness": beyond}, "limits": {"thinness": np.where(limited, ratio, 0.0)}}


def _record(title: str, factors: dict[str, Number], source: str, worked: tuple[Worked, ...] = ()) -> Knockdown:
    return Knockdown(title, tuple((key, float(x)) for key, x in factors.items()), source, worked)


def own_factors(axial: Number, bending: Number) -> Factors:
    """The user's own factors."""
    factors = {AXIAL: axial, BENDING: bending}
    return Factors(factors, lambda title: (_record(title, factors, OWN), ()))


def plain_factors(R: Number, t: Number) -> Factors:
    """The standard's factors of a plain wall; refused beyond R/t 1500."""
    ratio = R / t
    factors = {AXIAL: plain.axial_knockdown(ratio), BENDING: plain.bending_knockdown(ratio)}

    def say(title: str) -> tuple[Knockdown | None, tuple[Check, ...]]:
        if ratio > plain.MOST_RADIUS_TO_THICKNESS:
            return None, (_too_thin(title, ratio),)
        worked = (work(plain.axial_knockdown, R_over_t=ratio), work(plain.bending_knockdown, R_over_t=ratio))
        return _record(title, factors, "NASA SP-8007 Rev 2, Eqs 9-10 (axial), 14-15 (bending)", worked), ()

    return Factors(factors, say, **_ranged(ratio))


def _too_thin(title: str, ratio: float) -> Check:
    return Check(
        "radius-to-thickness",
        "refused",
        f"{title}: R/t = {ratio:.0f} on an unstiffened wall: the standard gives no axial knockdown above "
        f"{plain.MOST_RADIUS_TO_THICKNESS:g}; stiffen the wall or give an own factor with a reason",
        "barrel.skin_thickness_minimum",
        "NASA SP-8007 Rev 2, Eqs 9-10",
    )


def equivalent_thickness(wall: SmearedWall) -> Number:
    """Equivalent thickness about the neutral axes [m]."""
    return orthotropic.equivalent_thickness(**_thickness_terms(wall))


def _thickness_terms(wall: SmearedWall) -> dict[str, Number]:
    A, B, D = wall.A, wall.B, wall.D
    return dict(
        E_x=A[..., 0, 0], E_y=A[..., 1, 1], C_x=B[..., 0, 0], C_y=B[..., 1, 1], D_x=D[..., 0, 0], D_y=D[..., 1, 1]
    )


_CONSTANTS = {AXIAL: orthotropic.AXIAL_KNOCKDOWN, BENDING: orthotropic.BENDING_KNOCKDOWN}
_SHEETS = {AXIAL: orthotropic.orthotropic_axial_knockdown, BENDING: orthotropic.orthotropic_bending_knockdown}


def stiffened_factors(wall: SmearedWall, R: Number, t: Number | None) -> Factors:
    """The standard's factors of a stiffened wall by its equivalent thickness.

    Refused where the orthotropic form applies beyond R/t_e 1500, and without a skin thickness.
    """
    if t is None:
        return Factors(
            {AXIAL: np.nan, BENDING: np.nan}, lambda title: (None, (_no_skin(title),)), {"no-automatic-factor": True}
        )
    t_e = equivalent_thickness(wall)
    ratio = t_e / t
    close, light = ratio >= orthotropic.STIFFENED_FROM, ratio <= orthotropic.UNSTIFFENED_TO
    sheet = {key: form(R, t_e) for key, form in _SHEETS.items()}
    factors = {
        key: np.where(
            close, constant, np.where(light, sheet[key], orthotropic.blended_knockdown(sheet[key], constant, t_e, t))
        )[()]
        for key, constant in _CONSTANTS.items()
    }

    def say(title: str) -> tuple[Knockdown | None, tuple[Check, ...]]:
        limits = f"thresholds {orthotropic.UNSTIFFENED_TO:g} t and {orthotropic.STIFFENED_FROM:g} t are an own rule"
        steps = (work(orthotropic.equivalent_thickness, **_thickness_terms(wall)),)
        if close:
            source = f"NASA SP-8007 Rev 2, 4.1.2.1 and 4.1.2.2 (t_e = {ratio:.2f} t; {limits})"
            text = f"{title}: closely stiffened, t_e = {ratio:.2f} t; {limits}"
            return _record(title, factors, source, steps), (Check("stiffening", "passed", text, "wall", source),)
        if R / t_e > plain.MOST_RADIUS_TO_THICKNESS:
            return None, (_sheet_too_thin(title, R / t_e),)
        steps += tuple(work(form, R=R, t_e=t_e) for form in _SHEETS.values())
        ends = (
            f"Eqs 60-63 give {sheet[AXIAL]:.3f} and {sheet[BENDING]:.3f}, 4.1.2.1-2 {_CONSTANTS[AXIAL]:g} and "
            f"{_CONSTANTS[BENDING]:g}"
        )
        if light:
            source = f"NASA SP-8007 Rev 2, Eqs 60-63 (t_e = {ratio:.2f} t; {limits})"
            text = (
                f"{title}: so lightly stiffened that it counts as an orthotropic sheet, t_e = {ratio:.2f} t; {limits}"
            )
        else:
            source = (
                f"own rule: linear in t_e/t between NASA SP-8007 Rev 2, Eqs 60-63 and 4.1.2.1-2 (t_e = {ratio:.2f} t; "
                f"{ends}; {limits}; the standard does not cover walls between the two)"
            )
            steps += tuple(
                work(orthotropic.blended_knockdown, gamma_o=sheet[key], gamma_c=constant, t_e=t_e, t=t)
                for key, constant in _CONSTANTS.items()
            )
            text = (
                f"{title}: between unstiffened and closely stiffened, t_e = {ratio:.2f} t: the factor is linear in "
                f"t_e/t between both; {ends}"
            )
        return _record(title, factors, source, steps), (Check("stiffening", "warned", text, "wall", source),)

    return Factors(factors, say, **_ranged(R / t_e, ~np.asarray(close)))


def skin_factors(whole: SmearedWall, left: SmearedWall, R: Number, t: Number | None) -> Factors:
    """The standard's factors of a stiffened wall whose skin may have buckled: the lower of those of the whole wall and
    of what is left of it (own rule)."""
    one = stiffened_factors(whole, R, t)
    if left is whole:
        return one
    other = stiffened_factors(left, R, t)
    factors = {key: np.minimum(x, other.factors[key]) for key, x in one.factors.items()}

    def say(title: str) -> tuple[Knockdown | None, tuple[Check, ...]]:
        for each in (one, other):
            if each.beyond:
                return each.say(title)
        record, checks = (one if one.factors[AXIAL] <= other.factors[AXIAL] else other).say(title)
        source = record.source
        if factors != one.factors or factors != other.factors:
            source += "; the lower of the whole wall's factors and of those with buckled skin (own rule)"
        return _record(title, factors, source, record.worked), checks

    refused = {
        code: np.asarray(mask) | np.asarray(other.refused.get(code, False)) for code, mask in one.refused.items()
    }
    limits = {key: np.maximum(x, other.limits.get(key, 0.0)) for key, x in one.limits.items()}
    return Factors(factors, say, refused, limits)


def _sheet_too_thin(title: str, ratio: float) -> Check:
    return Check(
        "radius-to-thickness",
        "refused",
        f"{title}: R/t_e = {ratio:.0f} is beyond the {plain.MOST_RADIUS_TO_THICKNESS:g} of the orthotropic "
        "factor (own rule: the plain limit carried over); stiffen the wall or give an own factor with a reason",
        "wall",
        "NASA SP-8007 Rev 2, Eqs 60-63",
    )


def _no_skin(title: str) -> Check:
    return Check(
        "no-automatic-factor",
        "refused",
        f"{title}: without a skin thickness there is no automatic knockdown; give an own factor with a reason in "
        "[policy.own_knockdown], or the skin thickness of a given stiffness",
        "barrel.skin_thickness",
        "own rule",
    )
