"""Loads above the elastic range: the root of N = eta(stress at N) N_e, and the axisymmetric mode of plain walls."""

from __future__ import annotations

from collections.abc import Callable
from inspect import signature
from typing import Any, Literal, NamedTuple

import numpy as np

from ...core.records import Worked
from ...handbook import plain, plasticity, work

MOST_STEPS = 120
"""Steps after which a root counts as not found: halving alone would have found it."""

SLOW = 12
"""Steps after which every fifth one halves the bracket."""

SMALL_STEP = 1e-9
"""Relative step after which the next error of Newton's iteration is rounding."""

ROUNDING = 4e-15
"""The same after a halving, which brings no accuracy with it."""

SHIFT = 1e-6
"""Relative change of strain for the slope of a factor; a small error of the slope costs no accuracy of the root."""

MOST_LEVEL = 300.0
"""Logarithm of the plastic over the elastic strain from which on products of moduli would underflow."""

_FACTORS = {"flow": plasticity.axisymmetric_flow_factor, "deformation": plasticity.axisymmetric_deformation_factor}


class Curve(NamedTuple):
    """Stress-strain curve of a metal: compression modulus and yield strength [Pa], hardening exponent, and whether
    that exponent is assumed. Numbers or (N,)."""

    E: Any
    F_cy: Any
    n: Any
    assumed: bool = False


class Rule:
    """A plasticity factor of the handbook as a function of the moduli alone; `given` are its other arguments."""

    def __init__(self, formula: Callable, **given: Any):
        self.formula, self.given = formula, given
        self._moduli = [name for name in signature(formula).parameters if name not in given]

    def _inputs(self, E_s: Any, E_t: Any, E: Any) -> dict[str, Any]:
        known = {"E_s": E_s, "E_t": E_t, "E": E}
        return {**{name: known[name] for name in self._moduli}, **self.given}

    def __call__(self, E_s: Any, E_t: Any, E: Any = 1.0) -> Any:
        """The factor of secant, tangent and elastic modulus in any one unit."""
        return self.formula(**self._inputs(E_s, E_t, E))

    def worked(self, E_s: float, E_t: float, E: float) -> Worked:
        """The factor with its numbers [Pa]."""
        return work(self.formula, **self._inputs(E_s, E_t, E))


Stress = Callable[[Any], tuple[Any, Any]]
"""Load -> square of the effective stress, and the slope of that square in the load."""


def plastic_load(elastic: Any, stress: Any, curve: Curve, rule: Rule) -> Any:
    """Root of N = eta(stress at N) N_e; numbers or (N,).

    Parameters
    ----------
    elastic : float or numpy.ndarray
        Elastic load N_e with its knockdown, in any unit. What is not positive and finite is given back as it is.
    stress : float or numpy.ndarray or callable
        Effective stress of a load of 1; where it is not proportional to the load a `Stress`. Its value at no load
        is the least that counts: a larger load has no larger factor then, and the root is the only one.
    curve : Curve
    rule : Rule

    Returns
    -------
    float or numpy.ndarray
        None above the elastic load; nan where anything is.

    Notes
    -----
    Newton's iteration on y = ln eta. Where the squared stress is a polynomial of the load with positive
    coefficients the residual is convex in y and every step but the first comes from above; a bracket guards the others.
    """
    elastic = np.asarray(elastic, dtype=float)
    usable = np.isfinite(elastic) & (elastic > 0)
    with np.errstate(all="ignore"):
        top = np.where(usable, elastic, 1.0)
        power = np.asarray(curve.n) - 1.0
        level = np.log(plasticity.OFFSET * curve.E / curve.F_cy)
        if callable(stress):
            y = _root(_levels(stress, top, level, power, curve.F_cy**2), curve.n, rule, guarded=True)
        else:
            highest = level + power * np.log(np.abs(stress) * top / curve.F_cy)
            y = _root(lambda y: (highest + power * y, power), curve.n, rule, guarded=False)
        found = np.where(usable, elastic * np.exp(np.minimum(y, 0.0)), elastic)
    return found if found.shape else float(found)


def _levels(stress: Stress, top: Any, level: Any, power: Any, F_squared: Any) -> Callable[[Any], tuple[Any, Any]]:
    """ln eta -> logarithm of the plastic over the elastic strain, and its slope."""
    # the floor keeps the logarithm of no stress finite: no curve has plastic strain there
    floor = np.maximum(stress(0.0)[0], 1e-200)

    def at(y: Any) -> tuple[Any, Any]:
        load = top * np.exp(y)
        square, slope = stress(load)
        kept = np.maximum(square, floor)
        return level + power / 2 * np.log(kept / F_squared), power / 2 * np.where(
            square > floor, slope * load / kept, 0.0
        )

    return at


def _root(level: Callable[[Any], tuple[Any, Any]], n: Any, rule: Rule, guarded: bool) -> Any:
    """ln eta of `plastic_load`."""
    y, low, high, far = 0.0, -np.inf, 0.0, True
    for step in range(MOST_STEPS):
        z, slope = level(y)
        strain = np.exp(np.minimum(z, MOST_LEVEL))
        more = strain * (1 + SHIFT)
        eta = rule(1 / (1 + strain), 1 / (1 + n * strain))
        # the factor's own slope as a difference: no derivative is written beside the formula
        fall = (1 - rule(1 / (1 + more), 1 / (1 + n * more)) / eta) / SHIFT
        residual = y - np.log(eta)
        new, least = y - residual / (1 + np.maximum(fall, 0.0) * slope), SMALL_STEP
        if guarded:
            above = residual >= 0
            low, high = np.where(above, low, y), np.where(above, y, high)
            outside = np.where(above, new <= low, new >= high)
            if step > SLOW and step % 5 == 0:
                outside |= far
            new = np.where(outside, (low + high) / 2, new)
            least = np.where(outside, ROUNDING, SMALL_STEP)
        far = np.abs(new - y) > least
        y = new
        if not np.any(far):
            return y
    return np.where(far, np.nan, y)


def axisymmetric_bifurcation(R_over_t: Any, nu: Any, curve: Curve, theory: Literal["flow", "deformation"]) -> Any:
    """Stress at which a perfect plain wall in axial compression bifurcates axisymmetrically [Pa]; numbers or (N,).

    Moderately long, uniaxial stress, elastic Poisson's ratio, isotropic hardening (J2).

    Examples
    --------
    >>> axisymmetric_bifurcation(100.0, 0.3, Curve(70e9, 300e6, 10.0), "deformation")
    260847911...
    """
    elastic = plain.classical_line_load(curve.E, nu, 1.0, R_over_t)
    return plastic_load(elastic, 1.0, curve, Rule(_FACTORS[theory], nu=nu))
