"""Worked lines of walls and modes: what a reader needs to repeat a load, a stress or a capacity by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ..core.records import Load, Worked
from ..handbook import orthotropic, plain, sanders, shell, smeared, strength, work
from ..model.walls import RibFamily, SmearedWall
from .state import State


def _terms(wall: SmearedWall) -> dict[str, float]:
    A, B, D = wall.A, wall.B, wall.D
    return dict(
        E_x=A[0, 0],
        E_y=A[1, 1],
        E_xy=A[0, 1],
        G_xy=A[2, 2],
        C_x=B[0, 0],
        C_y=B[1, 1],
        C_xy=B[0, 1],
        K_xy=B[2, 2],
        D_x=D[0, 0],
        D_y=D[1, 1],
        D_c=D[0, 1],
        D_t=D[2, 2],
    )


def mode_lines(wall: SmearedWall, R: float, L: float, load: Load, N_theta: float = 0.0) -> tuple[Worked, ...]:
    """Coefficients and determinant of a closed-form load at its (m, n).

    Parameters
    ----------
    wall : SmearedWall
    R, L : float
        Middle radius, length of the barrel or bay [m].
    load : Load
        Of Donnell's or Sanders' theory, with its waves.
    N_theta : float
        Hoop tension in the state of the load [N/m].
    """
    a, b = work(shell.axial_wave_number, m=load.m, L=L), work(shell.hoop_wave_number, n=load.n, R=R)
    have = {**_terms(wall), "R": R, "a": a.value, "b": b.value, "N_theta": N_theta, "N": load.line_load}
    in_plane = (
        (sanders.sanders_a11, sanders.sanders_a12, sanders.sanders_a13, sanders.sanders_a22, sanders.sanders_a23)
        if load.theory == "Sanders"
        else (shell.donnell_a11, shell.donnell_a12, shell.donnell_a13, shell.donnell_a22, shell.donnell_a23)
    )
    lines = [_of(f, have) for f in (*in_plane, shell.radial_a33)]
    names = ("A_11", "A_12", "A_13", "A_22", "A_23", "A_33")
    found = dict(zip(names, (line.value for line in lines), strict=True))
    return (a, b, *lines, work(shell.determinant_line_load, **found, a=a.value))


def _of(function, have: dict[str, float]) -> Worked:
    """A formula with those of the numbers at hand that it takes."""
    names = function.__code__.co_varnames[: function.__code__.co_argcount]
    return work(function, **{name: have[name] for name in names})


_SHARES = {
    "11": lambda c, s: (c**4, c**2 * s**2),
    "22": lambda c, s: (s**4, c**2 * s**2),
    "12": lambda c, s: (c**2 * s**2, -(c**2) * s**2),
    "33": lambda c, s: (c**2 * s**2, (c**2 - s**2) ** 2 / 4),
}
"""Shares of a rib family in the entries of A, B, D by direction: of what acts along the ribs, of what twists them."""


def stiffness_lines(wall: SmearedWall) -> tuple[Worked, ...]:
    """From skin and ribs to A, B, D about the skin middle; nothing for a given stiffness."""
    if wall.skin is None:
        return ()
    sheet = dict(E=wall.skin.E, nu=wall.skin.nu, t=wall.skin.t)
    S, S_D = work(smeared.sheet_stretching, **sheet), work(smeared.sheet_bending, **sheet)
    lines, flow = [S, S_D], {}
    for i, rib in enumerate(wall.ribs, 1):
        base = dict(E=rib.E, A=rib.area, s=rib.spacing)
        found = {
            "k": work(smeared.rib_stretching, **base),
            "q": work(smeared.rib_coupling, **base, z=rib.z),
            "r": work(smeared.rib_bending, **base, I=rib.inertia, z=rib.z),
            "g": work(smeared.rib_twisting, G=rib.G, J=rib.torsion, s=rib.spacing),
        }
        lines += [replace(line, symbol=f"{name}_{i}") for name, line in found.items()]
        flow |= {f"{name}_{i}": line.value for name, line in found.items()}
    of_sheet = {"11": 1.0, "22": 1.0, "12": wall.skin.nu, "33": (1 - wall.skin.nu) / 2}
    for block, function in (("A", smeared.membrane_sum), ("B", smeared.coupling_sum), ("D", smeared.bending_sum)):
        for entry, part in of_sheet.items():
            have = {"S": part * S.value, "S_D": part * S_D.value}
            for i in (1, 2, 3):
                along, twist = _SHARES[entry](*wall.ribs[i - 1].cos_sin) if i <= len(wall.ribs) else (0.0, 0.0)
                have |= {f"f_{i}": along, f"h_{i}": twist}
                have |= {f"{name}_{i}": flow.get(f"{name}_{i}", 0.0) for name in "kqrg"}
            lines.append(replace(_of(function, have), symbol=f"{block}_{entry}"))
    return tuple(lines)


def capacity_lines(
    state: State,
    wall: SmearedWall,
    length: float,
    pair: tuple[Load, Load],
    official: Load,
    factors: Mapping[str, float],
    N_theta: float = 0.0,
) -> tuple[Worked, ...]:
    """Both theories at their own (m, n), then factor times the official load with p R/2, for axial load and bending."""
    # a mode that is no single sine along the axis has no determinant
    modes = [line for load in pair if load.m is not None for line in mode_lines(wall, state.R, length, load, N_theta)]
    terms = dict(N=official.line_load, p=state.relief_pressure, R=state.R)
    return (*modes, *(work(orthotropic.factored_line_load, gamma=gamma, **terms) for gamma in factors.values()))


def increment_lines(p_bar: float) -> tuple[Worked, ...]:
    """The points of the increment curve around a pressure parameter, and the increment between them."""
    (p_0, d_0), (p_1, d_1) = plain.increment_points(p_bar)
    return (work(plain.increment_between, d_0=d_0, d_1=d_1, p_0=p_0, p_1=p_1, p_bar=p_bar),)


def stress_lines(wall: SmearedWall, N: np.ndarray, rib: RibFamily | None = None) -> tuple[Worked, ...]:
    """From line loads N_x, N_theta (tension positive), N_xtheta over A^-1 to the stresses of the skin, or of a rib."""
    A = wall.A
    loads = dict(E_x=A[0, 0], E_y=A[1, 1], E_xy=A[0, 1], N_x=N[0], N_theta=N[1])
    e_x, e_theta = work(strength.axial_strain, **loads), work(strength.hoop_strain, **loads)
    strains = dict(e_x=e_x.value, e_theta=e_theta.value)
    sheared = (work(strength.shear_strain, G_xy=A[2, 2], q=N[2]),) if N[2] else ()
    if rib is not None:
        c, sine = rib.cos_sin
        stress = (
            work(strength.inclined_rib_stress, E=rib.E, **strains, g=sheared[0].value, c=c, s=sine)
            if sheared
            else work(strength.rib_direct_stress, E=rib.E, **strains, c=np.cos(np.radians(rib.angle)))
        )
        return e_x, e_theta, *sheared, stress
    skin = dict(E=wall.skin.E, nu=wall.skin.nu, **strains)
    flow = tuple(work(strength.skin_shear_stress, E=wall.skin.E, nu=wall.skin.nu, g=line.value) for line in sheared)
    stresses = work(strength.skin_axial_stress, **skin), work(strength.skin_hoop_stress, **skin)
    return e_x, e_theta, *sheared, *stresses, *flow
