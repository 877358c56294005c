"""A laminated skin by its plies: for comparing a composite barrel, not for certifying one."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal

import numpy as np

from ...core.errors import Problem
from ...handbook import laminate
from ..checked import Checked, Quantity, Text
from ..loads import LoadCase
from ..material import Material
from ..rules import Rule, Rules
from .doors import check_definite
from .stiffness import SmearedWall
from .wall import Metal, Wall

LEAST_RADIUS_TO_THICKNESS = 20.0
_MOST_PLIES = 400
_BALANCED = 1e-9
"""A16 and A26 over the least membrane stiffness up to which a laminate is balanced."""

STRENGTHS = ("tension_along", "compression_along", "tension_across", "compression_across", "shear_strength")
"""Strengths of a ply, all or none."""


@dataclass(frozen=True)
class PlyMaterial(Checked):
    """One ply material, orthotropic in plane stress; at the temperature of its source.

    Parameters
    ----------
    name, source : str
        What it is, and where its values come from.
    density : float
        [kg/m^3].
    modulus_along, modulus_across, shear_modulus : float
        E1, E2, G12 [Pa].
    poissons_ratio : float
        nu12: strain across over strain along under stress along.
    tension_along, compression_along, tension_across, compression_across, shear_strength : float or None
        Strengths of a ply [Pa], all positive, all five or none.
    """

    name: Annotated[str, Text(required=True, longest=80)]
    source: Annotated[str, Text(required=True)]
    density: Annotated[float, Quantity("density", 100.0, 25000.0)]
    modulus_along: Annotated[float, Quantity("stress", 1e6, 2e12)]
    modulus_across: Annotated[float, Quantity("stress", 1e6, 2e12)]
    shear_modulus: Annotated[float, Quantity("stress", 1e5, 1e12)]
    poissons_ratio: Annotated[float, Quantity("number", -1.0, 2.0)]
    tension_along: Annotated[float, Quantity("stress", 1e5, 1e11)] | None = None
    compression_along: Annotated[float, Quantity("stress", 1e5, 1e11)] | None = None
    tension_across: Annotated[float, Quantity("stress", 1e5, 1e11)] | None = None
    compression_across: Annotated[float, Quantity("stress", 1e5, 1e11)] | None = None
    shear_strength: Annotated[float, Quantity("stress", 1e5, 1e11)] | None = None

    @property
    def has_strengths(self) -> bool:
        """Whether the strengths of a ply are given."""
        return self.tension_along is not None

    def rules(self) -> Rules:
        given = [name for name in STRENGTHS if getattr(self, name) is not None]
        if given and len(given) < len(STRENGTHS):
            missing = next(name for name in STRENGTHS if name not in given)
            what, way_out = "the strengths of a ply go together", "give all five, or none"
            yield Problem("ply-strengths", what, missing, ", ".join(given), ", ".join(STRENGTHS), way_out)
        most = math.sqrt(self.modulus_along / self.modulus_across)
        yield Rule(
            "ply-poisson",
            abs(self.poissons_ratio) >= most,
            lambda: (
                "no material has such moduli and such a Poisson's ratio",
                "poissons_ratio",
                f"{self.poissons_ratio:g}",
                f"below sqrt(E1/E2) = {most:.4g}",
                "poissons_ratio is nu12; nu21 = nu12 E2/E1",
            ),
        )

    @property
    def stiffness(self) -> dict[str, float]:
        """Plane-stress stiffness in the ply's own axes [Pa], by the names that formulas give it."""
        own = dict(E_1=self.modulus_along, E_2=self.modulus_across, nu_12=self.poissons_ratio)
        return dict(
            Q_11=laminate.ply_stiffness_along(**own),
            Q_12=laminate.ply_stiffness_cross(**own),
            Q_22=laminate.ply_stiffness_across(**own),
            Q_66=self.shear_modulus,
        )


@dataclass(frozen=True)
class Ply(Checked):
    """One ply.

    Parameters
    ----------
    material : str
        Name of one of the ply materials.
    angle : float
        Of its fibres from the axis of the barrel, turning towards positive hoop [rad].
    thickness : float
        [m].
    """

    material: Annotated[str, Text(required=True, longest=80)]
    angle: Annotated[float, Quantity("angle", -math.pi, math.pi)]
    thickness: Annotated[float, Quantity("length", 1e-6, 0.1)]

    @property
    def degrees(self) -> float:
        """Angle in degrees, free of the rounding of radians."""
        return round(math.degrees(self.angle), 9) + 0.0

    @property
    def cos_sin(self) -> tuple[float, float]:
        """Cosine and sine of the angle, exact along axis and hoop."""
        quarter, rest = divmod(self.degrees, 90.0)
        c, s = (1.0, 0.0) if rest == 0 else (math.cos(math.radians(rest)), math.sin(math.radians(rest)))
        for _ in range(int(quarter) % 4):
            c, s = -s, c
        return c, s


@dataclass(frozen=True)
class Laminate(Wall):
    """A skin of plies, the first one inside.

    Stiffness by classical lamination theory about the middle of the plies. There is no automatic knockdown: an own one
    with its reason is needed.

    Parameters
    ----------
    ply_materials : tuple of PlyMaterial
        What plies are made of, by name.
    plies : tuple of Ply
        From inside to outside.
    criterion : {"maximum stress", "maximum strain"}
        Of the first ply that fails; strains are compared with strength over modulus.
    """

    has_dimensions: ClassVar[bool] = False
    layered: ClassVar[bool] = True
    coupled: ClassVar[bool] = True
    caution: ClassVar[str] = (
        "a laminated skin is here for comparing barrels, not for certifying one: classical lamination theory, first "
        "ply by its own strengths, no damage, moisture, hole or joint, no automatic knockdown"
    )
    not_covered: ClassVar[tuple[str, ...]] = (
        "transverse shear of thick laminates, stress at free edges, delamination, impact, moisture and temperature",
    )

    ply_materials: tuple[PlyMaterial, ...]
    plies: tuple[Ply, ...]
    criterion: Literal["maximum stress", "maximum strain"]
    kind: Literal["laminate"] = "laminate"

    def cross_problems(self) -> Iterator[Problem]:
        names = [one.name for one in self.ply_materials]
        if not self.plies or not names:
            yield Problem(
                "value-missing", "a laminate needs a ply and its material", "ply_materials" if self.plies else "plies"
            )
            return
        if len(self.plies) > _MOST_PLIES:
            yield Problem("value-range", "too many plies", "plies", str(len(self.plies)), str(_MOST_PLIES))
        for i, name in enumerate(names):
            if names.index(name) != i:
                yield Problem("material-twice", "two ply materials have the same name", f"ply_materials.{i}.name", name)
        for i, ply in enumerate(self.plies):
            if ply.material not in names:
                what, where = "no ply material has this name", f"plies.{i}.material"
                yield Problem("material-unknown", what, where, ply.material[:60], ", ".join(names))

    def load_problems(self, load: LoadCase, where: str) -> Iterator[Problem]:
        """Loads and states for which a laminate is not worked here."""
        if load.temperature is not None:
            what, way_out = "ply values have no temperature", "leave it out, and give values for the temperature meant"
            yield Problem("laminate-load", what, f"{where}.temperature", way_out=way_out)
        for key in ("torque", "shear_force"):
            if getattr(load, key):
                what, way_out = "a laminate is compared in axial load, bending and internal pressure", "leave it out"
                yield Problem("laminate-load", what, f"{where}.{key}", way_out=way_out)
        if load.pressure_minimum is not None and load.pressure_minimum < 0:
            what, way_out = "a laminate is compared in axial load, bending and internal pressure", "0 or more"
            yield Problem("laminate-load", what, f"{where}.pressure_minimum", way_out=way_out)

    def limits(self, R: Any, L: Any) -> Rules:
        ratio = R / self.thickness
        yield Rule(
            "radius-to-thickness-low",
            ratio < LEAST_RADIUS_TO_THICKNESS,
            lambda: (
                "too thick for thin-shell buckling",
                "wall.plies",
                f"R/t = {ratio:.3g}",
                f"R/t of {LEAST_RADIUS_TO_THICKNESS:g} or more",
            ),
        )

        A = sum(self.turned(ply) * ply.thickness for ply in self.plies)
        defect = float(np.abs(A[:2, 2]).max() / A.diagonal().min())
        yield Rule(
            "laminate-unbalanced",
            defect > _BALANCED,
            lambda: (
                "the plies are not balanced: the barrel would twist under axial load",
                "wall.plies",
                f"A16 or A26 is {100 * defect:.2g} % of the least membrane stiffness",
                "as much thickness at every angle as at its opposite",
                "pair every inclined ply with its mirror image",
            ),
        )

    @property
    def thickness(self) -> float:
        """Of all plies [m]."""
        return sum(ply.thickness for ply in self.plies)

    @property
    def has_strengths(self) -> bool:
        """Whether every ply has strengths."""
        return all(self.material_of(ply).has_strengths for ply in self.plies)

    @property
    def open_modes(self) -> tuple[str, ...]:
        return () if self.has_strengths else ("strength",)

    def material_of(self, ply: Ply) -> PlyMaterial:
        """The material of a ply."""
        return next(one for one in self.ply_materials if one.name == ply.material)

    @property
    def heights(self) -> tuple[float, ...]:
        """Middle of every ply above the middle of all, outward positive [m]."""
        ends = np.concatenate([[0.0], np.cumsum([ply.thickness for ply in self.plies])])
        return tuple(float(z) for z in (ends[1:] + ends[:-1]) / 2 - ends[-1] / 2)

    def turned(self, ply: Ply) -> np.ndarray:
        """Stiffness (3, 3) of a ply in axes x, theta, x-theta [Pa]."""
        (c, s), Q = ply.cos_sin, self.material_of(ply).stiffness
        Q_11, Q_22 = laminate.turned_axial(**Q, c=c, s=s), laminate.turned_axial(**Q, c=s, s=c)
        Q_12, Q_66 = laminate.turned_cross(**Q, c=c, s=s), laminate.turned_shear(**Q, c=c, s=s)
        Q_16, Q_26 = laminate.turned_axial_shear(**Q, c=c, s=s), laminate.turned_hoop_shear(**Q, c=c, s=s)
        return np.array([[Q_11, Q_12, Q_16], [Q_12, Q_22, Q_26], [Q_16, Q_26, Q_66]])

    def smeared(self, R: Any, L: Any, t: Any, metal: Metal) -> SmearedWall:
        A, B, D = np.zeros((3, 3, 3))
        for ply, z in zip(self.plies, self.heights, strict=True):
            Q = self.turned(ply)
            A += laminate.ply_membrane_share(Q, ply.thickness)
            B += laminate.ply_coupling_share(Q, ply.thickness, z)
            D += laminate.ply_bending_share(Q, ply.thickness, z)
        wall = SmearedWall(A, B, D)
        check_definite(wall, "check the moduli of the plies: some strain state would store no energy")
        return wall

    def mass_per_area_of(self, R: Any, L: Any, t: Any, density: Callable[[Material | None], Any]) -> Any:
        return sum(self.material_of(ply).density * ply.thickness for ply in self.plies)
