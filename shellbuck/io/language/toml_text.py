"""From TOML text to tables, within limits that are checked before anything is built. The only door to tomllib."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from ...core.errors import Refusal

_MOST_PARTS = 8
"""Parts of a dotted key; the longest of ours, load_cases.factors.source, have four with its item."""

_MOST_NESTED = 100
_MOST_LINES = 20_000

_QUOTED = re.compile(r'"""(?:\\.|[^\\])*?"""|' r"'''.*?'''|" r'"(?:\\.|[^"\\\n])*"|' r"'[^'\n]*'|#[^\n]*", re.DOTALL)
_PART = r"[\w\-]++[ \t]*+"
_CHAIN = re.compile(rf"(?<![\w\-]){_PART}(?:\.[ \t]*+{_PART}){{{_MOST_PARTS},}}+")


def toml_tables(text: str, where: str = "") -> dict[str, Any]:
    """The tables of a TOML text; `where` names the file in a refusal.

    Raises
    ------
    Refusal
        When it is not TOML that can be read, or is deeper or longer than any input file.
    """
    _refuse_deep(text, where)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        way_out = "strings need quotes, tables need [brackets]"
        if str(error).startswith("Cannot"):
            way_out = "a key or section is given twice; sections that repeat need [[double brackets]], each of them"
        raise Refusal.of("toml-syntax", f"not valid TOML: {error}", where, way_out=way_out) from None
    except RecursionError:
        raise Refusal.of("toml-syntax", "nested too deeply", where) from None
    except ValueError:  # integers of thousands of digits, dates that do not exist
        raise Refusal.of(
            "toml-syntax", "a number or date cannot be read", where, way_out="search for very long numbers"
        ) from None


def _refuse_deep(text: str, where: str) -> None:
    """Refuse what would make a parser build tables without end: a key of 20 000 parts took 1.6 GB."""
    if (lines := text.count("\n")) > _MOST_LINES:
        raise Refusal.of("toml-syntax", "too many lines", where, str(lines), f"at most {_MOST_LINES}")
    # quoted parts of keys stay parts, and texts lose the dots and brackets in them
    bare = _QUOTED.sub(lambda found: "" if found[0].startswith("#") else "q", text)
    if chain := _CHAIN.search(bare):
        got = f"{chain[0][:40]}..., {chain[0].count('.') + 1} parts"
        raise Refusal.of("toml-syntax", "a key has too many parts", where, got, f"at most {_MOST_PARTS}")
    depth = 0
    for found in re.finditer(r"[\[{\]}]", bare):
        depth = depth + 1 if found[0] in "[{" else max(depth - 1, 0)
        if depth > _MOST_NESTED:
            got = f"more than {_MOST_NESTED} open brackets"
            raise Refusal.of("toml-syntax", "nested too deeply", where, got, f"at most {_MOST_NESTED}")
