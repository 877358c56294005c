"""Lines of a TOML text by dotted key: tomllib gives none. Only used to point at a place in a message."""

from __future__ import annotations

import re

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$")
_WORD = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_KEY = re.compile(rf"^\s*({_WORD}(?:\s*\.\s*{_WORD})*)\s*=(.*)$")


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(p.strip().strip("\"'") for p in dotted.split("."))


def line_map(text: str) -> dict[str, int]:
    """Line (from 1) of every table header and key, by dotted path with list positions (``load_cases.0.name``)."""
    # split at line feeds only, as TOML does: splitlines() would also count U+2028 and its like inside a string
    lines: dict[str, int] = {}
    counts: dict[str, int] = {}
    table: tuple[str, ...] = ()
    closing = ""
    depth = 0
    for number, line in enumerate(text.split("\n"), 1):
        if closing:
            if closing in line:
                closing = ""
            continue
        if depth > 0:
            depth += _opened(line)
            continue
        if header := _HEADER.match(line):
            table = _resolve(_parts(header[2]), counts, new=header[1] == "[[")
            lines.setdefault(".".join(table), number)
        elif key := _KEY.match(line):
            lines.setdefault(".".join((*table, *_parts(key[1]))), number)
            value = key[2]
            triple = next((q for q in ('"""', "'''") if value.count(q) == 1), "")
            if triple:
                closing = triple
            else:
                depth = max(0, _opened(value))
    return lines


def _resolve(parts: tuple[str, ...], counts: dict[str, int], *, new: bool) -> tuple[str, ...]:
    """Header parts with the position of the current table of every list on the way."""
    path: tuple[str, ...] = ()
    for i, part in enumerate(parts):
        path = (*path, part)
        key = ".".join(path)
        if new and i == len(parts) - 1:
            counts[key] = counts.get(key, -1) + 1
        if key in counts:
            path = (*path, str(counts[key]))
    return path


def _opened(line: str) -> int:
    bare = re.sub(r"\"(?:\\.|[^\"\\])*\"|'[^']*'|#.*", "", line)
    return bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")


def find_line(lines: dict[str, int], where: str) -> int | None:
    """Line of a dotted path, or of the nearest parent that has one."""
    parts = where.split(" / ")[0].split(".")
    while parts:
        if (line := lines.get(".".join(parts))) is not None:
            return line
        parts.pop()
    return None
