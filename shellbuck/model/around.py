"""A line load that varies around the barrel: its parts of axial force and bending, the rest, and what stands for it.

No standard gives a factor for such a load. Own rule, on the safe side: the peak is taken to stand all around. The
membrane carries N(theta), the same at both ends, straight along the axis; its work on any mode is then at most that of
the peak all around, so the lowest load of the perfect barrel is no lower, and the factor of uniform compression is the
lowest. Strength asks for the least as well: tension adds to the pressure. It is a load case of its own, N least all
around, because effective stress is convex in the line load. Not in it: a load that differs from end to end, and how the
part beyond axial force and bending spreads out with shear and hoop forces.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from ..core.records import Check
from .checked import Checked, Quantity, Text

WIDEST_GAP = math.radians(30.0)
"""Between two lines of a table [rad]; a peak between lines farther apart goes unseen (own choice)."""

_LineLoad = Annotated[float, Quantity("line load", -1e10, 1e10)]


@dataclass(frozen=True)
class LineLoadAround(Checked):
    """What a table of line loads around holds, on a load case that stands for its peak or its least; it is shown, not
    judged: the axial force of the load case is.

    Parameters
    ----------
    table : str
        Its name.
    peak, least : float
        Largest and smallest line load, compression positive [N/m].
    mean : float
        Its part of axial force, n = 0 [N/m].
    bending : float
        Amplitude of its part of bending, n = 1 [N/m].
    rest : float
        Largest of what is left [N/m].
    """

    table: Annotated[str, Text(required=True, longest=200)]
    peak: _LineLoad
    least: _LineLoad
    mean: _LineLoad
    bending: _LineLoad
    rest: _LineLoad

    def check(self, name: str, R: float) -> Check:
        """What a page says of it."""
        force, moment = 2 * math.pi * R * self.mean, math.pi * R**2 * self.bending
        text = (
            f"line load by {self.table}: {self.least / 1e3:.4g} to {self.peak / 1e3:.4g} kN/m; judged as the peak all "
            "around and, where tension or pressure asks for it, as the least all around in a load case of its own (own "
            f"rule, for the same N(theta) at both ends); its axial part is {force / 1e3:.4g} kN, its bending part "
            f"{moment / 1e3:.4g} kN m; beyond both it holds up to {self.rest / 1e3:.4g} kN/m, whose spreading along "
            "the barrel with shear and hoop forces is not computed"
        )
        headline = "a line load that varies around counts as its peak"
        return Check("line-load-around", "warned", text, name, "own rule", headline)


def parts_of(table: str, angles: Sequence[float], loads: Sequence[float]) -> LineLoadAround:
    """Parts of a line load that is linear between angles and closes around.

    Parameters
    ----------
    table : str
    angles : sequence of float
        Rising, less than a turn from first to last [rad].
    loads : sequence of float
        Compression positive [N/m].
    """
    theta, N = np.append(angles, angles[0] + 2 * math.pi), np.append(loads, loads[0])
    mean = float(np.sum(np.diff(theta) * (N[1:] + N[:-1]) / 2)) / (2 * math.pi)
    slope = np.diff(N) / np.diff(theta)
    # by parts: the load closes, so that only its slopes are left
    c, s = (float(np.sum(slope * np.diff(wave(theta)))) / math.pi for wave in (np.cos, np.sin))
    fine = np.linspace(theta[0], theta[-1], 3601)
    rest = np.interp(fine, theta, N) - mean - c * np.cos(fine) - s * np.sin(fine)
    return LineLoadAround(table, float(N.max()), float(N.min()), mean, math.hypot(c, s), float(np.abs(rest).max()))
