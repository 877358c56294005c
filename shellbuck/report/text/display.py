"""Numbers and words as they are printed, the same on screen and on the page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ...core.records import Comparison, LoadCaseResult, MarginRow, shown_margin

_INCH, _POUND = 0.0254, 4.4482216152605


@dataclass(frozen=True)
class Display:
    """The units in which numbers are shown: quantity -> (SI value of one unit, its sign)."""

    name: str
    units: Mapping[str, tuple[float, str]]

    def shown(self, value: float | None, quantity: str, digits: int = 4) -> str:
        """A value with its unit; a dash where there is none.

        Examples
        --------
        >>> SI.shown(105920.0, "line load"), US.shown(105920.0, "line load")
        ('105.9 kN/m', '604.8 lb/in')
        """
        if value is None:
            return "-"
        return f"{self.number(value, quantity, digits)} {self.unit(quantity)}"

    def number(self, value: float, quantity: str, digits: int = 4) -> str:
        """The value alone."""
        return plain_number(value / self.units[quantity][0], digits)

    def unit(self, quantity: str) -> str:
        """The unit alone."""
        return self.units[quantity][1]


SI = Display(
    "SI",
    {
        "line load": (1e3, "kN/m"),
        "shear flow": (1e3, "kN/m"),
        "force": (1e3, "kN"),
        "stress": (1e6, "MPa"),
        "strain": (1e-6, "µm/m"),
        "pressure": (1e3, "kPa"),
        "length": (1e-3, "mm"),
        "moment": (1e3, "kN m"),
        "modulus": (1e9, "GPa"),
        "density": (1.0, "kg/m³"),
        "area density": (1.0, "kg/m²"),
        "mass": (1.0, "kg"),
        "membrane stiffness": (1.0, "N/m"),
        "coupling stiffness": (1.0, "N"),
        "bending stiffness": (1.0, "N m"),
        "bending stiffness of a ring": (1.0, "N m²"),
    },
)

_LBM = 0.45359237

US = Display(
    "US",
    {
        "line load": (_POUND / _INCH, "lb/in"),
        "shear flow": (_POUND / _INCH, "lb/in"),
        "force": (1e3 * _POUND, "kip"),
        "stress": (1e3 * _POUND / _INCH**2, "ksi"),
        "strain": (1e-6, "µin/in"),
        "pressure": (_POUND / _INCH**2, "psi"),
        "length": (_INCH, "in"),
        "moment": (1e3 * _POUND * _INCH, "in kip"),
        "modulus": (1e6 * _POUND / _INCH**2, "Msi"),
        "density": (_LBM / _INCH**3, "lb/in³"),
        "area density": (_LBM / (12 * _INCH) ** 2, "lb/ft²"),
        "mass": (_LBM, "lb"),
        "membrane stiffness": (_POUND / _INCH, "lb/in"),
        "coupling stiffness": (_POUND, "lb"),
        "bending stiffness": (_POUND * _INCH, "in lb"),
        "bending stiffness of a ring": (_POUND * _INCH**2, "lb in²"),
    },
)

DISPLAYS = {"si": SI, "us": US}


def plain_number(value: float, digits: int = 4) -> str:
    """A number to so many significant digits, without an exponent where a reader would not want one.

    Examples
    --------
    >>> plain_number(12345.6), plain_number(0.0123456), plain_number(-0.0), plain_number(2.5e9)
    ('12346', '0.01235', '0', '2.5e+09')
    """
    if value == 0:
        return "0"
    if 1e-4 <= abs(value) < 1e7:
        whole = len(str(int(abs(value))))
        return f"{value:.0f}" if whole >= digits else f"{value:.{digits}g}"
    return f"{value:.{digits}g}"


STATUS_MARK = {
    "holds": "✓ holds",
    "fails": "✗ fails",
    "refused": "⊘ refused",
    "withheld": "⊘ withheld",
    "not compressed": "– not compressed",
    "not covered": "– not covered",
    "buckles, allowed": "≈ buckles, allowed",
}


OUTCOME = {
    "above": "above the demand",
    "below": "BELOW the demand",
    "for scale": "for scale only",
    "not compressed": "not compressed",
    "outside its scope": "outside its scope",
}
"""Outcome of a comparison in words."""


def excess_text(one: Comparison) -> str:
    """Capacity over demand less 1 of a comparison, or a dash."""
    return "-" if one.excess is None else shown_margin(one.excess)


def factors_text(load: LoadCaseResult) -> str:
    """Factors of safety of a load case."""
    if load.buckling_factor in (None, load.ultimate_factor):
        return f"{load.ultimate_factor:g} buckling and ultimate, {load.yield_factor:g} yield"
    return f"{load.buckling_factor:g} buckling, {load.ultimate_factor:g} ultimate, {load.yield_factor:g} yield"


def margin_text(row: MarginRow) -> str:
    """The official margin of a row, or a dash."""
    return "-" if row.margin is None else shown_margin(row.margin)


def net_text(row: MarginRow) -> str:
    """The net margin of a row, or the words that stand for it."""
    return row.net_note or ("" if row.net_margin is None else shown_margin(row.net_margin))


def knockdown_text(row: MarginRow) -> str:
    """Axial and bending factor of a row; with other load components their number behind."""
    known = [use for use in row.components if use.knockdown is not None]
    if row.quantity in ("shear flow", "pressure"):  # nothing acts along the axis
        return "/".join(dict.fromkeys(f"{use.knockdown:.3f}" for use in known if use.ratio))
    factors = dict.fromkeys(f"{use.knockdown:.3f}" for use in known[:2])
    return "/".join(factors) + (f" +{len(known) - 2}" if len(known) > 2 else "")
