"""Shell elements on meshes: discrete ribs, linear prestress, certified buckling modes."""

from ...model.barrel import HELD as EDGE_SETS
from .assembly import geometric, stiffness
from .buckling import Buckling, Loaded, buckle, refuse_loose
from .constraints import antisymmetry_at, held_at, reduction, rigid_motions, side_ties, symmetry_at, without_drift
from .geometry import CARTESIAN, CYLINDRICAL, Chart
from .prestress import Prestress, Support, linear_statics, uniform_strain
from .resultants import membrane_resultants, pressure_load, surface_load, uniform_resultants, uniform_stiffness
from .section import Section, sheet, smeared
from .shell import Shell
from .statics import Answer, solve

__all__ = [
    "CARTESIAN",
    "CYLINDRICAL",
    "EDGE_SETS",
    "Answer",
    "Buckling",
    "Chart",
    "Loaded",
    "Prestress",
    "Section",
    "Shell",
    "Support",
    "antisymmetry_at",
    "buckle",
    "geometric",
    "held_at",
    "linear_statics",
    "membrane_resultants",
    "pressure_load",
    "reduction",
    "refuse_loose",
    "rigid_motions",
    "sheet",
    "side_ties",
    "smeared",
    "solve",
    "stiffness",
    "surface_load",
    "symmetry_at",
    "uniform_resultants",
    "uniform_stiffness",
    "uniform_strain",
    "without_drift",
]
