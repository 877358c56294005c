"""One ``[[vary]]`` table of a study file: which input, which values, or which spread it is drawn from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from ...core.errors import Problem, Refusal
from ...model import Case
from .hints import suggestion
from .keys import Place, places
from .study_plan import SAMPLED, Follow, Spread, Variation
from .units import UnitError, parse_quantity

VARY = {
    "key": "Dotted key of the case file; a list of keys with factor = true.",
    "name": "Name on table and page; without it the key.",
    "from": "First value of a range.",
    "to": "Last value of a range.",
    "count": "Number of values of a range, both ends included.",
    "spacing": '"even" or "logarithmic".',
    "values": "The values themselves, in place of a range.",
    "mean": "Mean of a normal distribution.",
    "deviation": "Its standard deviation.",
    "least": "Its lower limit.",
    "most": "Its upper limit.",
    "factor": "true: the values multiply what the base case gives.",
    "also": "Keys that follow the value.",
}
ALSO = {
    "key": "Dotted key that follows the varied value.",
    "times": "Multiplier of that value.",
    "more": "Quantity to add.",
    "less": "Quantity to subtract.",
}
"""Keys of a ``[[vary]]`` table and of its ``also``, with their meanings."""


def variation(entry: Any, case: Case, method: str, where: str, si: bool = False) -> Variation:
    """A variation from the plain data of its table.

    Parameters
    ----------
    entry : object
        What the file holds.
    case : Case
        The base case.
    method : str
        Of the study: a sampled one needs spreads, another values.
    where : str
        Dotted place for messages.
    si : bool
        Take bare numbers as SI.

    Raises
    ------
    Refusal
    """
    if not isinstance(entry, dict):
        raise Refusal.of("value-kind", "a table is needed", where, repr(entry)[:60], "[[vary]]")
    unknown = [k for k in entry if k not in VARY]
    if unknown:
        raise Refusal(
            [
                Problem(
                    "key-unknown",
                    "unknown key",
                    f"{where}.{str(k)[:40]}",
                    "",
                    ", ".join(VARY),
                    suggestion(str(k), list(VARY)),
                )
                for k in unknown
            ]
        )
    factor = entry.get("factor", False)
    if not isinstance(factor, bool):
        raise Refusal.of("value-kind", "true or false is needed", f"{where}.factor", repr(factor)[:60])
    keys = _keys(entry, factor, where)
    found = tuple(place for key in keys for place in places(case, key, f"{where}.key"))
    first = found[0]
    if factor and (first.kind != "quantity" or any(not isinstance(p.base, int | float) for p in found)):
        raise Refusal.of(
            "study-factor",
            "there is no number in the base case to multiply",
            f"{where}.factor",
            ", ".join(keys),
            "a quantity that the case gives",
        )
    name = entry.get("name", "")
    if not isinstance(name, str) or len(name) > 80 or not name.isprintable():
        raise Refusal.of("value-kind", "a short text is needed", f"{where}.name", repr(name)[:60])

    def read(key: str) -> Any:
        return _number(entry[key], f"{where}.{key}") if factor else first.read(entry[key], f"{where}.{key}", si=si)

    follow = _follow(entry.get("also", []), case, where, si)
    found_one = Variation(" and ".join(keys), found, factor=factor, follow=follow, name=name)
    if follow and (factor or not found_one.numeric):
        what = "a factor multiplies a list of keys instead" if factor else "only a number can be followed"
        raise Refusal.of("study-factor", what, f"{where}.also", way_out="key = [...] with factor = true")
    if "values" in entry:
        return replace(found_one, values=_listed(entry, first, factor, where, si))
    if not found_one.numeric:
        raise Refusal.of(
            "key-missing", "which values does it take?", f"{where}.values", "nothing", f"values = [{first.example()}]"
        )
    if method in SAMPLED:
        return replace(found_one, spread=_spread(entry, read, found, factor, where))
    return replace(found_one, values=_range(entry, read, first, factor, where))


def _keys(entry: dict[str, Any], factor: bool, where: str) -> list[str]:
    """The key, or the keys that one factor multiplies together."""
    keys = entry.get("key")
    if isinstance(keys, str):
        return [keys]
    if isinstance(keys, list) and keys and all(isinstance(k, str) for k in keys) and (factor or len(keys) == 1):
        return keys
    allowed = 'a dotted key of the case, for example "barrel.skin_thickness"; a list with factor = true'
    raise Refusal.of("key-missing", "which input is varied?", f"{where}.key", repr(keys)[:60], allowed)


def _number(value: Any, where: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise Refusal.of("value-kind", "a factor is a plain number", where, repr(value)[:60], "for example 1.1")
    return float(value)


def _listed(entry: dict[str, Any], place: Place, factor: bool, where: str, si: bool) -> tuple[Any, ...]:
    other = [k for k in ("from", "to", "count", "spacing", "mean", "deviation", "least", "most") if k in entry]
    if other:
        raise Refusal.of(
            "study-range", "values and a range exclude one another", f"{where}.{other[0]}", way_out="keep one of them"
        )
    values = entry["values"]
    if not isinstance(values, list) or not values:
        allowed = f"values = [{place.example()}]"
        raise Refusal.of("study-range", "an empty list of values", f"{where}.values", repr(values)[:40], allowed)
    found, problems = [], []
    for j, value in enumerate(values):
        at = f"{where}.values.{j}"
        try:
            found.append(_number(value, at) if factor else place.read(value, at, si=si))
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems[:20])
    return tuple(found)


def _range(entry: dict[str, Any], read, place: Place, factor: bool, where: str) -> tuple[Any, ...]:
    """Values of a grid: `count` from `from` to `to`, both included."""
    for key in ("mean", "deviation", "least", "most"):
        if key in entry:
            raise Refusal.of(
                "study-range",
                f"{key} belongs to a sampled method",
                f"{where}.{key}",
                "",
                ", ".join(SAMPLED),
                "set method, or give from, to and count",
            )
    low, high = _ends(entry, read, where)
    count = entry.get("count")
    if isinstance(count, bool) or not isinstance(count, int) or not 2 <= count <= 10_000:
        got = "nothing" if count is None else repr(count)[:40]
        what, way_out = "how many values?", ""
        if count == 1 and not isinstance(count, bool):
            what, way_out = "one value cannot span a range", _single(entry["from"])
        raise Refusal.of("study-range", what, f"{where}.count", got, "2 to 10000", way_out)
    steps = [j / (count - 1) for j in range(count)]
    if _log(entry, low, where):
        values = [low ** (1 - s) * high**s for s in steps]
    else:
        values = [low + s * (high - low) for s in steps]
    values[0], values[-1] = low, high
    if place.kind == "whole" and not factor:
        return tuple(dict.fromkeys(round(v) for v in values))
    return tuple(values)


def _ends(entry: dict[str, Any], read, where: str) -> tuple[float, float]:
    missing = [k for k in ("from", "to") if k not in entry]
    if missing:
        raise Refusal.of(
            "key-missing",
            "a range needs both its ends",
            f"{where}.{missing[0]}",
            "nothing",
            "from and to, or values = [...]",
        )
    low, high = read("from"), read("to")
    if not low <= high:
        got, allowed = str(entry["from"])[:40], f"at most {str(entry['to'])[:40]}"
        raise Refusal.of("study-range", "an empty range: from is above to", f"{where}.from", got, allowed, "swap them")
    if low == high:
        raise Refusal.of(
            "study-range",
            "a range of no width: from equals to",
            f"{where}.from",
            str(entry["from"])[:40],
            "below to",
            _single(entry["from"]),
        )
    return low, high


def _single(value: Any) -> str:
    """The way out of a range that is one value."""
    shown = f'"{value[:40]}"' if isinstance(value, str) else repr(value)[:40]
    return f"for a single value write values = [{shown}]"


def _log(entry: dict[str, Any], low: float, where: str) -> bool:
    spacing = entry.get("spacing", "even")
    if spacing not in ("even", "logarithmic"):
        raise Refusal.of(
            "value-choice", "no such spacing", f"{where}.spacing", repr(spacing)[:40], '"even", "logarithmic"'
        )
    if spacing == "logarithmic" and low <= 0:
        raise Refusal.of("study-range", "a logarithmic spacing needs values above 0", f"{where}.from")
    return spacing == "logarithmic"


def _spread(entry: dict[str, Any], read, found: Sequence[Place], factor: bool, where: str) -> Spread:
    if "count" in entry:
        what = "a sampled input has no count of its own"
        raise Refusal.of("study-range", what, f"{where}.count", "", "", "give count once, at the top of the file")
    if "mean" not in entry and "deviation" not in entry:
        if "least" in entry or "most" in entry:
            raise Refusal.of("study-range", "least and most cut off a normal spread", where, "", "from and to")
        low, high = _ends(entry, read, where)
        return Spread(low, high, log=_log(entry, low, where))
    for key in ("mean", "deviation"):
        if key not in entry:
            raise Refusal.of("key-missing", "mean and deviation go together", f"{where}.{key}", "nothing")
    if "from" in entry or "to" in entry:
        raise Refusal.of("study-range", "a normal spread is cut off by least and most", where, "from, to")
    place, mean = found[0], read("mean")
    deviation = _deviation(entry["deviation"], place, factor, f"{where}.deviation")
    log = _log(entry, mean, where)
    # what the case file refuses cannot be drawn
    bounds = (0.0, math.inf) if factor else (place.mark.low, place.mark.high)
    low = read("least") if "least" in entry else bounds[0]
    high = read("most") if "most" in entry else bounds[1]
    if not low < high or not low <= mean <= high:
        raise Refusal.of(
            "study-range", "the mean must lie between least and most", f"{where}.mean", str(entry["mean"])[:40]
        )
    return Spread(low, high, mean, deviation, log)


def _deviation(value: Any, place: Place, factor: bool, where: str) -> float:
    """A standard deviation: a quantity of the same kind, outside the allowed range of the value itself."""
    if factor or place.kind == "whole" or isinstance(value, float):
        number = _number(value, where)
    else:
        number = _difference(value, place, where)
    if not 0 < number < math.inf:
        raise Refusal.of("study-range", "a standard deviation is above 0", where, str(value)[:40])
    return number


def _follow(entries: Any, case: Case, where: str, si: bool) -> tuple[Follow, ...]:
    found = []
    if not isinstance(entries, list):
        raise Refusal.of("value-kind", "a list of tables is needed", f"{where}.also", repr(entries)[:60])
    for j, entry in enumerate(entries):
        at = f"{where}.also.{j}"
        if isinstance(entry, str):
            entry = {"key": entry}
        if not isinstance(entry, dict) or not isinstance(entry.get("key"), str) or set(entry) - set(ALSO):
            allowed = 'also = [{ key = "barrel.skin_thickness_minimum", less = "0.1 mm" }]'
            raise Refusal.of("value-kind", "a key that goes with the value is needed", at, repr(entry)[:60], allowed)
        spots = places(case, entry["key"], f"{at}.key")
        if spots[0].kind not in ("quantity", "whole"):
            raise Refusal.of("value-kind", "only a number can follow", f"{at}.key", entry["key"][:60])
        times = _number(entry["times"], f"{at}.times") if "times" in entry else 1.0
        more = _offset(entry, "more", spots[0], at, si) - _offset(entry, "less", spots[0], at, si)
        found.append(Follow(entry["key"], spots, times, more))
    return tuple(found)


def _offset(entry: dict[str, Any], key: str, place: Place, at: str, si: bool) -> float:
    if key not in entry:
        return 0.0
    if place.kind == "whole" or (si and isinstance(entry[key], float)):
        return _number(entry[key], f"{at}.{key}")
    return _difference(entry[key], place, f"{at}.{key}")


def _difference(value: Any, place: Place, where: str) -> float:
    """A difference of two quantities in SI: 5 degC is 5 K here."""
    try:
        number = parse_quantity(value, place.mark.kind)
        if place.mark.kind == "temperature":
            number -= parse_quantity("0 " + value.strip().lstrip("+-0123456789.eE_ "), "temperature")
    except UnitError as error:
        raise Refusal(error.problem.below(where)) from None
    return number
