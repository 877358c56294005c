"""Numbers and words as they are printed, the same on screen and on the page."""

from __future__ import annotations

from ..records import MarginRow, shown_margin

_DISPLAY = {
    "line load": (1e3, "kN/m"), "force": (1e3, "kN"), "stress": (1e6, "MPa"), "pressure": (1e3, "kPa"),
    "length": (1e-3, "mm"), "moment": (1e3, "kN m"),
}  # fmt: skip


def shown(value: float | None, quantity: str, digits: int = 4) -> str:
    """A value in display units with its unit; a dash where there is none.

    Examples
    --------
    >>> shown(105920.0, "line load")
    '105.9 kN/m'
    """
    if value is None:
        return "-"
    scale, unit = _DISPLAY[quantity]
    return f"{plain_number(value / scale, digits)} {unit}"


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
    "holds": "✓ holds", "fails": "✗ fails", "refused": "⊘ refused", "withheld": "⊘ withheld",
    "not compressed": "– not compressed", "not covered": "– not covered",
}  # fmt: skip


def margin_text(row: MarginRow) -> str:
    """The official margin of a row, or a dash."""
    return "-" if row.margin is None else shown_margin(row.margin)


def net_text(row: MarginRow) -> str:
    """The net margin of a row, or the words that stand for it."""
    return row.net_note or ("" if row.net_margin is None else shown_margin(row.net_margin))


def knockdown_text(row: MarginRow) -> str:
    """Axial and bending factor of a row."""
    if row.knockdown_axial is None:
        return ""
    if row.knockdown_bending is None or row.knockdown_bending == row.knockdown_axial:
        return f"{row.knockdown_axial:.3f}"
    return f"{row.knockdown_axial:.3f}/{row.knockdown_bending:.3f}"
