"""Quantities with units at the edge; SI inside. The only door to pint.

The registry holds the units of the trade and nothing else, so that "3 years" or "2 mPa" are refused. Text is
checked against a small grammar before pint parses it.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import replace
from functools import cache

import pint

from ...core.errors import Problem
from ...model.checked import SI_UNIT
from .unit_names import DEFINITIONS, EXAMPLE, MEANT, SPELLINGS

_NUMBER = re.compile(r"\s*([+-]?(?:\d+(?:_\d+)*(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*", re.DOTALL)
_TOKEN = re.compile(r"[A-Za-zµμ°%\"_]+|\d+|\*\*|[*/^·.\s()-]", re.UNICODE)
_ABSOLUTE = re.compile(r"(?:psi|bar|[kM]?Pa)\s*(?:a|\(a\)|\(?abs(?:olute)?\.?\)?)$")
_POWERS = str.maketrans({"²": "^2", "³": "^3", "⁴": "^4", "\u2212": "-"})
_DIGITS = str.maketrans("OoIl", "0011")
_LONGEST = 80


@cache
def _registry() -> pint.UnitRegistry:
    registry = pint.UnitRegistry(None)
    registry.load_definitions(DEFINITIONS.strip().splitlines())
    return registry


@cache
def _names() -> frozenset[str]:
    pairs = [line.split("=") for line in DEFINITIONS.strip().splitlines()]
    short = {(p[-1] if len(p) > 2 else p[0]).strip() for p in pairs}
    return frozenset(short | {"lb"})


def example(kind: str, low: float = -math.inf) -> str:
    """A quantity of this kind, not below `low` [SI], as written in a file."""
    if kind == "number":
        return EXAMPLE[kind]
    text = "2.3 m" if kind == "length" and low > 2.3e-3 else EXAMPLE[kind]
    return f'"{text}"'


def _meant(digits: str, kind: str, low: float, high: float) -> str:
    """The way out for a bare number: the number in the units that it may have been meant in and that fit its range."""
    units = MEANT.get(kind, (EXAMPLE[kind].split(maxsplit=1)[1],))
    fit = [unit for unit in units if low <= _guessed(digits, unit, kind) <= high]
    *more, last = [f'"{digits[:20]} {unit}"' for unit in fit or units]
    return f"write {', '.join(more)} or {last}, whichever you mean" if more else f"write {last} if you mean that"


def _guessed(digits: str, unit: str, kind: str) -> float:
    try:
        return _convert(float(digits.replace("_", "")), unit, kind)
    except UnitError:  # too large to be a number
        return math.inf


class UnitError(Exception):
    """Internal: a problem without its place yet."""

    def __init__(self, problem: Problem):
        super().__init__(problem.what)
        self.problem = problem


def _fail(code: str, what: str, got: str = "", allowed: str = "", way_out: str = "") -> UnitError:
    return UnitError(Problem(code, what, "", got[:_LONGEST], allowed, way_out))


def parse_quantity(text: object, kind: str, low: float = -math.inf, high: float = math.inf) -> float:
    """SI value of a quantity written with its unit.

    Parameters
    ----------
    text : object
        What the file holds; only a string with a unit is accepted (a bare number where `kind` is "number").
    kind : str
        Dimension, see `shellbuck.model.checked.SI_UNIT`.
    low, high : float
        What makes sense here [SI]: only units that lead into this range are suggested for a bare number.

    Returns
    -------
    float
        In SI.

    Raises
    ------
    UnitError
        With a problem that states what was found and what is allowed.

    Examples
    --------
    >>> parse_quantity("35 psi", "pressure")
    241316.5...
    >>> parse_quantity("9 MN*m", "moment")
    9000000.0
    """
    if kind == "number" and isinstance(text, int | float | str) and not isinstance(text, bool):
        return _bare_number(text)
    shown = example(kind, low)
    if isinstance(text, bool) or not isinstance(text, int | float | str):
        raise _fail("unit-kind", f"a {kind} is needed", repr(text), f"for example {shown}")
    if not isinstance(text, str):
        raise _fail(
            "unit-missing",
            "a number without a unit",
            str(text),
            f"a quantity such as {shown}",
            _meant(str(text), kind, low, high),
        )
    if len(text) > _LONGEST:
        raise _fail("unit-kind", f"a {kind} is needed", text[:40] + "...", f"for example {shown}")
    plain = text.translate(_POWERS)
    match = _NUMBER.fullmatch(plain)
    if match is None:
        raise _fail("unit-number", "no number found", repr(text), f"for example {shown}")
    digits, unit = match.groups()
    if re.match(r",\d", unit):
        raise _fail(
            "unit-number",
            "a comma in a number",
            repr(text),
            f"for example {shown}",
            "write a decimal point, and no thousands separator",
        )
    if not unit:
        raise _fail(
            "unit-missing",
            "a number without a unit",
            repr(text),
            f"a quantity such as {shown}",
            _meant(digits, kind, low, high),
        )
    try:
        return _convert(float(digits.replace("_", "")), unit, kind)
    except UnitError as error:
        if error.problem.code not in ("unit-unknown", "unit-absolute"):
            raise
        # the whole text: its number may be what was mistyped
        way_out = _digits_meant(plain) or error.problem.way_out
        raise UnitError(replace(error.problem, got=repr(text)[:_LONGEST], way_out=way_out)) from None


def _digits_meant(text: str) -> str:
    """The way out where letters stand for digits, "9OO kN"; empty where none do."""
    match = re.match(r"\s*([+-]?[\d.]*\d[\d.OoIl]*[OoIl][\d.OoIl]*)\s", text)
    if match is None:
        return ""
    return f"there are letters among the digits: write {match[1].translate(_DIGITS)} if you mean that number"


def in_written_unit(value: float, text: str, kind: str) -> str:
    """An SI value in the unit of a quantity that was read, with that unit.

    Examples
    --------
    >>> in_written_unit(1.0, "-300 degC", "temperature")
    '-272.15 degC'
    """
    unit = _NUMBER.fullmatch(text.translate(_POWERS))[2]
    written = _registry().Quantity(value, SI_UNIT[kind]).to(_expression(unit, kind)).magnitude
    return f"{written:.6g} {unit}"


def _bare_number(text: object) -> float:
    try:
        return float(text)
    except (ValueError, OverflowError):
        raise _fail("unit-number", "a plain number is needed", repr(text), "for example 0.33") from None


def _convert(value: float, unit: str, kind: str) -> float:
    expression = _expression(unit, kind)
    if kind == "temperature difference" and expression in ("degC", "degF"):
        way_out = "write K, or degR for a difference in degrees Fahrenheit"
        raise _fail("unit-dimension", "a difference has no zero of a scale", f"{value:g} {unit}", '"40 K"', way_out)
    registry = _registry()
    try:
        quantity = registry.Quantity(value, expression)
        result = float(quantity.to(SI_UNIT[kind]).magnitude)
    except pint.DimensionalityError:
        raise _fail(
            "unit-dimension", f"this is not a {kind}", f"{value:g} {unit}", f'for example "{EXAMPLE[kind]}"'
        ) from None
    except Exception:  # pint raises many kinds on text that is no unit
        raise _fail("unit-unknown", "this unit cannot be read", unit, f'for example "{EXAMPLE[kind]}"') from None
    if not math.isfinite(result):
        raise _fail("value-range", "the value is not finite", f"{value:g} {unit}")
    return result


def _expression(unit: str, kind: str) -> str:
    """Unit text in pint's grammar, every name known: names joined by * / - or a blank, each with a power of 1 to 4."""
    if _ABSOLUTE.search(unit):
        raise _fail(
            "unit-absolute",
            "an absolute pressure",
            unit,
            "gauge pressure across the wall",
            "subtract the outside pressure and write psi, kPa or bar",
        )
    tokens = _TOKEN.findall(unit.removesuffix("."))  # in. is the trade's inch
    if "".join(tokens) != unit.removesuffix("."):
        raise _fail("unit-unknown", "this unit cannot be read", unit, f'for example "{EXAMPLE[kind]}"')
    out: list[str] = []
    due, before = "name", ""  # what may come next: a name, a power, or an operator
    for token in tokens:
        named = token[0].isalpha() or token[0] in '°%"'
        if token.isspace():
            before = token
            continue
        if due == "power" or (token.isdigit() and due == "operator" and before.isalpha()):  # mm^4, mm4
            if token not in ("1", "2", "3", "4"):
                way_out = "divide instead: kg/m^3" if token == "-" else ""
                raise _fail("unit-unknown", "no such power of a unit", unit, "powers from 1 to 4", way_out)
            out.append(f"**{token}")
            due = "operator"
        elif due == "operator" and token in ("^", "**") and not out[-1].startswith("**"):
            due = "power"
        elif due == "operator" and token == ")":
            out.append(token)
        elif due == "operator" and token in "*/·.-":  # in-lb: the trade's product
            out.append("/" if token == "/" else "*")
            due = "name"
        elif named or token == "(":
            out += ["*"] if due == "operator" else []
            out.append(_name(token, unit, kind) if named else token)
            due = "operator" if named else "name"
        else:
            raise _fail("unit-unknown", "this unit cannot be read", unit, f'for example "{EXAMPLE[kind]}"')
        before = token
    if due != "operator":
        raise _fail("unit-unknown", "this unit cannot be read", unit, f'for example "{EXAMPLE[kind]}"')
    return "".join(out)


def _name(token: str, unit: str, kind: str) -> str:
    name = SPELLINGS.get(token, token)
    if name == "lb":
        return "lbm" if kind in ("density", "area density") else "lbf"
    if name in _names() or name.startswith("("):
        return name
    known = sorted(_names() | set(SPELLINGS))
    same = [k for k in known if k.lower() == token.lower()]
    near = same or difflib.get_close_matches(token, known, 1, 0.5)
    raise _fail(
        "unit-unknown",
        f'unknown unit "{token}"',
        unit,
        f'for example "{EXAMPLE[kind]}"',
        f"did you mean {near[0]}?" if near else "",
    )
