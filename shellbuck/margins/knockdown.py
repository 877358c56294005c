"""Which knockdown a wall gets, and why."""

from __future__ import annotations

from ..core.records import Check, Knockdown, Worked
from ..handbook import orthotropic, plain, work
from ..model.walls import SmearedWall

OWN = "the user's own factor (reason on every page)"


def plain_knockdown(mode: str, R: float, t: float) -> Knockdown:
    """The standard's factors of a plain wall."""
    axial = work(plain.axial_knockdown, R_over_t=R / t)
    bending = work(plain.bending_knockdown, R_over_t=R / t)
    return Knockdown(
        mode, axial.value, bending.value, "NASA SP-8007 Rev 2, Eqs 9-10 (axial), 14-15 (bending)", (axial, bending)
    )


def too_thin(mode: str, R: float, t: float) -> Check:
    """The refusal of a plain wall beyond the range of the standard's factors."""
    return Check(
        "radius-to-thickness",
        "refused",
        f"{mode}: R/t = {R / t:.0f} on an unstiffened wall: the standard gives no axial knockdown above "
        f"{plain.MOST_RADIUS_TO_THICKNESS:g}; stiffen the wall or give an own factor with a reason",
        "barrel.skin_thickness_minimum",
        "NASA SP-8007 Rev 2, Eqs 9-10",
    )


def own_knockdown(mode: str, axial: float, bending: float) -> Knockdown:
    """The user's own factors."""
    return Knockdown(mode, axial, bending, OWN)


def equivalent_thickness(wall: SmearedWall) -> Worked:
    """Equivalent thickness about the neutral axes [m]."""
    return work(
        orthotropic.equivalent_thickness,
        E_x=wall.A[0, 0],
        E_y=wall.A[1, 1],
        C_x=wall.B[0, 0],
        C_y=wall.B[1, 1],
        D_x=wall.D[0, 0],
        D_y=wall.D[1, 1],
    )


def stiffened_knockdown(mode: str, wall: SmearedWall, R: float, t: float) -> tuple[Knockdown | None, tuple[Check, ...]]:
    """The standard's factors of a stiffened wall by its equivalent thickness.

    Returns no factor (and a refusal) where the orthotropic form applies beyond R/t_e 1500.
    """
    worked = equivalent_thickness(wall)
    t_e = worked.value
    ratio = t_e / t
    limits = f"thresholds {orthotropic.UNSTIFFENED_TO:g} t and {orthotropic.STIFFENED_FROM:g} t are an own rule"
    if ratio >= orthotropic.STIFFENED_FROM:
        source = f"NASA SP-8007 Rev 2, 4.1.2.1 and 4.1.2.2 (t_e = {ratio:.2f} t; {limits})"
        check = Check(
            "stiffening", "passed", f"{mode}: closely stiffened, t_e = {ratio:.2f} t; {limits}", "wall", source
        )
        return Knockdown(mode, orthotropic.AXIAL_KNOCKDOWN, orthotropic.BENDING_KNOCKDOWN, source, (worked,)), (check,)
    if R / t_e > plain.MOST_RADIUS_TO_THICKNESS:
        return None, (
            Check(
                "radius-to-thickness",
                "refused",
                f"{mode}: R/t_e = {R / t_e:.0f} is beyond the {plain.MOST_RADIUS_TO_THICKNESS:g} of the orthotropic "
                "factor (own rule: the plain limit carried over); stiffen the wall or give an own factor with a reason",
                "wall",
                "NASA SP-8007 Rev 2, Eqs 60-63",
            ),
        )
    axial = work(orthotropic.orthotropic_axial_knockdown, R=R, t_e=t_e)
    bending = work(orthotropic.orthotropic_bending_knockdown, R=R, t_e=t_e)
    steps = (worked, axial, bending)
    ends = (
        f"Eqs 60-63 give {axial.value:.3f} and {bending.value:.3f}, 4.1.2.1-2 {orthotropic.AXIAL_KNOCKDOWN:g} and "
        f"{orthotropic.BENDING_KNOCKDOWN:g}"
    )
    if ratio <= orthotropic.UNSTIFFENED_TO:
        source = f"NASA SP-8007 Rev 2, Eqs 60-63 (t_e = {ratio:.2f} t; {limits})"
        factors = axial, bending
        text = f"{mode}: so lightly stiffened that it counts as an orthotropic sheet, t_e = {ratio:.2f} t; {limits}"
    else:
        source = (
            f"own rule: linear in t_e/t between NASA SP-8007 Rev 2, Eqs 60-63 and 4.1.2.1-2 (t_e = {ratio:.2f} t; "
            f"{ends}; {limits}; the standard does not cover walls between the two)"
        )
        factors = tuple(
            work(orthotropic.blended_knockdown, gamma_o=sheet.value, gamma_c=constant, t_e=t_e, t=t)
            for sheet, constant in ((axial, orthotropic.AXIAL_KNOCKDOWN), (bending, orthotropic.BENDING_KNOCKDOWN))
        )
        steps += factors
        text = (
            f"{mode}: between unstiffened and closely stiffened, t_e = {ratio:.2f} t: the factor is linear in t_e/t "
            f"between both; {ends}"
        )
    return Knockdown(mode, factors[0].value, factors[1].value, source, steps), (
        Check("stiffening", "warned", text, "wall", source),
    )
