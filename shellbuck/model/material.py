"""A metal: values at one or more temperatures, with source and standing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Any, Literal

import numpy as np

from ..core.errors import Problem, Refusal
from .checked import Checked, Quantity, Text, unchecked
from .rules import Rule, Rules

ROOM_TEMPERATURE = 294.0
"""[K], the reference of the property tables."""

SAME_TEMPERATURE = 10.0
"""[K]; a point serves a load case this near to it (own rule: properties move by well under 1 %)."""

AS_TENSION = "as tension"
"""The choice to take a compressive yield that is not known as the tension yield."""

ASSUMED_EXPONENT = 5.0
"""Hardening exponent where none is given (own choice: a rounder knee than that of structural metals)."""

_FAMILY_E = {"aluminium": (60e9, 85e9), "steel": (170e9, 220e9), "titanium": (95e9, 125e9)}


_MODULUS_UNITS = {"Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9, "psi": 6894.757, "ksi": 6.894757e6, "Msi": 6.894757e9}


def unit_slip(E: float, low: float, high: float) -> str:
    """The way out for a modulus out of its range [Pa]: the nearest slip of a unit that would explain it.

    Examples
    --------
    >>> unit_slip(73.1e6, 60e9, 85e9)
    'off by a factor of 1000, as MPa in place of GPa: check the unit'
    >>> unit_slip(10.5e9, 60e9, 85e9)
    'off by a factor of 6.895, as GPa in place of Msi: check the unit'
    """
    fits = [
        (round(abs(math.log(b / a)), 6), not 1 <= E / a <= 1000, y != "GPa", x, y, b / a)
        for x, a in _MODULUS_UNITS.items()
        for y, b in _MODULUS_UNITS.items()
        if x != y and low <= E * b / a <= high
    ]
    if not fits:
        return "check the number and its unit"
    *_, written, meant, factor = min(fits)  # of slips of one size the one that leaves a handy number
    off = f"{factor:.4g}" if factor > 1 else f"1/{1 / factor:.4g}"
    return f"off by a factor of {off}, as {written} in place of {meant}: check the unit"


LEAST_MODULUS_RATIO, MOST_MODULUS_RATIO = 0.8, 1.25
"""Compression over tension modulus of a metal (own limits: the two differ by a few per cent)."""


def moduli_agree(compression, tension):
    """Whether a compression modulus is near the tension modulus, numbers or arrays [Pa]."""
    return (compression >= LEAST_MODULUS_RATIO * tension) & (compression <= MOST_MODULUS_RATIO * tension)


@dataclass(frozen=True)
class MaterialPoint(Checked):
    """Property values at one temperature.

    Parameters
    ----------
    temperature : float
        [K].
    youngs_modulus, compression_modulus : float
        Tension and compression modulus [Pa]; the compression modulus defaults to the other.
    tension_yield, compression_yield, ultimate : float
        0.2 % yield in tension and compression, tension ultimate [Pa]. The compression yield must be said: cold-worked
        sheet may have .6 of its tension yield along the rolling direction. "as tension" takes the tension yield by
        choice, and every page warns of it.
    """

    temperature: Annotated[float, Quantity("temperature", 1.0, 1500.0)]
    youngs_modulus: Annotated[float, Quantity("stress", 1e3, 1e15)]
    tension_yield: Annotated[float, Quantity("stress", 5e6, 3e9)]
    ultimate: Annotated[float, Quantity("stress", 5e6, 4e9)]
    compression_modulus: Annotated[float, Quantity("stress", 1e3, 1e15)] | None = None
    compression_yield: Annotated[float | str, Quantity("stress", 5e6, 3e9, (AS_TENSION,))] | None = None

    def rules(self) -> Rules:
        given = self.compression_yield
        if given is None:
            yield Problem(
                "compression-yield-missing",
                "the compressive yield strength is missing; cold-worked sheet may have .6 of its tension yield",
                "compression_yield",
                "nothing",
                f'a stress, or "{AS_TENSION}"',
                f'give it with its source, or choose compression_yield = "{AS_TENSION}" (every page then warns)',
            )
        elif not isinstance(given, str):
            yield Rule(
                "strength-order",
                given > self.ultimate,
                lambda: (
                    "the compressive yield is above the ultimate strength",
                    "compression_yield",
                    f"{given / 1e6:g} MPa",
                    f"at most {self.ultimate / 1e6:g} MPa",
                ),
            )
        yield Rule(
            "strength-order",
            self.ultimate < self.tension_yield,
            lambda: (
                "the ultimate strength is below the yield strength",
                "ultimate",
                f"{self.ultimate / 1e6:g} MPa",
                f"at least {self.tension_yield / 1e6:g} MPa",
            ),
        )

    def modulus_rules(self, where: str, low: float, high: float, metal: str) -> Rules:
        """What is refused of the moduli of a metal whose tension modulus lies in a range [Pa]."""
        plausible = True
        for key in ("youngs_modulus", "compression_modulus"):
            E = getattr(self, key)
            if E is None:
                continue
            inside = np.greater_equal(E, low) & np.less_equal(E, high)
            yield _implausible(f"{where}.{key}", E, inside, low, high, metal)
            plausible = plausible & inside
        yield Rule(
            "modulus-implausible",
            plausible & ~np.asarray(moduli_agree(self.compressive_modulus, self.youngs_modulus)),
            lambda: (
                "the compression modulus is far from the tension modulus",
                f"{where}.compression_modulus",
                f"{self.compressive_modulus / 1e9:g} GPa",
                f"{LEAST_MODULUS_RATIO:g} to {MOST_MODULUS_RATIO:g} of {self.youngs_modulus / 1e9:g} GPa",
                "check the unit",
            ),
        )

    @property
    def compressive_modulus(self) -> float:
        """Modulus for stability [Pa]."""
        return self.youngs_modulus if self.compression_modulus is None else self.compression_modulus

    @property
    def compressive_yield(self) -> float:
        """Yield strength in compression [Pa]."""
        return self.tension_yield if isinstance(self.compression_yield, str) else self.compression_yield


def _implausible(where: str, E: Any, inside: Any, low: float, high: float, metal: str) -> Rule:
    return Rule(
        "modulus-implausible",
        ~np.asarray(inside),
        lambda: (
            f"not a modulus of {metal}",
            where,
            f"{E / 1e9:g} GPa",
            f"{low / 1e9:g} to {high / 1e9:g} GPa",
            unit_slip(E, low, high),
        ),
    )


@dataclass(frozen=True)
class Material(Checked):
    """A metal with its values over temperature.

    Parameters
    ----------
    name, source, basis : str
        What it is, where the values come from, and their statistical basis ("A", "B", "S", "typical" ...).
    density : float
        [kg/m^3].
    poissons_ratio : float
        The same at every temperature.
    points : tuple of MaterialPoint
        Ordered by temperature; between two points values are linear.
    family : str or None
        "aluminium", "steel", "titanium": lets the modulus be checked for slips of the decimal point.
    hardening_exponent : float or None
        n of Ramberg and Osgood, strain = stress/E + .002 (stress/yield)^n, at every temperature.
    hardening_source : str
        Where it comes from; needed beside the name of a library metal.
    clamp_below_range : bool
        Colder than the coldest point, use that point (colder is usually stronger). Never extrapolates.
    library : bool
        True for the built-in values, which are typical values, not allowables.
    standings : tuple of (str, str)
        Property and the source and standing of its value, for library values.
    """

    name: Annotated[str, Text(required=True, longest=80)]
    source: Annotated[str, Text(required=True)]
    density: Annotated[float, Quantity("density", 500.0, 25000.0)]
    poissons_ratio: Annotated[float, Quantity("number", 0.0, 0.49)]
    points: tuple[MaterialPoint, ...]
    basis: Annotated[str, Text()] = "not stated"
    family: Literal["aluminium", "steel", "titanium", "other"] | None = None
    hardening_exponent: Annotated[float, Quantity("number", 2.0, 60.0)] | None = None
    hardening_source: Annotated[str, Text()] = ""
    clamp_below_range: bool = False
    library: bool = False
    standings: tuple[tuple[str, str], ...] = ()

    def rules(self) -> Rules:
        if not self.points:
            yield Problem("value-missing", "a material needs at least one point", "points")
            return
        if self.library and self.hardening_exponent is not None and not self.hardening_source:
            yield Problem(
                "hardening-source-missing",
                "a hardening exponent beside the name of a library metal needs its source",
                "hardening_source",
                way_out='add hardening_source = "..." in [material]',
            )
        temperatures = [p.temperature for p in self.points]
        yield Rule(
            "material-order",
            any(b <= a for a, b in pairwise(temperatures)),
            lambda: ("the points must rise in temperature", "points", ", ".join(f"{t:g} K" for t in temperatures)),
        )
        low, high = _FAMILY_E.get(self.family or "", (5e9, 500e9))
        for i, point in enumerate(self.points):
            yield from point.modulus_rules(f"points.{i}", low, high, self.family or "a metal")

    @property
    def yield_caution(self) -> str:
        """What every page says of a compressive yield that is taken as the tension yield; empty where none is."""
        chosen = [p.temperature for p in self.points if p.compression_yield == AS_TENSION]
        if not chosen:
            return ""
        some = "" if len(chosen) == len(self.points) else f" at {', '.join(f'{T:g}' for T in chosen)} K"
        why = "none is sourced in the library" if self.library else "by request"
        return f"compressive yield{some} taken as the tension yield ({why}); cold-worked sheet may have .6 of it"

    @property
    def hardening_caution(self) -> str:
        """What every page says of a hardening exponent that is not given; empty where one is."""
        if self.hardening_exponent is not None:
            return ""
        return (
            f"no hardening exponent is given: n = {ASSUMED_EXPONENT:g} is assumed (conservative up to .8 of "
            "yield) and no stress above yield is credited; give hardening_exponent with its source"
        )

    @property
    def cautions(self) -> tuple[str, ...]:
        """What every page says of values that are not given."""
        return tuple(filter(None, (self.yield_caution, self.hardening_caution)))

    def covers(self, temperature: Any) -> Any:
        """Where there are values at temperatures [K]; None means room temperature."""
        T = ROOM_TEMPERATURE if temperature is None else temperature
        first, last = self.points[0].temperature, self.points[-1].temperature
        near = abs(np.clip(T, first, last) - T) <= SAME_TEMPERATURE
        return near | (np.less(T, first) & self.clamp_below_range)

    def at(self, temperature: Any) -> MaterialPoint:
        """Values at a temperature [K], or at temperatures (N,); None means room temperature.

        Raises
        ------
        Refusal
            For a single temperature outside the data: there is no extrapolation.
        """
        if not np.ndim(temperature) and not self.covers(temperature):
            raise Refusal.of("temperature-outside-data", *self.outside_words(temperature))
        T = np.asarray(ROOM_TEMPERATURE if temperature is None else temperature, dtype=float)
        known = np.array([p.temperature for p in self.points])
        below = np.clip(np.searchsorted(known, T, side="right") - 1, 0, known.size - 1)
        above = np.minimum(below + 1, known.size - 1)
        gap = known[above] - known[below]
        share = np.where(gap > 0, np.clip((T - known[below]) / np.where(gap > 0, gap, 1.0), 0.0, 1.0), 0.0)
        if not T.ndim and share == 0.0:
            return self.points[int(below)]
        E, E_c, F_ty, F_cy, F_tu = (_between(x, below, above, share) for x in zip(*map(_row, self.points), strict=True))
        return unchecked(
            MaterialPoint,
            temperature=temperature,
            youngs_modulus=E,
            compression_modulus=E_c,
            tension_yield=F_ty,
            compression_yield=F_cy,
            ultimate=F_tu,
        )

    def outside_words(self, temperature: float | None) -> tuple[str, ...]:
        """What is said of a temperature without data."""
        T = ROOM_TEMPERATURE if temperature is None else temperature
        first, last = self.points[0], self.points[-1]
        span = f"{first.temperature:g} K" + ("" if last is first else f" to {last.temperature:g} K")
        if first.temperature > T:
            way_out = (
                "set clamp_below_range = true in [material] (beside name, for a library metal) to use the coldest "
                "values, as colder is usually stronger; or give an own material with values at this temperature and "
                "their source"
            )
        else:
            way_out = "give an own material with values at this temperature and their source"
        return f"{self.name} has no data at this temperature", "temperature", f"{T:g} K", span, way_out


def _row(p: MaterialPoint) -> tuple[Any, ...]:
    return p.youngs_modulus, p.compressive_modulus, p.tension_yield, p.compressive_yield, p.ultimate


def _between(values: tuple[Any, ...], below: np.ndarray, above: np.ndarray, share: np.ndarray) -> Any:
    """A property between two points; each of its values is a number or (N,)."""
    rows = np.stack(np.broadcast_arrays(*values))
    each = (np.arange(below.size),) if rows.ndim > 1 and below.ndim else ()
    x, y = rows[(below, *each)], rows[(above, *each)]
    found = x + share * (y - x)
    return found if np.ndim(found) else float(found)
