"""Buckling margins of stiffened launch-vehicle tank barrels.

Examples
--------
>>> import shellbuck as sb
>>> barrel = sb.Barrel(radius=1.2, length=1.5, ends="closed", skin_thickness=2.0e-3, skin_thickness_minimum=1.9e-3)
>>> wall = sb.TriangularGrid(family="hoop", side="inside", rib_depth=14e-3, rib_thickness=2.5e-3, count_around=72)
>>> load = sb.LoadCase("pad", sb.FACTOR_SETS["agency prototype"], axial_force=0.5e6, bending_moment=0.14e6)
>>> result = sb.run(sb.Case(barrel, wall, (load,), sb.material("2219-T87")))
>>> result.verdict.word
'holds'
"""

from importlib import import_module

__version__ = "0.1.0"

_HOME = {
    **dict.fromkeys(("closed_form", "ritz", "mesh", "fe"), "shellbuck.engines"),
    "handbook": "shellbuck",
    "evaluate": "shellbuck.margins",
    "material": "shellbuck.io",
    "material_names": "shellbuck.io",
    "read_case": "shellbuck.io",
    "run": "shellbuck.margins",
    "size": "shellbuck.sizing",
    "compare_patterns": "shellbuck.sizing",
    "read_sizing": "shellbuck.io.language.sizing_file",
    **dict.fromkeys(
        ("BareBarrel", "Conductivity", "Demand", "Heat", "Limits", "PlatePrice", "Prices"), "shellbuck.model.demand"
    ),
    "result_object": "shellbuck.io",
    "Refusal": "shellbuck.core.errors",
    "Incomplete": "shellbuck.core.errors",
    **dict.fromkeys(
        (
            "GivenStiffness",
            "Laminate",
            "Orthogrid",
            "PlainWall",
            "Ply",
            "PlyMaterial",
            "RibFamily",
            "Skin",
            "SmearedWall",
            "StiffenedWall",
            "Stiffeners",
            "TriangularGrid",
            "build_wall",
        ),
        "shellbuck.model.walls",
    ),
    **dict.fromkeys(
        (
            "FACTOR_SETS",
            "Barrel",
            "Case",
            "CheckedElsewhere",
            "EdgeSprings",
            "Factors",
            "Identity",
            "LoadCase",
            "Material",
            "MaterialPoint",
            "OwnKnockdown",
            "Policy",
            "PostBuckledSkin",
            "Reason",
            "SectionCrippling",
            "SecondOpinion",
            "SingleRing",
            "WeldLandLoss",
            "WeldLands",
        ),
        "shellbuck.model",
    ),
}

_PACKAGES = ("closed_form", "ritz", "mesh", "fe", "handbook")

# a public name must not be that of a package inside: importing the package would replace it
_INNER_NAME = {"run": "assess", "compare_patterns": "compare"}

__all__ = ["__version__", *sorted(_HOME)]


def __getattr__(name: str):
    """Load a public name on first use, so that importing shellbuck costs nothing (PEP 562)."""
    home = _HOME.get(name)
    if home is None:
        raise AttributeError(f"module 'shellbuck' has no attribute {name!r}")
    if name in _PACKAGES:
        return import_module(f"{home}.{name}")
    value = getattr(import_module(home), _INNER_NAME.get(name, name))
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])
