"""The way out where a file uses a word of the trade that is no key or choice here: a near spelling would mislead."""

from __future__ import annotations

import difflib

_OUTSIDE = "pressures are gauge, inside minus outside: a negative pressure_minimum is external pressure"
_LINE = (
    "loads on a line or ring are not covered: model them elsewhere; what they bring to this station belongs in "
    "axial_force, bending_moment, torque and shear_force"
)
_HEAD = (
    "a load case has no liquid: add density times acceleration times depth at this station to pressure_minimum and "
    "pressure_maximum, or give the tank in a stack file, shellbuck stack"
)
_BOTH = "give pressure_minimum and pressure_maximum, gauge, at this station"
_SKIN = "give skin_thickness (nominal) and skin_thickness_minimum in [barrel]"
_POINT = "it belongs in [[material.points]], beside the temperature that it is valid at"

_KEYS = {
    **dict.fromkeys(("torsion", "torsional_moment", "twisting_moment", "torsion_moment"), "did you mean torque?"),
    **dict.fromkeys(("shear", "shear_load", "transverse_force", "lateral_force"), "did you mean shear_force?"),
    **dict.fromkeys(("n_theta", "line_load_around"), "did you mean line_load_table, in a load case of a case file?"),
    **dict.fromkeys(("ring_load", "line_load", "point_load", "concentrated_load", "radial_load"), _LINE),
    **dict.fromkeys(("external_pressure", "outside_pressure", "crush_pressure"), _OUTSIDE),
    **dict.fromkeys(
        (
            "fluid_density",
            "propellant_density",
            "liquid_density",
            "fluid_height",
            "fluid_level",
            "head",
            "hydrostatic_pressure",
            "acceleration",
            "load_factor",
        ),
        _HEAD,
    ),
    **dict.fromkeys(("pressure", "internal_pressure", "ullage_pressure"), _BOTH),
    **dict.fromkeys(("thickness_nominal", "wall_thickness", "skin"), _SKIN),
    "diameter": "give radius, half of it",
    **dict.fromkeys(
        ("weld", "welds", "weld_land", "land", "lands", "weld_efficiency", "joint_efficiency"),
        "axial weld lands are described in [barrel.weld_lands], with welded allowables and their source",
    ),
    **dict.fromkeys(
        ("thermal_gradient", "temperature_difference", "delta_t", "ring_temperature"),
        "temperature differences are given in [load_cases.thermal], as gradient and ring_difference",
    ),
    "ring_spacing": "give spacing in [wall.rings]; an orthogrid has ring_spacing in [wall]",
    "stringer_spacing": "give spacing in [wall.stringers]; an orthogrid has stringer_spacing in [wall]",
    **dict.fromkeys(("moment", "bending"), "did you mean bending_moment?"),
    **dict.fromkeys(("axial_load", "axial", "force", "compression"), "did you mean axial_force?"),
    **dict.fromkeys(
        ("safety_factor", "factor_of_safety", "ultimate_factor"),
        'give factors = "agency prototype" or a table with ultimate_factor, yield_factor and source',
    ),
    **dict.fromkeys(
        ("knockdown", "knockdown_factor", "gamma"),
        "the standard's factor is computed; an own factor is given in [policy.own_knockdown] with its reason",
    ),
}
_OF_POINTS = ("youngs_modulus", "tension_yield", "ultimate", "compression_modulus")

_GRID = 'ribs in three directions: write kind = "triangular grid"'
_STIFFENED = 'write kind = "stiffened", with [wall.stringers], [wall.rings] or both'
_PLAIN = 'bare sheet: write kind = "plain"'
_GIVEN = 'give its 6x6 stiffness: kind = "given stiffness" with A, B, D and mass_per_area'
_LAMINATE = 'a skin of plies, for comparing: write kind = "laminate" with ply_materials and plies'
_KINDS = {
    **dict.fromkeys(
        (
            "isogrid",
            "iso-grid",
            "iso grid",
            "grid",
            "triangular",
            "triangles",
            "triangulargrid",
            "triangular-grid",
            "triangular_grid",
            "grid-stiffened",
        ),
        _GRID,
    ),
    **dict.fromkeys(
        (
            "stringers",
            "stringer",
            "rings",
            "ring",
            "frames",
            "skin-stringer",
            "skin stringer",
            "ring-stiffened",
            "stringer-stiffened",
            "stringers and rings",
            "stiffeners",
            "hat",
            "blades",
            "longerons",
            "semi-monocoque",
        ),
        _STIFFENED,
    ),
    **dict.fromkeys(("waffle", "orthogonal", "orthogrid-inside"), 'ribs along and around: write kind = "orthogrid"'),
    **dict.fromkeys(("monocoque", "bare", "unstiffened", "sheet", "isotropic", "smooth", "skin"), _PLAIN),
    **dict.fromkeys(("sandwich", "honeycomb", "corrugated", "orthotropic", "stiffness", "given"), _GIVEN),
    **dict.fromkeys(("composite", "laminated", "plies", "layup", "cfrp", "carbon", "tape"), _LAMINATE),
}

_SECTION = (
    'give the section by its properties: section = "given" with area, inertia, eccentricity and torsion_constant; its '
    "crippling and rolling then have no row"
)
_ALSO = {
    "zee": ("z", "zed", "z section"),
    "tee": ("t", "t section"),
    "angle": ("l", "l section"),
    "hat": ("omega", "top hat", "tophat"),
    "i": ("h", "i section", "i beam"),
    "bulb": ("bulb flat",),
    "blade": ("bar", "flat", "flat bar", "rectangle", "rectangular", "plate", "rib"),
}
_SECTIONS = {
    **{word: f'write section = "{name}"' for name, words in _ALSO.items() for word in words},
    **dict.fromkeys(("j", "c", "u", "channel", "y"), _SECTION),
    "flanged": 'write section = "tee" or "angle" with attached = "web"',
}
_CHOICES = {"kind": _KINDS, "section": _SECTIONS}


RENAMED = {"hold_below_data": "clamp_below_range"}
"""Keys of earlier files and their present names."""


def suggestion(word: str, known: list[str]) -> str:
    """The nearest right spelling, in words, or nothing."""
    if RENAMED.get(word) in known:
        return f"write {RENAMED[word]}"
    near = difflib.get_close_matches(word, known, 1, 0.5)
    return f"did you mean {near[0]}?" if near else ""


def key_hint(key: str, known: list[str]) -> str:
    """The way out for a key that is not known here, where `known` are."""
    plain = key.strip().lower().replace("-", "_").replace(" ", "_")
    if plain in _OF_POINTS and "points" in known:
        return _POINT
    return _KEYS.get(plain) or suggestion(key, known)


def choice_hint(key: str, word: str, known: list[str]) -> str:
    """The way out for a word that is not one of the choices of a key."""
    return _CHOICES.get(key, {}).get(word.strip().lower()) or suggestion(word, known)
