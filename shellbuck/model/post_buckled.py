"""Where skin between stringers may buckle by choice, and where that choice is refused."""

from __future__ import annotations

from collections.abc import Sequence

from ..core.errors import Problem
from .barrel import Barrel
from .loads import LoadCase
from .policy import Policy
from .rules import Rule, Rules
from .walls import Wall

KEY = "policy.post_buckled_skin"
_WITHOUT = "leave the choice out: rows on unbuckled stiffness are withheld where the skin buckles"
MOST_SLENDER = 10.0
"""L/R from which the axial force amplifies the moment, by the stiffness that is looked for here."""


def post_buckled_rules(barrel: Barrel, wall: Wall, policy: Policy, loads: Sequence[LoadCase | None]) -> Rules:
    """What is refused of buckled skin; nothing where the case does not choose it."""
    if policy.post_buckled_skin is None:
        return
    R, L = barrel.middle_radius, barrel.length
    field = wall.skin_field(R, L)
    if field is None or field.shape == "triangle":
        what = "skin may buckle by choice between straight stringers only"
        yield Problem("post-buckled-skin", what, KEY, wall.kind, "walls with stringers, orthogrids", _WITHOUT)
        return
    stringers = next(ribs for ribs in wall.ribs(R, L) if ribs.name == "stringers")
    if "crippling" in stringers.section.open_modes:
        what = "the crippling of these stringers is not judged, and they carry what the skin sheds"
        yield Problem(
            "post-buckled-skin",
            what,
            KEY,
            stringers.section.name,
            "sections by drawing dimensions",
            "give its dimensions",
        )
    for what, asked in (
        ("computed_pressure_gain", policy.computed_pressure_gain),
        ("[barrel.weld_lands]", barrel.weld_lands),
        ("edge_strength in [barrel]", barrel.edge_strength),
        ("[load_cases.thermal]", any(load is not None and load.thermal is not None for load in loads)),
    ):
        if asked:
            yield Problem(
                "post-buckled-skin", f"{what} is not known for buckled skin", KEY, way_out=f"drop {what}, or the choice"
            )
    if field.length is not None:
        b, bay = field.b, field.length
        yield Rule(
            "post-buckled-skin",
            bay < b,
            lambda: (
                "fields shorter than wide have no effective width",
                KEY,
                f"{bay:.4g} m between rings",
                f"at least the {b:.4g} m between stringers",
                _WITHOUT,
            ),
        )
    yield Rule(
        "post-buckled-skin",
        L / R > MOST_SLENDER,
        lambda: (
            "not known for barrels whose axial force amplifies the moment",
            KEY,
            f"L/R = {L / R:.4g}",
            f"at most {MOST_SLENDER:g}",
            _WITHOUT,
        ),
    )


def not_sized() -> Problem:
    """The choice in a sizing."""
    what = "a sizing keeps the skin between stringers unbuckled"
    return Problem("post-buckled-skin", what, KEY, way_out="leave it out; run the sized case with it afterwards")
