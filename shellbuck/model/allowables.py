"""A case whose metals have the strengths that its policy leaves of them."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from .checked import Checked, unchecked
from .material import Material, MaterialPoint
from .policy import AllowableKnockdown

if TYPE_CHECKING:
    from .case import Case


def with_allowables(case: Case) -> Case:
    """The case as it is judged: yield and ultimate of every metal times the knock-down of its policy, everywhere.

    Its numbers may be arrays. Stiffness and density stay. What is welded has its own welded allowables, which stay too.
    """
    cut = case.policy.allowable_knockdown
    if cut is None:
        return case
    values = {f.name: getattr(case, f.name) for f in fields(case)}
    return unchecked(type(case), **{**values, "wall": _cut(case.wall, cut), "material": _cut(case.material, cut)})


def _cut(part: Any, cut: AllowableKnockdown) -> Any:
    if isinstance(part, MaterialPoint):
        values = {f.name: getattr(part, f.name) for f in fields(part)}
        for name, share in (
            ("tension_yield", cut.yield_strength),
            ("compression_yield", cut.yield_strength),
            ("ultimate", cut.ultimate_strength),
        ):
            if not isinstance(values[name], str):  # "as tension" follows the tension yield
                values[name] = values[name] * share
        return unchecked(MaterialPoint, **values)
    if isinstance(part, Material):
        return unchecked(Material, **{**vars(part), "points": tuple(_cut(point, cut) for point in part.points)})
    if isinstance(part, Checked):
        inner = {f.name: _cut(getattr(part, f.name), cut) for f in fields(part)}
        if all(inner[name] is getattr(part, name) for name in inner):
            return part
        return unchecked(type(part), **inner)
    return part
