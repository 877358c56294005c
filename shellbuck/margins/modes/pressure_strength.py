"""Yield at proof and ultimate at burst pressure: the maximum pressure alone, where a set of factors has them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ...handbook import strength
from ...model import Case
from ..findings import Findings, Row, Story
from ..membrane import LEAST_STRESS, membrane_stresses
from ..state import State
from .mode import FailureMode
from .strength import ROUNDING, judged, of_designs

_KINDS = (("proof pressure", "proof_factor", "yield"), ("burst pressure", "burst_factor", "ultimate"))
ALONE = "maximum pressure with the factor, no other load"


def asked(case: Case, key: str) -> bool:
    """Whether a load case has this factor."""
    return any(getattr(load.factors, key) is not None for load in case.load_cases)


def rows(s: State, _: Findings) -> Iterator[Row]:
    """Skin, then every rib family; idle in a load case whose set has no such factor."""
    wall, point = s.engines.strength_wall(s.temperature), s.point
    for title, key, what in _KINDS:
        if not asked(s.case, key):
            continue
        factor = getattr(s.load.factors, key)
        parts = ["skin", *(rib.name.replace("at +", "at +-") for rib in wall.ribs if "at -" not in rib.name)]
        if factor is None:
            for part in parts:
                story = Story(dict(quantity="stress", demand=None, note=f"this set of factors has no {key}"))
                yield Row(f"{part}, {title}", np.nan, False, idle="holds", story=lambda story=story: story)
            continue
        p = factor * s.p_max
        thrust = p * s.R / 2 if s.case.barrel.closed else 0.0
        loads = of_designs(s, np.stack(np.broadcast_arrays(thrust, p * s.R, 0.0), axis=-1)[None])
        plane, direct = membrane_stresses(wall, loads)
        skin = strength.von_mises_stress(*np.moveaxis(plane, -1, 0))
        least = LEAST_STRESS + ROUNDING * skin.max(axis=0)
        F_y = np.minimum(point.tension_yield, point.compressive_yield)
        F = np.broadcast_to(F_y if what == "yield" else point.ultimate, skin.shape)
        yield judged(s, f"skin, {title}", factor, skin, F, least, (ALONE,), loads, plane=plane, alone=True)
        for rib, stress in zip(wall.ribs, direct, strict=True):
            if "at -" in rib.name:  # carries the same stress as its mirror image
                continue
            own, name = s.rib_point(rib), rib.name.replace("at +", "at +-")
            at_yield = np.where(stress < 0, own.compressive_yield, own.tension_yield)
            F = at_yield if what == "yield" else np.broadcast_to(own.ultimate, stress.shape)
            size = np.abs(stress)
            yield judged(s, f"{name}, {title}", factor, size, F, least, (ALONE,), loads, rib=rib, alone=True)


MODES = (
    FailureMode(
        "pressure-strength",
        "strength at proof and burst pressure",
        62,
        "strength",
        lambda case: case.wall.has_dimensions and any(asked(case, key) for _, key, _ in _KINDS),
        rows,
        walls="every wall with a metal, where a set of factors has a proof or burst factor",
        capacity="yield over the stress at the maximum pressure times the proof factor, ultimate over that at the "
        "burst factor; the thrust of closed ends counts, no other load",
        knockdown="none",
        valid="membrane strains",
        source="membrane strains A^-1 N; von Mises 1913",
        formulas=("von-mises-stress", "stress-margin"),
        shape="no buckling mode",
        components=(),
    ),
)
