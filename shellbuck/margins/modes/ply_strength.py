"""The first ply of a laminate that fails, by maximum stress or maximum strain."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ...core.records import Worked
from ...handbook import strength, work
from ...model import Case
from ..findings import Findings, Row, Story
from ..membrane import LEAST_STRESS
from ..ply_stress import ply_stresses
from ..state import State
from .mode import FailureMode

_SOURCE = "classical lamination theory; own strengths of the plies"


def rows(s: State, _: Findings) -> Iterator[Row]:
    """The ply that uses most of its strength."""
    worst = max(ply_stresses(s), key=lambda one: one.share)
    loaded = bool(np.abs(worst.stress).max() >= LEAST_STRESS)
    margin = strength.stress_margin(worst.allowable, worst.value) if loaded else np.nan

    def story() -> Story:
        row = dict(
            quantity="strain" if s.case.wall.criterion == "maximum strain" else "stress",
            factor=s.load.factors.ultimate_factor,
            demand=worst.value,
            capacity=worst.allowable,
            equation=f"{s.case.wall.criterion} of the first ply at the factored loads: {worst.title} {worst.component}",
            source=_SOURCE,
            note=worst.words,
        )
        last: tuple[Worked, ...] = ()
        if loaded:
            last = (work(strength.stress_margin, F=worst.allowable, sigma=worst.value),)
        return Story(row | {"worked": (*worst.worked, *last)})

    yield Row("first ply, ultimate", margin, loaded, idle="holds", story=story)


def _plies(case: Case) -> bool:
    return case.wall.layered and case.wall.has_strengths


MODES = (
    FailureMode(
        "ply-strength",
        "first ply, ultimate",
        61,
        "strength",
        _plies,
        rows,
        walls="laminates whose plies have strengths",
        capacity="strength of a ply along, across and in shear, one at a time, or strength over modulus against "
        "strains",
        knockdown="none",
        valid="membrane strains; linear to failure; pressure at its maximum with the factor and at its minimum without",
        source=_SOURCE,
        formulas=("strain-along", "strain-sheared", "ply-stiffness-along", "stress-margin"),
        shape="no buckling mode",
    ),
)
