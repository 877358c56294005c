"""Published formulas as plain arithmetic.

Each is one function: with numbers (or numpy arrays) it gives the value, with sympy symbols the printed line.
The decorator only files it under its key; it changes nothing in the function.
"""

from . import (
    external,
    grid,
    interaction,
    laminate,
    orthotropic,
    plain,
    plasticity,
    plates,
    post_buckled,
    rings,
    sanders,
    sections,
    shell,
    shell_standard,
    smeared,
    strength,
    thermal,
    torsion,
    welds,
)
from .formula import FORMULAS, Formula, work

__all__ = [
    "FORMULAS",
    "Formula",
    "external",
    "grid",
    "interaction",
    "laminate",
    "orthotropic",
    "plain",
    "plasticity",
    "plates",
    "post_buckled",
    "rings",
    "sanders",
    "sections",
    "shell",
    "shell_standard",
    "smeared",
    "strength",
    "thermal",
    "torsion",
    "welds",
    "work",
]
