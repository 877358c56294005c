"""Skin that buckled between stringers, where the case allows it: what it sheds and what is left of its stiffness.

The edge stress of the skin is that of its stringers (times the ratio of moduli), and its effective width falls with
that stress: N = sigma_e (rho(sigma_e) t + a) rises with sigma_e, so one sigma_e belongs to every line load N; for both
effective widths it is the root of a quadratic in sqrt(sigma_e). N is the factored line load of the peak fibre less the
relief of minimum pressure, and what is found there holds all around (own rule, safe).

Two walls follow. The one that buckles (`stable_wall`) counts the whole skin, stretching and bending, along the axis,
around and in shear, with one ratio phi (own rule): less stiffness in every direction lowers every bifurcation load. phi
is the slope of the skin's load, or its effective width where the case asks for it. The one that carries load
(`shed_wall`) has the axial compliance of its skin divided by rho: stresses of stringers, rings and of the skin at its
edges, for crippling, strength and the elastic range.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np

from ..core.records import Check, Worked
from ..handbook import plates, post_buckled, sections, work
from ..model import Case
from ..model.walls import SmearedWall
from ..model.walls.stiffness import sheet_stiffness
from .engines import Engines, Mask, Number
from .inelastic import reduced_field
from .state import State

REFUSED = "post-buckled-skin-flow"
_CONSTANTS = {"Winter": post_buckled.WINTER, "von Karman": 0.0}
_WIDTHS = {"Winter": post_buckled.winter_effective_width, "von Karman": sections.effective_width}


@dataclass(frozen=True, eq=False)
class Strip:
    """The skin between stringers: width b, terms of its plate, buckling stress [Pa], and the area of stringers over
    their spacing in terms of skin [m]."""

    b: Number
    plate: dict[str, Number]
    sigma: Number
    A_b: Number


def strip_of(s: State) -> Strip:
    """The strip that the case has."""
    field, skin = s.case.skin_field, s.wall.skin
    b = field.b if s.case.policy.clear_width is None else field.clear
    stringer = next(rib for rib in s.wall.ribs if rib.name == "stringers")
    plate = dict(k=plates.LONG_SIMPLY_SUPPORTED, E=skin.E, nu=skin.nu, t=s.t, b=b)
    A_b = stringer.area / stringer.spacing * stringer.E / skin.E
    return Strip(b, plate, plates.plate_stress(**plate), A_b)


@dataclass(frozen=True, eq=False)
class PostBuckled:
    """Buckled skin of a load case at its factored line load.

    `line_load` [N/m] is the net line load at which the skin buckles, `sigma_cr` [Pa] its stress there.
    """

    state: State
    line_load: Number
    sigma_cr: Number
    A_b: Number
    b: Number

    @property
    def _choice(self):
        return self.state.case.policy.post_buckled_skin

    @property
    def _c(self) -> float:
        return _CONSTANTS[self._choice.formula]

    @cached_property
    def load(self) -> Number:
        """Factored line load at the peak fibre less relief [N/m]."""
        s = self.state
        return s.factor * s.compression - s.tension - s.relief

    @property
    def margin(self) -> Number:
        """Multiple of the ultimate loads at which the skin buckles, less 1."""
        s = self.state
        return (self.line_load + s.tension + s.relief) / (s.factor * s.compression) - 1

    @property
    def buckled(self) -> Mask:
        """Where the skin buckles below the ultimate line load."""
        return np.asarray(self.line_load < self.load)[()]

    def edge_stress(self, N: Number) -> Number:
        """Edge stress under a line load, of a skin that is reduced [Pa]."""
        least = np.maximum(N, 0.0)
        return post_buckled.edge_stress(least, self.state.t, self.A_b, self.sigma_cr, self._c)

    def width(self, N: Number) -> Number:
        """Effective width over width under a line load; 1 where it is not reduced yet."""
        # rho = 1 at sqrt(sigma_cr/sigma_e) = start
        start = 2 / (1 + (1 - 4 * self._c) ** 0.5)
        reduced = np.asarray(N) > self.sigma_cr / start**2 * (self.state.t + self.A_b)
        stress = np.where(reduced, self.edge_stress(N), self.sigma_cr)
        return np.where(reduced, np.minimum(_WIDTHS[self._choice.formula](1.0, self.sigma_cr, stress), 1.0), 1.0)[()]

    @cached_property
    def rho(self) -> Number:
        """Effective width over width at the factored line load."""
        return self.width(self.load)

    @cached_property
    def phi(self) -> Number:
        """What is left of the skin's stiffness where the wall buckles; all of it where the rows are withheld."""
        known = ~(self.buckled & self.state.mixed)
        if self._choice.stiffness == "secant":
            return np.where(known, self.rho, 1.0)[()]
        stress = np.where(self.buckled, self.edge_stress(self.load), self.sigma_cr)
        left = np.where(self.buckled, post_buckled.tangent_ratio(self.sigma_cr, stress), self.rho)
        return np.where(known, left, 1.0)[()]

    @property
    def acts(self) -> Mask:
        """Where the skin is reduced."""
        return np.asarray(self.rho < 1)[()]

    @cached_property
    def growth(self) -> Number:
        """What the tensioned side carries over M/(pi R^2)."""
        return post_buckled.tension_side_growth(self._softness)

    @cached_property
    def _softness(self) -> Number:
        """Axial stiffness of the compressed side over that of the other, at the greatest of the factored loads."""
        s = self.state
        factor = np.maximum(s.factor, s.load.factors.ultimate_factor)
        rho = self.width(factor * s.compression - s.tension - s.relief)
        return (rho * s.t + self.A_b) / (s.t + self.A_b)

    # --- of a single design

    @property
    def words(self) -> str:
        """Label of a row that counts it."""
        return (
            f"post-buckled skin, effective width {self.rho:.3f} b ({self._choice.formula}), stiffness of the skin "
            f"{self.phi:.3f} ({self._stiffness}), at the factored load"
        )

    @property
    def shed_words(self) -> str:
        """Label of a row of stresses."""
        return f"post-buckled skin, effective width {self.rho:.3f} b ({self._choice.formula})"

    @property
    def chosen_words(self) -> str:
        """Label of a stress in a state of its own."""
        return f"post-buckled skin, effective width by {self._choice.formula}"

    @property
    def _stiffness(self) -> str:
        return self._choice.stiffness if self.buckled else "secant, not yet buckled"

    def width_lines(self, N: Number) -> tuple[Worked, ...]:
        """Edge stress and effective width under a line load."""
        terms = dict(t=self.state.t, a=self.A_b, sigma_cr=self.sigma_cr)
        stress = work(post_buckled.edge_stress, N=N, **terms, c=self._c)
        return stress, work(_WIDTHS[self._choice.formula], b=self.b, sigma_cr=self.sigma_cr, sigma=stress.value)

    def stiffness_lines(self, whole: SmearedWall) -> tuple[Worked, ...]:
        """From the factored line load to A and D of a wall whose skin counts in part."""
        lines = [*self.width_lines(self.load)]
        if self.buckled and self._choice.stiffness == "tangent":
            lines.append(work(post_buckled.tangent_ratio, sigma_cr=self.sigma_cr, sigma_e=lines[0].value))
        A, D = sheet_stiffness(whole.skin)
        forms = post_buckled.softened_stretching, post_buckled.softened_bending
        for form, name, K, S in zip(forms, "AD", (whole.A, whole.D), (A, D), strict=True):
            for i, j in ((0, 0), (1, 1), (0, 1), (2, 2)):
                line = work(form, K_0=K[i, j], S=S[i, j], phi=self.phi)
                lines.append(replace(line, symbol=f"{name}_{i + 1}{j + 1}"))
        return tuple(lines)

    def shed_lines(self, whole: SmearedWall, N: Number) -> tuple[Worked, ...]:
        """From a line load to the stretching stiffness of a wall whose skin has shed load; nothing where none has."""
        rho = self.width(N)
        if rho == 1.0:
            return ()
        skin, t = whole.skin, whole.skin.t
        terms = dict(E=skin.E, nu=skin.nu, t=t, rho=rho)
        axial, hoop = (
            work(f, **terms) for f in (post_buckled.shed_axial_stretching, post_buckled.shed_hoop_stretching)
        )
        A_0, S_0 = whole.A, sheet_stiffness(skin)[0]
        total = work(post_buckled.shed_axial_sum, K_0=A_0[0, 0], S_0=S_0[0, 0], S_x=axial.value)
        return (*self.width_lines(N), axial, hoop, total)

    def growth_line(self) -> Worked:
        return work(post_buckled.tension_side_growth, eta=self._softness)


def post_buckled_skin(s: State) -> PostBuckled | None:
    """Buckled skin of a load case; None where the case does not choose it."""
    if s.case.policy.post_buckled_skin is None:
        return None

    def make() -> PostBuckled:
        strip = strip_of(s)
        left = reduced_field(s, plates.strip_line_load(strip.sigma, s.t, strip.A_b)).nets["field"]
        return PostBuckled(s, left, left / (s.t + strip.A_b), strip.A_b, strip.b)

    if "post-buckled" not in s.kept:
        s.kept["post-buckled"] = make()
    return s.kept["post-buckled"]


def acting(s: State) -> PostBuckled | None:
    """The same of a single design whose skin is reduced."""
    found = post_buckled_skin(s)
    return found if found is not None and s.engines.single and found.acts else None


def _wide(x: Number) -> np.ndarray:
    return np.asarray(x, dtype=float)[..., None, None]


def softened(wall: SmearedWall, phi: Number) -> SmearedWall:
    """A wall whose skin counts with a ratio in every direction."""
    A, D = sheet_stiffness(wall.skin)
    lost = 1 - _wide(phi)
    return SmearedWall(wall.A - lost * A, wall.B, wall.D - lost * D, wall.skin, wall.ribs)


def shed(wall: SmearedWall, rho: Number) -> SmearedWall:
    """A wall whose skin has its axial compliance divided by `rho`; its bending and shear stiffness count with it."""
    skin = wall.skin
    A, D = sheet_stiffness(skin)
    terms = dict(E=skin.E, nu=skin.nu, t=skin.t, rho=np.asarray(rho, dtype=float))
    axial, hoop = post_buckled.shed_axial_stretching(**terms), post_buckled.shed_hoop_stretching(**terms)
    left = np.zeros(np.broadcast_shapes(A.shape, (*np.shape(axial), 3, 3)))
    left[..., 0, 0], left[..., 1, 1] = axial, hoop
    left[..., 0, 1] = left[..., 1, 0] = skin.nu * axial
    left[..., 2, 2] = np.asarray(rho) * A[..., 2, 2]
    return SmearedWall(wall.A - A + left, wall.B, wall.D - (1 - _wide(rho)) * D, skin, wall.ribs)


def _kept(s: State, name: str, wall: SmearedWall, make) -> SmearedWall:
    # engines outlive their load cases: an identity under which loads are kept must not be given twice
    found = post_buckled_skin(s)
    if found is None or not np.any(found.acts):
        return wall
    return s.engines.kept((name, s.load.name, id(wall)), partial(make, wall))


def stable_wall(s: State, whole: SmearedWall | None = None) -> SmearedWall:
    """The wall, or a part of it, as it buckles: its skin softened where it may buckle and does."""
    return _kept(
        s, "softened", s.wall if whole is None else whole, lambda wall: softened(wall, post_buckled_skin(s).phi)
    )


def shed_wall(s: State, whole: SmearedWall | None = None) -> SmearedWall:
    """The wall, or a part of it, as it carries the factored load: its skin has shed what it cannot carry."""
    return _kept(s, "shed", s.wall if whole is None else whole, lambda wall: shed(wall, post_buckled_skin(s).rho))


def strength_wall(s: State, loads: np.ndarray) -> SmearedWall:
    """The wall of strength in states (..., 3) [N/m], each with the skin that is left under its own axial load."""
    wall, found = s.engines.strength_wall(s.temperature), post_buckled_skin(s)
    if found is None:
        return wall
    rho = found.width(-loads[..., 0])
    return shed(wall, rho) if np.any(rho < 1) else wall


def tension_growth(s: State) -> Number:
    """What the tensioned side of the bent barrel carries over M/(pi R^2)."""
    found = post_buckled_skin(s)
    return 1.0 if found is None else found.growth


def skin_checks(s: State, title: str, margin: float) -> tuple[tuple[Check, ...], str]:
    """What a skin field says that buckles below the ultimate line load where the case allows it, and its note."""
    where, share = s.load.name, 1 + margin
    if s.mixed:
        acts = " and ".join(s.further)
        text = f"{title}: buckles below the ultimate loads, which include {acts}: diagonal tension is not covered"
        return (Check("post-buckled-skin-flow", "refused", text, where, "own rule"),), text
    below = share * s.factor < 1
    limit = "below limit load" if below else "above limit load"
    note = f"buckles at {share:.2f} of the ultimate loads, {limit}; allowed by choice"
    more = "; other margins rest on the stiffness at the factored load, which falls further with more load"
    headline = f"the {title} buckles below the ultimate loads by choice"
    if below:
        more += "; fatigue and tightness under repeated buckling are not judged"
        headline = f"the {title} buckles BELOW LIMIT LOAD by choice, fatigue and tightness are not judged"
    return (Check("post-buckled-skin", "warned", f"{title}: {note}{more}", where, "own rule", headline),), note


def mode_wall(case: Case, load_case: str, *, panel: bool) -> SmearedWall:
    """The wall on which the closed-form modes of a load case rest: of the barrel, or of the panel between rings."""
    load = next(one for one in case.load_cases if one.name == load_case)
    s = State(case, load, Engines(case))
    return stable_wall(s, s.engines.panel(s.temperature) if panel else None)
