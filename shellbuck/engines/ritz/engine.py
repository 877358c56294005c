"""The Ritz engines: membrane prestress with any loads, and the nonlinear path of axial compression."""

from __future__ import annotations

from ...core.engine_records import Load
from .. import ritz
from ..problem import AXIAL, BucklingProblem, Engine, at_once
from .barrel import RitzBarrel


def _membrane(problem: BucklingProblem) -> Load:
    barrel, modes, left_out = RitzBarrel.of(problem), problem.effort.modes, () if problem.tilt else (1,)
    if problem.growing == AXIAL:
        return ritz.membrane(barrel, pressure=problem.pressure, leave_out=left_out, shapes=modes)
    return ritz.proportional(barrel, problem.growing, pressure=problem.pressure, leave_out=left_out, shapes=modes)


def _nonlinear(problem: BucklingProblem) -> Load:
    return ritz.nonlinear(
        RitzBarrel.of(problem),
        pressure=problem.pressure,
        z_load=problem.load_height,
        each_harmonic=problem.effort.each_harmonic,
        tilt=problem.tilt,
    )


ENGINES = {
    one.name: one
    for one in (
        Engine("Ritz", at_once(_membrane), stations=True, growing=("axial", "hoop", "shear")),
        Engine("Ritz with edge bending", at_once(_nonlinear), stations=True, prestress=("edge bending",)),
    )
}
