"""Axial weld lands: strength across the weld, and by choice the published loss of buckling load as a row.

The line loads of the factored states pass through the land: hoop and shear by equilibrium, axial at the wall's own
strain. A step or an angle at the joint bends it; both faces are judged. What bends at the edge of the land, where it
meets the skin, is not computed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from ...core.records import Check, Worked
from ...handbook import strength, welds, work
from ...model import Case
from ...model.walls import sheet_stiffness
from ...model.walls.stiffness import Skin
from ..findings import Findings, Row, Story
from ..keys import GENERAL, PANEL
from ..membrane import LEAST_STRESS
from ..state import State
from .mode import FailureMode
from .strength import factored_states

MISSING = "weld-allowable-missing"
COMPRESSED = "weld-land-compressed"

_OWN = "equilibrium; bending of step and angle by an own derivation"
_LOSS_SOURCE = "NASA SP-8007 Rev 2, 2.3.4 and 4.1.5.1 (25 % or more)"


def _stresses(s: State, loads: np.ndarray) -> dict[str, np.ndarray]:
    """Membrane stresses and bending stress of the land under line loads (states, ..., 3) [Pa]."""
    lands, wall = s.case.barrel.weld_lands, s.engines.strength_wall(s.temperature)
    skin, t_w = wall.skin, lands.thickness_minimum
    strain = (wall.flexibility @ loads[..., None])[..., 0]
    N_theta = loads[..., 1]
    hoop = welds.land_hoop_stress(N_theta, t_w)
    D_w = sheet_stiffness(Skin(skin.E, skin.nu, t_w))[1][..., 0, 0]
    step = welds.offset_moment(np.abs(N_theta), lands.offset)
    kink = welds.peaking_moment(np.maximum(N_theta, 0.0), D_w, lands.peaking)
    return dict(
        e_x=strain[..., 0],
        hoop=hoop,
        axial=welds.land_axial_stress(skin.E, skin.nu, strain[..., 0], hoop),
        shear=loads[..., 2] / t_w,
        bending=welds.land_bending_stress(step, kink, t_w),
        D_w=np.broadcast_to(D_w, hoop.shape),
    )


def rows(s: State, _: Findings) -> Iterator[Row]:
    """Yield and ultimate of the weld, each in its worst factored state."""
    lands, factors = s.case.barrel.weld_lands, s.load.factors
    # a kink straightens under tension; under compression it grows without a bound that this knows
    refused = {COMPRESSED: (np.asarray(s.external) > 0) & (np.asarray(lands.peaking) > 0)}
    if not lands.has_allowables:
        refused[MISSING] = np.True_
    for what, factor in (("yield", factors.yield_factor), ("ultimate", factors.ultimate_factor)):
        allowable = lands.tension_yield if what == "yield" else lands.ultimate
        yield _row(s, f"weld land, {what}", factor, np.nan if allowable is None else allowable, refused)


def _row(s: State, title: str, factor, allowable, refused: dict) -> Row:
    names, loads = factored_states(s, factor)
    found, nu = _stresses(s, loads), s.engines.strength_wall(s.temperature).skin.nu
    faces = []
    for sign in (1.0, -1.0):
        hoop, axial = found["hoop"] + sign * found["bending"], found["axial"] + sign * nu * found["bending"]
        faces.append(strength.von_mises_stress(axial, hoop, found["shear"]))
    worst = np.maximum(*faces)
    sigma = worst.max(axis=0)
    margin = strength.stress_margin(allowable, sigma)

    def story() -> Story:
        lands = s.case.barrel.weld_lands
        i = int(np.argmax(worst))
        sign = 1.0 if faces[0][i] >= faces[1][i] else -1.0
        lines = _lines(s, float(loads[i, 1]), {key: float(x[i]) for key, x in found.items()}, sign)
        row = dict(
            quantity="stress",
            demand=float(sigma),
            equation=f"von Mises in the land, {names[i]}, step {lands.offset * 1e3:g} mm, "
            f"angle {np.degrees(lands.peaking):.3g} degrees",
            source=_OWN,
        )
        where = s.load.name
        checks = []
        if not lands.offset and not lands.peaking:
            text = "weld lands: neither offset nor peaking of the joints is given: no bending at the weld is counted"
            checks.append(Check("weld-bending-missing", "warned", text, where, "own rule"))
        if not lands.has_allowables:
            note = f"{title}: no welded allowable is given with its source"
            checks.append(Check("weld-allowable-missing", "refused", note, where, "own rule"))
            return Story(row | {"note": note, "worked": lines}, tuple(checks))
        if refused[COMPRESSED]:
            note = f"{title}: hoop compression at a joint with an angle, whose bending is not bounded here"
            checks.append(Check("weld-land-compressed", "refused", note, where, "own rule"))
            return Story(row | {"note": note}, tuple(checks))
        row |= dict(capacity=float(allowable), note=f"allowable: {lands.allowable_source}")
        line = work(strength.stress_margin, F=allowable, sigma=sigma)
        return Story(row | {"worked": (*lines, line)}, tuple(checks))

    return Row(title, margin, sigma >= LEAST_STRESS, refused, idle="holds", story=story, factor=factor)


def _lines(s: State, N_theta: float, found: dict[str, float], sign: float) -> tuple[Worked, ...]:
    lands, skin = s.case.barrel.weld_lands, s.engines.strength_wall(s.temperature).skin
    t_w = lands.thickness_minimum
    hoop = work(welds.land_hoop_stress, N_theta=N_theta, t_w=t_w)
    axial = work(welds.land_axial_stress, E=skin.E, nu=skin.nu, e_x=found["e_x"], sigma_h=hoop.value)
    step = work(welds.offset_moment, N_theta=abs(N_theta), e_o=lands.offset)
    kink = work(welds.peaking_moment, N_theta=max(N_theta, 0.0), D_w=found["D_w"], psi=lands.peaking)
    bend = work(welds.land_bending_stress, M_o=step.value, M_k=kink.value, t_w=t_w)
    face = work(
        strength.von_mises_stress,
        sigma_x=axial.value + sign * skin.nu * bend.value,
        sigma_y=hoop.value + sign * bend.value,
        tau=found["shear"],
    )
    return hoop, axial, step, kink, bend, face


def losses(s: State, found: Findings) -> Iterator[Row]:
    """Rows of the barrel and of the panel less the loss that the case counts."""
    asked = s.case.policy.weld_land_loss
    for row in found.of(GENERAL, PANEL):
        yield _lost(row, f"{row.title}, less weld lands", asked.share)


def _lost(row: Row, title: str, share) -> Row:
    margin = welds.margin_less_share(row.margin, share)

    def story() -> Story:
        told = row.story().row
        keep = {key: told[key] for key in ("basis", "components", "note", "quantity", "demand") if key in told}
        capacity = told.get("capacity")
        fields = dict(
            capacity=None if capacity is None else (1 - share) * capacity,
            equation=f"{100 * share:g} % of the load at buckling is lost to weld lands, by request",
            source=_LOSS_SOURCE,
            knockdown_source=told.get("knockdown_source", ""),
        )
        if capacity is not None:
            fields["worked"] = (work(welds.margin_less_share, margin=row.margin, share=share),)
            uses = (
                replace(
                    use,
                    capacity=None if use.capacity is None else (1 - share) * use.capacity,
                    ratio=None if use.ratio is None else use.ratio / (1 - share),
                )
                for use in keep.get("components", ())
            )
            keep["components"] = tuple(uses)
        return Story({**keep, **fields})

    return Row(title, margin, row.loaded, row.refused, row.withheld, row.idle, story)


def _lands(case: Case) -> bool:
    return case.barrel.weld_lands is not None


MODES = (
    FailureMode(
        "weld-land-strength",
        "weld land, yield, ultimate",
        62,
        "strength",
        _lands,
        rows,
        walls="walls with weld lands",
        capacity="welded yield and ultimate as given, over the von Mises stress of either face of the land at the "
        "factored loads, with the bending of step and angle",
        knockdown="none",
        valid="allowables given with their source; hoop tension where the joint has an angle",
        source=_OWN,
        formulas=("land-hoop-stress", "offset-moment", "peaking-moment", "land-bending-stress"),
        shape="no buckling mode",
    ),
    FailureMode(
        "weld-land-loss",
        "general instability, less weld lands",
        15,
        "stability",
        lambda case: _lands(case) and case.policy.weld_land_loss is not None,
        losses,
        walls="walls with weld lands, by request",
        capacity="the load at buckling of general instability and of the panel between rings, less a share",
        knockdown="that of the row without the loss",
        source=_LOSS_SOURCE,
        formulas=("margin-less-share",),
        shape="that of the row without the loss",
        order=2,
    ),
)
