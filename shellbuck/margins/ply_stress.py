"""Strains and stresses of the plies of a laminate at the factored loads, each in its own axes.

Membrane strains A^-1 N without curvature, as for every wall far from its edges: all plies have the strain of the wall.
Every factored state of strength is tried; a component at a time is compared with its strength.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..core.records import Worked
from ..handbook import laminate, work
from ..model.walls.laminate import Laminate, Ply
from .modes.strength import ROUNDING, factored_states
from .state import State

COMPONENTS = ("along the fibres", "across the fibres", "in shear")


@dataclass(frozen=True, eq=False)
class PlyStress:
    """The worst state of plies of one material and angle, by their `numbers` from inside.

    `stress` [Pa] and `strain` (3,) are in the ply's own axes, along, across, shear. `value` is what is compared with
    its `allowable` ([Pa], or a strain; None without strengths), `component` which of the three, `state` in which
    factored state; `worked` says how the strains came about.
    """

    numbers: tuple[int, ...]
    ply: Ply
    stress: np.ndarray
    strain: np.ndarray
    value: float
    allowable: float | None
    component: str
    state: str
    worked: tuple[Worked, ...] = ()

    @property
    def share(self) -> float:
        """Of the allowable; of nothing the size of the stress, so that one of them is the worst."""
        return self.value if self.allowable is None else self.value / self.allowable

    @property
    def title(self) -> str:
        """Their numbers from inside, and their angle."""
        many = "plies" if self.numbers[1:] else "ply"
        return f"{many} {', '.join(map(str, self.numbers))} ({self.ply.degrees:g} degrees)"

    @property
    def words(self) -> str:
        """Their stresses."""
        least = ROUNDING * np.abs(self.stress).max()
        one, two, shear = (f"{(0.0 if abs(x) <= least else x) / 1e6:.4g} MPa" for x in self.stress)
        return f"stress along {one}, across {two}, shear {shear}; {self.state}"


def ply_stresses(s: State) -> tuple[PlyStress, ...]:
    """Plies in their worst state at the ultimate factor, those of one material and angle together: all of them have the
    same strains."""
    if "plies" not in s.kept:
        wall, alike = s.case.wall, {}
        for i, ply in enumerate(wall.plies, 1):
            alike.setdefault((ply.material, ply.degrees), (ply, []))[1].append(i)
        s.kept["plies"] = tuple(_worst(s, wall, ply, tuple(numbers)) for ply, numbers in alike.values())
    return s.kept["plies"]


def _worst(s: State, wall: Laminate, ply: Ply, numbers: tuple[int, ...]) -> PlyStress:
    material = wall.material_of(ply)
    names, loads = factored_states(s, s.load.factors.ultimate_factor)
    (c, q), Q = ply.cos_sin, material.stiffness
    own = np.array([[Q["Q_11"], Q["Q_12"], 0.0], [Q["Q_12"], Q["Q_22"], 0.0], [0.0, 0.0, Q["Q_66"]]])
    found = []
    for name, N in zip(names, loads, strict=True):
        e_x, e_theta, g = s.wall.flexibility @ N
        of_wall = dict(e_x=e_x, e_theta=e_theta, g=g)
        strain = np.array(
            [
                laminate.strain_along(**of_wall, c=c, s=q),
                laminate.strain_along(e_x=e_x, e_theta=e_theta, g=-g, c=q, s=c),
                laminate.strain_sheared(**of_wall, c=c, s=q),
            ]
        )
        stress = own @ strain
        moduli = (material.modulus_along, material.modulus_across, material.shear_modulus)
        for k, component in enumerate(COMPONENTS):
            strained = wall.criterion == "maximum strain"
            value = float(strain[k] if strained else stress[k])
            allowable = _allowable(material, k, value)
            if strained and allowable is not None:
                allowable /= moduli[k]
            lines = tuple(
                work(formula, **of_wall, c=c, s=q) for formula in (laminate.strain_along, laminate.strain_sheared)
            )
            found.append(PlyStress(numbers, ply, stress, strain, abs(value), allowable, component, name, lines))
    return max(found, key=lambda one: one.share)


def _allowable(material, component: int, value: float) -> float | None:
    """Strength of a component by its sign [Pa]."""
    names = (("tension_along", "compression_along"), ("tension_across", "compression_across"), ("shear_strength",) * 2)
    return getattr(material, names[component][0 if value >= 0 else 1])
