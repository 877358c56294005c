"""The n = 1 mode: the barrel bends as a tube between pinned ends. Factor 1, no relief by pressure, never a capacity of
bending."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from ...core.records import Beside, Check, ComponentUse
from ...engines import closed_form
from ...handbook import interaction, orthotropic, plasticity, work
from ...model.walls import SmearedWall
from ..basis import column_basis
from ..components import AXIAL
from ..findings import Findings, Row, Story
from ..inelastic import PLASTIC, note_of, reduced_column, reduction_lines, said
from ..post_buckled import acting, shed_wall, stable_wall
from ..state import State
from ..yielding import LIMIT, first_yield
from .mode import FailureMode
from .wording import joined

TITLE = "column (n = 1)"


def rows(s: State, _: Findings) -> Iterator[Row]:
    """The axial force against the pinned column, cut off at first yield of the wall."""
    wall, loaded, soft = stable_wall(s), shed_wall(s), acting(s)
    limit = first_yield(s, loaded, thrust=False)
    around = 2 * math.pi * s.R
    P_E = s.euler_of(wall)
    left = reduced_column(s, P_E / around, loaded)
    squash = np.inf if limit is None else np.maximum(around * limit.load, 0.0)
    critical = np.minimum(around * left.load, squash)
    margin = interaction.force_margin(critical, s.factor, s.P)

    def story() -> Story:
        A = wall.A
        EI = work(orthotropic.tube_bending_stiffness, R=s.R, E_x=A[0, 0], E_y=A[1, 1], E_xy=A[0, 1])
        euler = work(orthotropic.column_load, EI=EI.value, L=s.L)
        row = dict(
            quantity="force",
            demand=float(s.P),
            components=(ComponentUse(AXIAL, 1.0),),
            knockdown_source="factor 1 (own rule)",
            equation="P = pi^2 E I/L^2, E I = pi R^3 (E_x - E_xy^2/E_y)",
            source="common practice",
            worked=(EI, euler),
        )
        if soft is not None:
            softened = soft.stiffness_lines(s.wall)
            row |= dict(note=soft.words, worked=(*softened, EI, euler))
        if s.P <= 0:
            return Story({**row, "note": "no axial compression"})
        beside = _beside(s, wall) if s.wall.orthotropic else ()
        cut = around * left.load > squash or left.limited
        limited = LIMIT if cut else PLASTIC if said(left) else ""
        note = note_of(limited, left.eta, limit.where if cut else left.governing.where) if limited else ""
        lines = limit.worked if cut else reduction_lines(left, plasticity.plastic_column_load, P_E=P_E)
        elastic = euler.value / (2 * math.pi * s.R)
        line = work(interaction.force_margin, P_cr=critical, f_s=s.factor, P=s.P)
        row |= dict(
            capacity=float(critical),
            note=joined(row.get("note", ""), note),
            worked=(*row["worked"], *lines, line),
            components=(
                ComponentUse(
                    AXIAL, 1.0, float(s.P), float(critical), float(s.factor * s.P / critical) if critical > 0 else None
                ),
            ),
            beside=beside,
            basis=column_basis(s, elastic, limited),
        )
        text = f"{TITLE}: Euler's load lies above compressive yield and is limited to it"
        checks = (Check("yield-cut-off", "passed", text, s.load.name, "own rule"),) if cut else ()
        return Story(row, checks, elastic=((TITLE, elastic),))

    yield Row(TITLE, margin, s.P > 0, story=story)


def _beside(s: State, wall: SmearedWall) -> tuple[Beside, ...]:
    """The Sanders load of (1, 1), which counts what the tube formula leaves out."""
    exact = float(closed_form.line_loads(wall, s.R, s.L, 1, 1, theory="Sanders"))
    words = "the tube formula leaves out rib eccentricity (some 2 % either way) and wall shear"
    return (Beside("Sanders load of (m, n) = (1, 1), wall simply supported", exact, words),)


MODES = (
    FailureMode(
        "column",
        TITLE,
        20,
        "stability",
        lambda _: True,
        rows,
        components=(AXIAL,),
        walls="every wall",
        capacity="Euler load of the tube with the tangent modulus, limited to first yield of the wall",
        knockdown="1",
        source="common practice",
        formulas=("tube-bending-stiffness", "column-load", "force-margin"),
        shape="one half-wave along the barrel; the cross-section keeps its shape and moves sideways",
    ),
)
