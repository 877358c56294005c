"""A case whose numbers are arrays: the model's own classes with (N,) arrays in the varied fields.

The classes are filled without their checks, which judge single numbers; `checks.py` judges the arrays. Properties and
functions that only calculate (`middle_radius`, `height`, `build_wall`, `weigh`) then work on all designs at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, NamedTuple

import numpy as np

from ...core.errors import Problem, Refusal
from ...io.language.case_file import as_case
from ...model import Case, GivenStiffness, Material, Orthogrid, StiffenedWall, Stiffeners
from ...model.checked import Checked, Quantity, Whole, declared, marker, without_none
from ...model.material import ROOM_TEMPERATURE, SAME_TEMPERATURE


class BadArrays(Refusal, ValueError):
    """Arrays that are no designs."""


class Varied(NamedTuple):
    """A varied field: its dotted name, its declared range and its values (N,)."""

    name: str
    mark: Quantity | Whole
    values: np.ndarray


def read(case: Case, varied: Mapping[str, Any]) -> tuple[list[Varied], int]:
    """The varied fields of a case, and the number of designs.

    Raises
    ------
    Refusal
        For a name that is no number of the case, or arrays that are no numbers, empty or of unequal length.
    """
    if isinstance(case.wall, GivenStiffness):
        raise Refusal(
            Problem(
                "value-choice",
                "many designs at once need a wall with dimensions",
                "wall",
                case.wall.kind,
                "plain, triangular grid, stiffened or orthogrid",
            )
        )
    found = [Varied(name, _mark(case, name), _numbers(name, values)) for name, values in varied.items()]
    sizes = {v.values.shape for v in found}
    if len(sizes) > 1 or any(len(s) != 1 for s in sizes):
        raise BadArrays(
            Problem(
                "array-shape",
                "varied fields must be one-dimensional and of equal length",
                ", ".join(varied)[:200],
                ", ".join(f"{v.name}: {v.values.shape}" for v in found)[:200],
                "one shape (N,)",
            )
        )
    if (0,) in sizes:
        raise BadArrays(
            Problem(
                "array-shape",
                "the arrays are empty: there is no design",
                ", ".join(varied)[:200],
                "0 values",
                "one value or more",
            )
        )
    return found, sizes.pop()[0] if sizes else 1


def _numbers(name: str, values: Any) -> np.ndarray:
    """Values of a field as an array of numbers; lists of unequal rows and words are none."""
    try:
        found = np.asarray(values)
    except ValueError:
        found = np.empty(0, dtype=object)
    if found.dtype.kind not in "iuf":
        raise BadArrays(
            Problem(
                "value-kind",
                "an array of numbers in SI is needed",
                name,
                repr(values)[:60],
                "numbers, one for each design",
            )
        )
    return found


def _mark(case: Case, name: str) -> Quantity | Whole:
    """The declared range of a number of the case."""
    owner: Any = case
    *path, last = name.split(".")
    for key in path:
        owner = _step(owner, key, name)
    hint = declared(type(owner)).get(last) if isinstance(owner, Checked) else None
    mark = None if hint is None else marker(without_none(hint)[0])
    fixed = last == "temperature" and "points" in path  # the order of the data is the material's own
    ends = ("barrel.edge", "barrel.load_height", "barrel.single_rings")  # arrays know no edge bending
    if not isinstance(mark, Quantity | Whole) or fixed or name.startswith(ends):
        raise Refusal(_unknown(name))
    return mark


def _step(owner: Any, key: str, name: str) -> Any:
    if isinstance(owner, tuple) and key.isdigit() and int(key) < len(owner):
        return owner[int(key)]
    if is_dataclass(owner) and key in {f.name for f in fields(owner)}:
        return getattr(owner, key)
    raise Refusal(_unknown(name))


def _unknown(name: str) -> Problem:
    return Problem("key-unknown", "not a number of this case that can be varied", name)


def put(owner: Any, name: str, value: Any) -> Any:
    """A copy of a nested frozen dataclass with one field changed, without checks."""
    key, _, rest = name.partition(".")
    if isinstance(owner, tuple):
        i = int(key)
        return (*owner[:i], put(owner[i], rest, value), *owner[i + 1 :])
    return unchecked(type(owner), **{**vars(owner), key: put(getattr(owner, key), rest, value) if rest else value})


def unchecked(cls: type, **values: Any) -> Any:
    """A model object whose fields may be arrays."""
    made = object.__new__(cls)
    for f in fields(cls):
        object.__setattr__(made, f.name, values.get(f.name, f.default))
    return made


def design(case: Case, varied: Mapping[str, Any], i: int) -> Case:
    """Design i as a checked case.

    Raises
    ------
    Refusal
        When the model refuses it.
    """
    case = made = as_case(case)
    for v in read(case, varied)[0]:
        value = v.values[i]
        whole = isinstance(v.mark, Whole) and float(value).is_integer()
        made = put(made, v.name, int(value) if whole else float(value))
    return _checked(made)


def _checked(owner: Any) -> Any:
    """The same object made anew through its checks, innermost first."""
    if isinstance(owner, tuple):
        return tuple(_checked(x) for x in owner)
    if not isinstance(owner, Checked):
        return owner
    return replace(owner, **{f.name: _checked(getattr(owner, f.name)) for f in fields(owner)})


class Point(NamedTuple):
    """Properties at temperature, each a number or (N,) [Pa]; names as in `MaterialPoint`."""

    youngs_modulus: Any
    compressive_modulus: Any
    tension_yield: Any
    compressive_yield: Any
    ultimate: Any


class Metal:
    """A material whose properties and temperature may be arrays."""

    def __init__(self, material: Material):
        self.material = material
        self.density, self.poissons_ratio = material.density, material.poissons_ratio
        self.hardening_exponent = material.hardening_exponent
        self.points = [
            Point(
                p.youngs_modulus,
                p.youngs_modulus if p.compression_modulus is None else p.compression_modulus,
                p.tension_yield,
                p.tension_yield if isinstance(p.compression_yield, str) else p.compression_yield,
                p.ultimate,
            )
            for p in material.points
        ]
        self.temperatures = np.array([p.temperature for p in material.points])
        self._known: dict[float | None, Point] = {}

    def at(self, temperature: Any) -> Point:
        """Values at a temperature [K] or at temperatures (N,); None means room temperature.

        Raises
        ------
        Refusal
            Where a single temperature lies outside the data.
        """
        if np.ndim(temperature):
            return self._values(temperature)
        key = None if temperature is None else float(temperature)
        if key not in self._known:  # asked for by every row of every load case
            if not self.covers(key):
                self.material.at(key)  # says its refusal
            self._known[key] = self._values(key)
        return self._known[key]

    def _values(self, temperature: Any) -> Point:
        T = np.asarray(ROOM_TEMPERATURE if temperature is None else temperature, dtype=float)
        known = self.temperatures
        below = np.clip(np.searchsorted(known, T, side="right") - 1, 0, known.size - 1)
        above = np.minimum(below + 1, known.size - 1)
        gap = known[above] - known[below]
        share = np.where(gap > 0, np.clip((T - known[below]) / np.where(gap > 0, gap, 1.0), 0.0, 1.0), 0.0)
        if share.ndim == 0 and share == 0.0:
            return self.points[int(below)]
        values = []
        for column in zip(*self.points, strict=True):
            rows = np.stack(np.broadcast_arrays(*column))
            if rows.ndim == 1:
                x, y = rows[below], rows[above]
            elif T.ndim:
                each = np.arange(T.size)
                x, y = rows[below, each], rows[above, each]
            else:
                x, y = rows[int(below)], rows[int(above)]
            values.append(x + share * (y - x))
        return Point(*values)

    def covers(self, temperature: Any) -> np.ndarray:
        """Where there are values at temperatures [K]."""
        T = np.asarray(ROOM_TEMPERATURE if temperature is None else temperature, dtype=float)
        first, last = self.temperatures[0], self.temperatures[-1]
        near = np.abs(np.clip(T, first, last) - T) <= SAME_TEMPERATURE
        return near | (np.less(T, first) & self.material.clamp_below_range)


class _ArrayOrthogrid(Orthogrid):
    """An orthogrid whose families are made without checks."""

    @property
    def stringers(self) -> Stiffeners:
        return self._blades("stringer")

    @property
    def rings(self) -> Stiffeners:
        return self._blades("ring")

    def _blades(self, key: str) -> Stiffeners:
        own = {k: getattr(self, f"{key}_{k}") for k in ("thickness", "count", "spacing", "torsion_constant")}
        return unchecked(Stiffeners, side=self.side, section="blade", depth=self.rib_depth, **own)


def arrayed(case: Case, varied: list[Varied], keep: np.ndarray | None = None) -> Case:
    """The case with arrays in its varied fields, cut to the designs `keep`."""
    made = case
    for v in varied:
        made = put(made, v.name, np.asarray(v.values if keep is None else v.values[keep], dtype=float))
    if isinstance(made.wall, Orthogrid):
        made = put(made, "wall", unchecked(_ArrayOrthogrid, **vars(made.wall)))
    return made


def with_metals(case: Case) -> Case:
    """The same case with every material as a `Metal`."""
    wall = case.wall
    if isinstance(wall, StiffenedWall):
        for key in ("stringers", "rings"):
            family = getattr(wall, key)
            if family is not None and family.material is not None:
                wall = put(wall, f"{key}.material", Metal(family.material))
    return put(put(case, "wall", wall), "material", Metal(case.material))
