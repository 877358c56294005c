"""The barrel as a column, n = 1: its own row, no knockdown, no pressure relief.

The contents' own column effect cancels the pressure thrust, so the force is the one without thrust.
"""

from __future__ import annotations

import math
from dataclasses import replace

from ..core.records import Beside, Check
from ..engines import closed_form
from ..handbook import interaction, orthotropic, work
from .basis import column_basis
from .elastic import CUT_NOTE, LIMIT, yield_limit
from .rows import blank_row, verdict_of
from .state import Part, State

MODE = "column (n = 1)"


def column(state: State) -> Part:
    """Margin of the axial force against the pinned column."""
    A, R = state.wall.A, state.R
    EI = work(orthotropic.tube_bending_stiffness, R=R, E_x=A[0, 0], E_y=A[1, 1], E_xy=A[0, 1])
    euler = work(orthotropic.column_load, EI=EI.value, L=state.L)
    row = blank_row(
        state,
        MODE,
        "stability",
        quantity="force",
        demand=state.P,
        knockdown_axial=1.0,
        knockdown_source="factor 1 (own rule)",
        equation="P = pi^2 E I/L^2, E I = pi R^3 (E_x - E_xy^2/E_y)",
        source="common practice",
        worked=(EI, euler),
    )
    if state.P <= 0:
        return Part((replace(row, note="no axial compression"),))
    exact = float(closed_form.line_loads(state.wall, R, state.L, 1, 1, theory="Sanders"))
    beside = (
        Beside(
            "Sanders load of (m, n) = (1, 1), wall simply supported",
            exact,
            "the tube formula leaves out rib eccentricity (some 2 % either way) and wall shear",
        ),
    )
    limit = yield_limit(state, state.wall, thrust=False)
    squash = math.inf if limit is None else max(2 * math.pi * R * limit.load, 0.0)
    cut = euler.value > squash
    P_cr, note = (squash, f"{CUT_NOTE} ({limit.where})") if cut else (euler.value, "")
    steps = (EI, euler, *(limit.worked if cut else ()))
    elastic = ((MODE, euler.value / (2 * math.pi * R)),)
    checks = (
        ()
        if not note
        else (
            Check(
                "elastic-limit",
                "passed",
                f"{MODE}: Euler's load lies above compressive yield and is cut off there",
                state.load.name,
                "own rule",
            ),
        )
    )
    margin = work(interaction.force_margin, P_cr=P_cr, f_s=state.factor, P=state.P)
    return Part(
        (
            replace(
                row,
                status=verdict_of(margin.value),
                capacity=P_cr,
                margin=margin.value,
                note=note,
                worked=(*steps, margin),
                beside=beside,
                basis=column_basis(state, elastic[0][1], LIMIT if note else ""),
            ),
        ),
        checks,
        elastic=elastic,
    )
