"""SVG text made smaller, its looks unchanged: short paths, packed pictures, no metadata."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Sequence
from typing import Any

import numpy as np
from PIL import Image

_PATH = re.compile(r'(<path [^>]*?\bd=")([^"]*)(")')
_PICTURE = re.compile(r"data:image/png;base64,[A-Za-z0-9+/=\s]+")
_PLAIN = re.compile(r"\s*M[MLQCz\s\d.eE+-]*")
_STEP = re.compile(r"([MLQCz])([^MLQCz]*)")
_FONTS = re.compile(r"font-family: [^;\"]*; ?")
_UNTURNED = re.compile(r' transform="rotate\(-?0 [^)]*\)"')
FONT = "DejaVu Sans, Verdana, sans-serif"
_PHOTO = ((560, 85), (440, 78), (340, 68), (260, 55))
"""Widths [pixels] of the pictures inside a figure and the qualities with which they are kept, the finest first."""
_LONG = 40
"""Commands from which on a tenth of a point is fine enough for a path; a hundredth below."""


def compact(text: str, pictures: Sequence[np.ndarray] = (), most: int | None = None) -> str:
    """A figure's SVG text, made smaller.

    Parameters
    ----------
    text : str
        As matplotlib writes it.
    pictures : sequence of numpy.ndarray
        (height, width, 4) red, green, blue, opacity of 0 to 255, in place of those that stand in the text.
    most : int or None
        Bytes that the figure may take: pictures inside are kept as JPEG, as fine as that allows. None keeps every
        pixel, in a palette where there are few colours.
    """
    text = re.sub(r"\s*<metadata>.*?</metadata>|<!--.*?-->", "", text, flags=re.DOTALL)
    text = _PATH.sub(lambda m: m[1] + short_path(m[2]) + m[3], text)
    text = _FONTS.sub("", re.sub(r"\n\s*", "\n", text)).replace("<svg ", f'<svg font-family="{FONT}" ', 1)
    text = _UNTURNED.sub("", text)
    pieces = _PICTURE.split(text)
    found = [Image.fromarray(picture) for picture in pictures]
    if most is None:
        packed = [_exact(picture) for picture in found]
    else:
        for width, quality in _PHOTO:
            packed = [_photo(picture.convert("RGB"), width, quality) for picture in found]
            if sum(map(len, packed + pieces)) <= most:
                break
    return "".join(part for pair in zip(pieces, [*packed, ""], strict=True) for part in pair)


def short_path(path: str) -> str:
    """Path data with relative, rounded numbers; anything but plain M, L, Q, C, z stays as it is.

    Examples
    --------
    >>> short_path("M 10.123456 20 \\nL 11.5 18.25 \\nz\\n")
    'M10.12 20l1.38-1.75z'
    """
    if not _PLAIN.fullmatch(path):
        return path
    steps = _STEP.findall(path)
    scale = 10 if len(steps) > _LONG else 100
    out, here, start, last = [], (0, 0), (0, 0), ""
    for letter, rest in steps:
        if letter == "z":
            out.append("z")
            here, last = start, "z"
            continue
        numbers = [round(float(v) * scale) for v in rest.split()]
        pairs = list(zip(numbers[::2], numbers[1::2], strict=True))
        if letter == "M":
            out.append("M" + _joined([v for p in pairs for v in p], scale))
            here = start = pairs[-1]
            last = "M"
            continue
        moves = [v for p in pairs for v in (p[0] - here[0], p[1] - here[1])]
        here = pairs[-1]
        words = _joined(moves, scale)
        small = letter.lower()
        out.append(words if last == small and words[0] == "-" else (" " if last == small else small) + words)
        last = small
    return "".join(out)


def _joined(numbers: list[int], scale: int) -> str:
    text = ""
    for v in numbers:
        word = f"{v / scale:g}" if abs(v) < 100_000 * scale else str(v / scale)
        word = word.replace("0.", ".", 1) if word.startswith(("0.", "-0.")) else word
        text += word if not text or word[0] == "-" else " " + word
    return text


def _photo(picture: Image.Image, width: int, quality: int) -> str:
    if picture.width > width:
        picture = picture.resize((width, round(picture.height * width / picture.width)), Image.Resampling.HAMMING)
    return _uri(picture, "JPEG", quality=quality, subsampling=0, optimize=True)


def _exact(picture: Image.Image) -> str:
    if picture.mode == "RGBA" and picture.getextrema()[3] == (255, 255):
        picture = picture.convert("RGB")
    if picture.mode == "RGB" and picture.getcolors(256) is not None:
        picture = picture.convert("P", palette=Image.Palette.ADAPTIVE, colors=256)
    return _uri(picture, "PNG", optimize=True)


def _uri(picture: Image.Image, form: str, **how: Any) -> str:
    buffer = io.BytesIO()
    picture.save(buffer, form, **how)
    return f"data:image/{form.lower()};base64," + base64.b64encode(buffer.getvalue()).decode("ascii")
