"""Plasticity: every capacity is the root of N = eta N_e, where eta belongs to the stress at this very N.

The elastic capacity has its knockdown before eta comes in. Of a wall the most stressed element counts: the skin by its
effective stress, a rib by its compressive stress, each with its own metal, whichever gives the least eta (own rule).
Numbers may be floats or (N,) arrays, so that one design and many share them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from ..core.records import Beside, Check, Worked
from ..engines.closed_form.plastic import Curve, Rule, axisymmetric_bifurcation, plastic_load
from ..handbook import plasticity, strength, work
from ..handbook.plain import SHORT_LIMIT
from ..model import Case, Material
from ..model.case import metals
from ..model.material import ASSUMED_EXPONENT
from ..model.walls import RibFamily, SmearedWall
from .membrane import AXIAL, HOOP, LEAST_STRESS, membrane_stresses, rib_strain

LONG_CYLINDER = Rule(plasticity.moderately_long_factor)
COLUMN = Rule(plasticity.tangent_modulus_factor)
SUPPORTED_PLATE = Rule(plasticity.supported_plate_factor)
ONE_EDGE_FREE = Rule(plasticity.secant_modulus_factor)


def cylinder(gamma_Z: Any) -> Rule:
    """The factor of a wall in axial compression: Eq 11 from the class limit of gamma Z on, below it linear to Eq 12."""
    if np.all(np.greater_equal(gamma_Z, SHORT_LIMIT)):
        return LONG_CYLINDER
    return Rule(plasticity.short_cylinder_factor, gamma_Z=np.minimum(gamma_Z, SHORT_LIMIT))


def curve_of(metal: Material, temperature: Any) -> Curve:
    """Compressive stress-strain curve of a metal; the exponent is assumed where none is given."""
    point, n = metal.at(temperature), metal.hardening_exponent
    return Curve(point.compressive_modulus, point.compressive_yield, ASSUMED_EXPONENT if n is None else n, n is None)


class Field(NamedTuple):
    """A pressure under which a wall is judged: its name, the hoop line load p R, and what the thrust of closed ends at
    this pressure exceeds the relief by, which is at minimum pressure [N/m]."""

    name: str
    N_theta: Any
    more_thrust: Any = 0.0


@dataclass(frozen=True)
class Skin:
    """The skin in one field; `s`, `k`, `q` as in `plasticity.skin_effective_stress`."""

    where: str
    curve: Curve
    field: Field
    s: Any
    k: Any
    q: Any

    @property
    def rate(self) -> Any:
        """Stress of a line load of 1, nothing else acting."""
        return self.s

    def square(self, N: Any) -> tuple[Any, Any]:
        """Square of the stress under a capacity, and the slope of that square."""
        x = N - self.field.more_thrust
        return np.maximum((self.s**2 * x + 2 * self.k) * x + self.q**2, 0.0), 2 * (self.s**2 * x + self.k)

    def _terms(self) -> dict[str, Any]:
        return dict(s=self.s, k=self.k, q=self.q)

    def yield_load(self) -> Any:
        """Capacity at which the stress is the yield strength [N/m]; 0 where the hoop tension alone is beyond it."""
        with np.errstate(invalid="ignore"):
            found = strength.skin_yield_line_load(**self._terms(), F=self.curve.F_cy) + self.field.more_thrust
        return np.where(np.isnan(found), 0.0, found)

    def yield_worked(self) -> Worked:
        return work(strength.skin_yield_line_load, **self._terms(), F=self.curve.F_cy)

    def worked(self, N: float) -> tuple[Worked, ...]:
        return (work(plasticity.skin_effective_stress, **self._terms(), N=N - self.field.more_thrust),)


@dataclass(frozen=True)
class Rib:
    """A rib family in one field: strains along it per unit of axial and hoop line load [m/N]."""

    where: str
    curve: Curve
    field: Field
    a_x: Any
    a_theta: Any

    @property
    def rate(self) -> Any:
        """Compressive stress of a line load of 1, nothing else acting; 0 where it stretches the rib."""
        return np.maximum(self.curve.E * self.a_x, 0.0)

    def _terms(self, N: Any) -> dict[str, Any]:
        x = N - self.field.more_thrust
        return dict(E=self.curve.E, a_x=self.a_x, a_theta=self.a_theta, N_x=-x, N_theta=self.field.N_theta)

    def square(self, N: Any) -> tuple[Any, Any]:
        """Square of the compressive stress under a capacity, and the slope of that square."""
        stress = np.maximum(strength.rib_stress(**self._terms(N)), 0.0)
        return stress**2, 2 * stress * self.curve.E * self.a_x

    def _yield_terms(self) -> dict[str, Any]:
        # `rib_yield_line_load` counts the hoop stress positive where it opposes the axial one
        return dict(s=self.curve.E * self.a_x, q=self.curve.E * self.a_theta * self.field.N_theta, F=self.curve.F_cy)

    def yield_load(self) -> Any:
        """Capacity at which the compressive stress is the yield strength [N/m]."""
        found = strength.rib_yield_line_load(**self._yield_terms()) + self.field.more_thrust
        return np.where(np.greater(self.a_x, 0), found, np.inf)

    def yield_worked(self) -> Worked:
        return work(strength.rib_yield_line_load, **self._yield_terms())

    def worked(self, N: float) -> tuple[Worked, ...]:
        return (work(strength.rib_stress, **self._terms(N)),)


@dataclass(frozen=True)
class Proportional:
    """An element whose stress is proportional to the load that counts: `rate` is that of a load of 1; 1 for a plate or
    rib whose capacity is its own stress."""

    where: str
    curve: Curve
    rate: Any = 1.0
    field = Field("", 0.0)

    def square(self, load: Any) -> tuple[Any, Any]:
        return (self.rate * load) ** 2, 2 * self.rate**2 * load

    def yield_load(self) -> Any:
        return self.curve.F_cy / self.rate

    def worked(self, _: float) -> tuple[Worked, ...]:
        return ()


Element = Skin | Rib | Proportional


def wall_elements(
    wall: SmearedWall, skin: Curve, ribs: Sequence[Curve], fields: Iterable[Field]
) -> tuple[Element, ...]:
    """Skin and rib families of a wall in every field; none of a wall without a metal.

    Parameters
    ----------
    wall : SmearedWall
        Or a stack of walls.
    skin : Curve
    ribs : sequence of Curve
        Of the wall's rib families, in their order; the skin's own object where the metal is the same.
    fields : iterable of Field
    """
    if wall.skin is None:
        return ()
    push, pull = (membrane_stresses(wall, N)[0] for N in (-AXIAL, HOOP))
    s_x, s_y, q_x, q_y = push[..., 0], push[..., 1], pull[..., 0], pull[..., 1]
    s, q = strength.von_mises_stress(s_x, s_y, 0.0), strength.von_mises_stress(q_x, q_y, 0.0)
    k = s_x * q_x + s_y * q_y - (s_x * q_y + s_y * q_x) / 2
    strains = [(rib_strain(wall, rib, AXIAL), rib_strain(wall, rib, HOOP)) for rib in wall.ribs]
    found: list[Element] = []
    for field in fields:
        found.append(Skin(f"skin, {field.name}", skin, field, s, k * field.N_theta, q * np.abs(field.N_theta)))
        for rib, curve, (a_x, a_theta) in zip(wall.ribs, ribs, strains, strict=True):
            found.append(Rib(f"{rib.name}, {field.name}", curve, field, a_x, a_theta))
    return tuple(found)


def rib_metal(case: Case, rib: RibFamily) -> Material:
    """Metal of a rib family: its own, or that of the skin."""
    return rib.material or case.material


def case_elements(case: Case, temperature: Any, wall: SmearedWall, fields: Iterable[Field]) -> tuple[Element, ...]:
    """`wall_elements` with the curves of the case's metals."""
    if wall.skin is None:
        return ()
    skin = curve_of(case.material, temperature)
    own = (rib_metal(case, rib) for rib in wall.ribs)
    ribs = [skin if metal is case.material else curve_of(metal, temperature) for metal in own]
    return wall_elements(wall, skin, ribs, fields)


@dataclass(frozen=True, eq=False)
class Plastic:
    """A capacity above the elastic range: the elastic one, what is left of it (line loads [N/m] or stresses [Pa]), and
    what that rests on. The properties are for one design."""

    elastic: Any
    load: Any
    rule: Rule
    elements: tuple[Element, ...]

    @property
    def eta(self) -> Any:
        """What is left of the elastic capacity."""
        with np.errstate(all="ignore"):
            found = np.where(np.equal(self.elastic, self.load), 1.0, np.divide(self.load, self.elastic))
        return found if found.shape else float(found)

    def _at(self, element: Element) -> float:
        """The load whose stress counts: none where the pressure alone stresses the element more."""
        return max(0.0, self.load, key=lambda N: float(element.square(N)[0]))

    def _moduli(self, element: Element) -> dict[str, float]:
        sigma = max(float(np.sqrt(element.square(self._at(element))[0])), LEAST_STRESS)
        curve = {key: float(getattr(element.curve, key)) for key in ("E", "F_cy", "n")}
        return dict(sigma=sigma, **curve)

    @cached_property
    def governing(self) -> Element | None:
        """The element with the least factor, or the one that yields where the exponent is assumed."""

        def factor(element: Element) -> float:
            at = self._moduli(element)
            return float(self.rule(plasticity.secant_modulus(**at), plasticity.tangent_modulus(**at), at["E"]))

        limits = [e for e in self.elements if e.curve.assumed and float(e.yield_load()) <= self.load]
        return (
            min(limits, key=lambda e: float(e.yield_load())) if limits else min(self.elements, key=factor, default=None)
        )

    @property
    def limited(self) -> bool:
        """Whether first yield limits the capacity: the hardening exponent is assumed and no strength above yield is
        known."""
        found = self.governing
        return found is not None and found.curve.assumed and float(found.yield_load()) <= self.load

    @property
    def stress(self) -> float:
        """Stress of the governing element [Pa]."""
        return self._moduli(self.governing)["sigma"]

    def worked(self) -> tuple[Worked, ...]:
        """Stress, moduli and factor of the governing element; the yield load where that limits."""
        element = self.governing
        if element is None:
            return ()
        if self.limited:
            # pressure alone beyond yield leaves no load to print
            printed = hasattr(element, "yield_worked") and float(element.yield_load()) > 0
            return (element.yield_worked(),) if printed else ()
        at, stress = self._moduli(element), element.worked(self._at(element))
        if stress:  # the printed stress goes on, to the last digit
            at["sigma"] = max(stress[-1].value, LEAST_STRESS)
        moduli = tuple(work(formula, **at) for formula in (plasticity.secant_modulus, plasticity.tangent_modulus))
        return (*stress, *moduli, self.rule.worked(*(m.value for m in moduli), at["E"]))


def plastic_line_load(elastic: Any, elements: Sequence[Element], rule: Rule) -> Plastic:
    """Capacity of a wall, a field of its skin or the barrel as a column.

    Parameters
    ----------
    elastic : float or numpy.ndarray
        Elastic net line load, its knockdown applied [N/m].
    elements : sequence of Element
        See `case_elements`; without any the elastic load is left as it is.
    rule : Rule
        `cylinder`, `COLUMN`, `SUPPORTED_PLATE` or `ONE_EDGE_FREE`.

    Returns
    -------
    Plastic
        No load above the elastic one. Where the exponent is assumed, none above first yield either: a curve that is
        assumed round is on the safe side below yield only.
    """
    load = elastic
    for curve in {id(e.curve): e.curve for e in elements}.values():
        same = [e for e in elements if e.curve is curve]
        load = np.minimum(load, plastic_load(elastic, _stress(same), curve, rule))
        if curve.assumed:
            with np.errstate(all="ignore"):
                limits = [np.maximum(e.yield_load(), 0.0) for e in same]
            load = np.minimum(load, np.minimum.reduce(np.broadcast_arrays(*limits)))
    return Plastic(elastic, load if np.ndim(load) else float(load), rule, tuple(elements))


def _stress(elements: Sequence[Element]) -> Any:
    """The largest stress of elements of one metal, as `plastic_load` takes it."""
    if not any(np.any(e.field.N_theta) or np.any(e.field.more_thrust) for e in elements):
        rates = [e.rate for e in elements]
        return np.maximum.reduce(np.broadcast_arrays(*rates)) if len(rates) > 1 else rates[0]

    def largest(N: Any) -> tuple[Any, Any]:
        square, slope = elements[0].square(N)
        for element in elements[1:]:
            other, its = element.square(N)
            more = other > square
            square, slope = np.where(more, other, square), np.where(more, its, slope)
        return square, slope

    return largest


def plastic_stress(elastic: Any, curve: Curve, rule: Rule, where: str = "own stress") -> Plastic:
    """Stress at which a plate or rib of this elastic buckling stress [Pa] buckles."""
    return plastic_line_load(elastic, (Proportional(where, curve),), rule)


def axisymmetric_besides(curve: Curve, nu: float, t: float, R: float) -> tuple[Beside, ...]:
    """Plastic bifurcation of a perfect plain wall in its axisymmetric mode, by both theories of plasticity."""
    return tuple(
        Beside(
            f"axisymmetric plastic bifurcation, {theory} theory",
            axisymmetric_bifurcation(R / t, nu, curve, theory) * t,
            "perfect wall without pressure, no knockdown (J2)",
        )
        for theory in ("flow", "deformation")
    )


def hardening_checks(case: Case) -> Iterator[Check]:
    """The warning of every metal whose hardening exponent is assumed."""
    for where, metal in metals(case.material, case.wall):
        if caution := metal.hardening_caution:
            yield Check("hardening-exponent-assumed", "warned", f"{metal.name}: {caution}", where, "own rule")
