"""Capacities of torque, shear force and external pressure alone, over a barrel or a bay: of one design or of many.

Plain walls take the equations of the standard by class of length, stiffened ones its determinant (external pressure)
and its equation for torsion, all with the standard's factors. A shear force is judged as the torsion of its greatest
shear flow (own rule). Internal pressure is not credited.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from ..core.records import Beside, Check, Knockdown, Load, ModeBasis, Worked
from ..engines import closed_form
from ..handbook import external, plain, plasticity, shell, torsion, work
from ..model.walls import SmearedWall
from .basis import mode_basis
from .components import EXTERNAL, SHEAR, TORQUE
from .engines import Mask, Number
from .flows import flow_elements, pressure_elements
from .inelastic import reduction_lines, said
from .plasticity import ONE_EDGE_FREE, Plastic, Rule, plastic_line_load
from .state import LEAST_CAPACITY, State

_EQUATION = "equation of the standard, moderate deflections of a perfect shell"
SHEAR_RULE = "own rule: a shear force as the torsion of its greatest shear flow V/(pi R)"


@dataclass(frozen=True, eq=False)
class Alone:
    """A load component alone: capacity with its factor, plasticity and yield counted [N/m] or [Pa].

    `knockdown` is the factor in it, by the `rule` of the standard; `equation`, `lines` and `load` are those of a single
    design.
    """

    knockdown: Number
    rule: str
    plastic: Plastic
    capacity: Number
    equation: Callable[[], str]
    lines: Callable[[], tuple[Worked, ...]]
    load: Callable[[], Load]
    refused: dict[str, Mask] = field(default_factory=dict)
    checks: Callable[[], tuple[Check, ...]] = tuple
    computed: Callable[[], Load] | None = None
    """The computed load beside an equation that has no mode."""


@dataclass(frozen=True, eq=False)
class Further:
    """The load components of a load case beside axial force and bending; torque and shear force share a capacity."""

    state: State
    title: str
    length: Number
    found: dict[tuple[str, ...], Alone]

    @cached_property
    def _by_component(self) -> dict[str, Alone]:
        return {key: one for keys, one in self.found.items() for key in keys}

    @property
    def capacities(self) -> dict[str, Number]:
        return {key: one.capacity for key, one in self._by_component.items()}

    @property
    def knockdowns(self) -> dict[str, float]:
        """Of a single design."""
        return {key: float(one.knockdown) for key, one in self._by_component.items()}

    @property
    def refused(self) -> dict[str, Mask]:
        """Code of a refusal to where it is: of components that load the wall."""
        masks: dict[str, Mask] = {}
        for key, one in self._by_component.items():
            for code, mask in one.refused.items():
                masks[code] = masks.get(code, np.False_) | (np.asarray(mask) & (self.state.further[key] > 0))
        return masks

    # --- of a single design

    @property
    def equation(self) -> str:
        """What the equation of a row goes on with."""
        return "".join(f"; {_named(keys)}: {one.equation()}" for keys, one in self.found.items())

    @property
    def worked(self) -> tuple[Worked, ...]:
        lines: list[Worked] = []
        for keys, one in self.found.items():
            lines += (*one.lines(), *plastic_lines(one.plastic, keys))
        return tuple(lines)

    @property
    def loads(self) -> tuple[Load, ...]:
        return tuple(
            replace(make(), component=_named(keys))
            for keys, one in self.found.items()
            for make in (one.load, one.computed)
            if make is not None
        )

    @property
    def checks(self) -> tuple[Check, ...]:
        found: list[Check] = []
        for keys, one in self.found.items():
            found += one.checks()
            if one.plastic.governing is not None and said(one.plastic):
                eta = float(one.plastic.eta)
                text = f"{self.title}: capacity in {_named(keys)} alone reduced by plasticity, eta = {eta:.3f}"
                source = "NASA SP-8007 Rev 2, Eqs 30-32, 40"
                found.append(Check("plasticity", "passed", text, self.state.load.name, source))
            if SHEAR in keys:
                text = f"{self.title}: {SHEAR_RULE}"
                found.append(Check("shear-force-rule", "passed", text, self.state.load.name, "own rule"))
        return tuple(found)

    @property
    def knockdown_records(self) -> tuple[Knockdown, ...]:
        return tuple(
            Knockdown(self.title, ((key, float(one.knockdown)),), f"NASA SP-8007 Rev 2, {one.rule}")
            for key, one in self._by_component.items()
        )

    def besides(self) -> tuple[Beside, ...]:
        """Computed loads with their waves."""
        return tuple(
            Beside(load.name, load.line_load, f"{load.definition}, {_waves(load)}, before any factor")
            for load in self.loads
            if load.n is not None
        )

    def basis(self, ratios: dict[str, Number], limited: str) -> ModeBasis | None:
        """What the row rests on where one of these components takes the largest share of it."""
        leading = max(ratios, key=lambda key: float(ratios[key]))
        for keys, one in self.found.items():
            if leading in keys:
                load = replace(one.load(), component=_named(keys))
                beside = None if one.computed is None else one.computed()
                return mode_basis(self.state, load, self.length, limited=limited, beside=beside)
        return None


def _named(keys: tuple[str, ...]) -> str:
    return " and ".join(keys)


def plastic_lines(plastic: Plastic, keys: tuple[str, ...]) -> tuple[Worked, ...]:
    """How plasticity reduces the capacity of components alone."""
    if EXTERNAL in keys:
        return reduction_lines(plastic, plasticity.plastic_stress, sigma_el=plastic.elastic)
    return reduction_lines(plastic, plasticity.plastic_line_load, N_e=plastic.elastic)


def flows_of(s: State) -> tuple[str, ...]:
    """The components of a load case that are shear flows."""
    return tuple(key for key in (TORQUE, SHEAR) if key in s.further)


def further(s: State, wall: SmearedWall, length: Number, title: str, *, cut: bool = False) -> Further:
    """Capacities of a wall over a length under every further component of the load case.

    Parameters
    ----------
    s : State
    wall : SmearedWall
        Of the barrel, or of the bay without its rings.
    length : float or numpy.ndarray
        Of barrel or bay [m].
    title : str
        Of the row.
    cut : bool
        True lets none exceed first yield, as for every part of the barrel.
    """
    bare = wall.skin is not None and not wall.ribs
    found: dict[tuple[str, ...], Alone] = {}
    if flows := flows_of(s):
        found[flows] = (_plain_torsion if bare else _stiffened_torsion)(s, wall, length, title, cut)
    if EXTERNAL in s.further:
        found[EXTERNAL,] = (_plain_pressure if bare else _stiffened_pressure)(s, wall, length, title, cut)
    return Further(s, title, length, found)


def _waves(load: Load) -> str:
    return f"n = {load.n}" if load.m is None else f"(m, n) = ({load.m}, {load.n})"


def left_of(elastic: Number, elements: tuple, rule: Rule, cut: bool) -> tuple[Plastic, Number]:
    """Plasticity, and first yield where it cuts."""
    plastic = plastic_line_load(elastic, elements, rule)
    capacity = plastic.load
    if cut:
        for element in elements:
            capacity = np.minimum(capacity, element.yield_load())
    # what is refused has no capacity: its ratio then never reads as small
    return plastic, np.maximum(np.where(np.isnan(capacity), LEAST_CAPACITY, capacity), LEAST_CAPACITY)[()]


def _record(name: str, line_load: Number, source: str, treatment: str, definition: str) -> Load:
    return Load(
        name=name,
        line_load=float(line_load),
        theory=_EQUATION,
        edges="simply supported (SS3)",
        prestress="membrane, uniform",
        load_position="skin middle",
        pressure_treatment=treatment,
        definition=definition,
        source=source,
    )


# --- torsion


def _plain_torsion(s: State, wall: SmearedWall, length: Number, title: str, cut: bool) -> Alone:
    E, nu, t, R = wall.skin.E, wall.skin.nu, s.t, s.R
    Z = plain.batdorf_parameter(length, R, t, nu)
    gamma, gamma_Z = torsion.MODERATE_FACTOR, torsion.MODERATE_FACTOR * Z
    k = torsion.torsion_coefficient(gamma, Z)
    brief, long = gamma_Z < torsion.MODERATE_FROM, gamma_Z > torsion.long_torsion_limit(R / t, nu)
    k = np.where(brief, np.maximum(k, torsion.FLAT_PLATE), k)
    moderate = torsion.coefficient_flow(k, E, nu, t, length)
    very_long = torsion.long_flow(E, nu, t, R, torsion.LONG_FACTOR)
    elastic = np.where(long, very_long, moderate)[()]
    plastic, capacity = left_of(elastic, flow_elements(s, wall), ONE_EDGE_FREE, cut)
    factor = np.where(long, torsion.LONG_FACTOR, torsion.MODERATE_POWER)[()]

    def lines() -> tuple[Worked, ...]:
        if long:
            return (work(torsion.long_flow, E=E, nu=nu, t=t, R=R, gamma=torsion.LONG_FACTOR),)
        of = () if k == torsion.FLAT_PLATE else (work(torsion.torsion_coefficient, gamma=gamma, Z=Z),)
        return (*of, work(torsion.coefficient_flow, k=k, E=E, nu=nu, t=t, L=length))

    def equation() -> str:
        if long:
            return "very long cylinder in torsion, Eqs 38 and 39"
        if brief:
            return f"torsion with k = {float(k):.4g}, the larger of 5.34 and Eq 34 below gamma Z = 50 (own rule)"
        return "moderately long cylinder in torsion, Eqs 34 and 37"

    return Alone(
        factor,
        "Eqs 37 and 39 (torsion)",
        plastic,
        capacity,
        equation,
        lines,
        lambda: _record(f"{title}, torsion", elastic, equation(), "pressure not credited", "shear flow, factor in it"),
    )


def _stiffened_torsion(s: State, wall: SmearedWall, length: Number, title: str, cut: bool) -> Alone:
    """The standard's equation in its range, or the computed load where that is lower: the equation counts hoop bending
    and axial stretching alone, which overstates walls that are soft along the axis or in twist up to five times."""
    A, B, D, R = wall.A, wall.B, wall.D, s.R
    stretched = dict(E_x=A[..., 0, 0], E_y=A[..., 1, 1], E_xy=A[..., 0, 1])
    S_x = torsion.free_stretching(**stretched)
    of_x = dict(D=D[..., 0, 0], C=B[..., 0, 0], S=A[..., 0, 0])
    of_y = dict(D=D[..., 1, 1], C=B[..., 1, 1], S=A[..., 1, 1])
    D_x, D_y = torsion.neutral_stiffness(**of_x), torsion.neutral_stiffness(**of_y)
    flow = dict(gamma=torsion.MODERATE_POWER, D_y=D_y, S_x=S_x, R=R, L=length)
    at = dict(D_x=D_x, D_y=D_y, S_x=S_x, R=R, L=length)
    letter, reach = torsion.stiffened_torsion_flow(**flow), torsion.stiffened_torsion_range(**at)
    least, found = s.engines.torsion(wall, length)
    computed = torsion.MODERATE_POWER * least
    within = np.asarray(reach > torsion.LEAST_RANGE)
    elastic = np.where(within, np.minimum(letter, computed), computed)[()]
    plastic, capacity = left_of(elastic, flow_elements(s, wall), ONE_EDGE_FREE, cut)

    def lines() -> tuple[Worked, ...]:
        stiff = (
            work(torsion.neutral_stiffness, **of_x),
            work(torsion.neutral_stiffness, **of_y),
            work(torsion.free_stretching, **stretched),
        )
        equation = work(torsion.stiffened_torsion_range, **at), work(torsion.stiffened_torsion_flow, **flow)
        own = work(torsion.computed_torsion_flow, gamma=torsion.MODERATE_POWER, q_e=least)
        return (*stiff, *equation, own)

    def equation() -> str:
        if elastic < computed:
            return "orthotropic cylinder in torsion, Eq 69 with D_y about the neutral axis"
        return f"factor times the computed load in torsion (n = {load().n}), {_beside_letter()}"

    def _beside_letter() -> str:
        place = "in" if within else "outside"
        return f"Eq 69 gives {float(letter / computed):.3g} times that {place} its range"

    def load() -> Load:
        return found(f"{title}, torsion")

    def checks() -> tuple[Check, ...]:
        text = (
            f"{title}: torsion counts the lower of Eq 69 and factor times the computed load; {_beside_letter()} (Eq "
            f"70: {float(reach):.4g}, above {torsion.LEAST_RANGE:g})"
        )
        return (Check("torsion-range", "passed", text, s.load.name, "NASA SP-8007 Rev 2, Eqs 69, 70; own rule"),)

    unproved = {"search-too-large": ~np.isfinite(np.asarray(least))}
    rule = "4.1.2.4 (torsion)"
    return Alone(torsion.MODERATE_POWER, rule, plastic, capacity, equation, lines, load, unproved, checks)


# --- external pressure


def _plain_pressure(s: State, wall: SmearedWall, length: Number, title: str, cut: bool) -> Alone:
    E, nu, t, R, closed = wall.skin.E, wall.skin.nu, s.t, s.R, s.case.barrel.closed
    Z = plain.batdorf_parameter(length, R, t, nu)
    gamma, gamma_Z = external.MODERATE_FACTOR, external.MODERATE_FACTOR * Z
    limit = external.long_pressure_limit(R / t, nu)
    brief, long = gamma_Z <= external.MODERATE_FROM, gamma_Z > limit
    b = external.lowest_aspect(gamma_Z, closed)
    short = external.hydrostatic_coefficient if closed else external.lateral_coefficient
    k = np.where(brief, short(b, gamma, Z), external.moderate_coefficient(gamma, Z))[()]
    moderate = external.coefficient_pressure(k, E, nu, t, R, length)
    elastic = np.where(long, external.long_pressure(E, nu, t, R, external.LONG_FACTOR), moderate)[()]
    share = np.clip((gamma_Z - 5) / 95, 0.0, 1.0)  # of Eq 31 between Eqs 30 and 31
    weights = dict(w_s=np.where(long, 0.0, 1 - share), w_m=np.where(long, 0.0, share), w_l=np.where(long, 1.0, 0.0))
    rule = Rule(plasticity.external_pressure_factor, **weights)
    plastic, capacity = left_of(elastic, pressure_elements(s, wall), rule, cut)
    kind = "hydrostatic" if closed else "lateral"

    def lines() -> tuple[Worked, ...]:
        if long:
            return (work(external.long_pressure, E=E, nu=nu, t=t, R=R, gamma=external.LONG_FACTOR),)
        terms = dict(gamma=gamma, Z=Z)
        of = work(short, b=b, **terms) if brief else work(external.moderate_coefficient, **terms)
        return of, work(external.coefficient_pressure, k=k, E=E, nu=nu, t=t, R=R, L=length)

    def equation() -> str:
        if long:
            return "long cylinder under external pressure, Eqs 27 and 29"
        return f"{kind} pressure, {'Eqs 19-20' if brief else 'Eqs 21-22'} with Eq 28"

    def record() -> Load:
        name, at = f"{title}, {kind} external pressure", "hoop line load p R, factor in it"
        return _record(name, elastic * R, equation(), "external pressure is the load", at)

    def computed() -> Load:
        _, named = s.engines.external_pressure(wall, length, hydrostatic=closed)
        return named(f"{title}, {kind} external pressure, Donnell")

    factor = np.where(long, external.LONG_FACTOR, external.MODERATE_FACTOR**0.5)[()]
    named = "Eqs 28 and 29 (external pressure)"
    return Alone(factor, named, plastic, capacity, equation, lines, record, computed=computed)


def _stiffened_pressure(s: State, wall: SmearedWall, length: Number, title: str, cut: bool) -> Alone:
    closed, R, gamma = s.case.barrel.closed, s.R, external.STIFFENED_FACTOR
    least, found = s.engines.external_pressure(wall, length, hydrostatic=closed)
    elastic = gamma * least
    rule = Rule(plasticity.external_pressure_factor, w_s=0.0, w_m=1.0, w_l=0.0)
    plastic, capacity = left_of(elastic, pressure_elements(s, wall), rule, cut)
    kind = "hydrostatic" if closed else "lateral"

    def load() -> Load:
        return found(f"{title}, {kind} external pressure")

    def lines() -> tuple[Worked, ...]:
        m, n = load().m, load().n
        a = work(shell.axial_wave_number, m=m, L=length)
        S = float(closed_form.line_loads(wall, R, length, m, n)) * a.value**2
        terms = dict(gamma=gamma, S=S, R=R, n=n)
        form = external.stiffened_hydrostatic_pressure if closed else external.stiffened_lateral_pressure
        line = work(form, **terms, **(dict(a=a.value) if closed else {}))
        few = (work(external.few_waves_pressure, p=line.value, n=n),) if n <= external.FEW_WAVES else ()
        return a, line, *few

    def equation() -> str:
        few = " times 1 - 1/n^2 (own rule for few waves)" if load().n <= external.FEW_WAVES else ""
        return f"{kind} pressure, factor times the determinant of {'Eq 65' if closed else 'Eq 64'}{few}"

    def checks() -> tuple[Check, ...]:
        n = load().n
        text = f"{title}: n = {n} governs under external pressure"
        if n > external.FEW_WAVES:
            return (Check("low-wave-number", "passed", text, s.load.name),)
        text += f"; the standard's theory is less accurate for n up to {external.FEW_WAVES} and is reduced by 1 - 1/n^2"
        return (Check("low-wave-number", "warned", text, s.load.name, "NASA SP-8007 Rev 2, 4.1.2.1; own rule"),)

    unproved = {"search-too-large": ~np.isfinite(np.asarray(least))}
    named = "4.1.2.3 (external pressure)"
    return Alone(gamma, named, plastic, capacity, equation, lines, load, unproved, checks)
