"""What a picture shows, as arrays: coloured facets, lines, words, camera. Made here, painted in another process."""

from __future__ import annotations

import json
import textwrap
import unicodedata
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from ...core.style import INK, colour_of, sight

GHOST = "#9AA3AD"


def colours(count: int = 256) -> np.ndarray:
    """(count, 3) red, green, blue of 0 to 255 from inward to outward.

    Examples
    --------
    >>> colours(9)[[0, 4, 8]].tolist()
    [[0, 85, 169], [246, 243, 238], [144, 58, 3]]
    """
    return (255 * colour_of(np.linspace(-1, 1, count), count)).round().astype(np.uint8)


@dataclass(frozen=True, eq=False)
class Surface:
    """Facets of one part: points (k, 3) [m], quads (f, 4), and values (k,) in [-1, 1] or else one colour."""

    points: np.ndarray
    quads: np.ndarray
    values: np.ndarray | None = None
    colour: str = ""


@dataclass(frozen=True, eq=False)
class Lines:
    """Segments (s, 2) between points (k, 3) [m]."""

    points: np.ndarray
    segments: np.ndarray
    colour: str = INK
    width: float = 1.0


@dataclass(frozen=True, eq=False)
class Camera:
    """Parallel projection towards `focus` (3,) from the side `towards` (3,); `up` (3,) on the picture.

    `half` (2,) is half the width and height of what is to be seen [m].
    """

    focus: np.ndarray
    towards: np.ndarray
    up: np.ndarray
    half: np.ndarray

    @classmethod
    def on(cls, points: np.ndarray, azimuth: float, elevation: float) -> Camera:
        """The camera at angles [rad] about the third axis and above its plane that just sees all points (k, 3)."""
        right, up, towards = sight(azimuth, elevation)
        axes = np.stack([right, up])
        seen = points @ axes.T
        low, high = seen.min(axis=0), seen.max(axis=0)
        return cls((low + high) / 2 @ axes, towards, up, (high - low) / 2)


@dataclass(frozen=True, eq=False)
class Scene:
    """A picture of `size` (width, height) pixels: title and words above, the drawing, below the strip of colours with a
    word at each of its `ends` (empty `legend`) or swatches with the names of parts (word, colour)."""

    camera: Camera
    size: tuple[int, int]
    title: str
    words: tuple[str, ...]
    surfaces: tuple[Surface, ...]
    lines: tuple[Lines, ...] = ()
    legend: tuple[tuple[str, str], ...] = ()
    ends: tuple[str, str] = ("inward", "outward")

    def save(self, path: Path) -> None:
        """Write the scene as a file of arrays and one text; no objects are pickled."""
        arrays: list[np.ndarray] = []

        def numbered(array: np.ndarray) -> dict[str, int]:
            arrays.append(array)
            return {"array": len(arrays) - 1}

        text = json.dumps(asdict(self), default=numbered)
        named = {f"array {i}": array for i, array in enumerate(arrays)}
        np.savez(path, allow_pickle=False, text=np.array(text), **named)

    @classmethod
    def load(cls, path: Path) -> Scene:
        """Read what `save` wrote."""
        with np.load(path, allow_pickle=False) as data:

            def array(found: dict[str, Any]) -> Any:
                return data[f"array {found['array']}"] if "array" in found else found

            rows = json.loads(str(data["text"]), object_hook=array)
        camera = Camera(**rows.pop("camera"))
        surfaces = tuple(Surface(**row) for row in rows.pop("surfaces"))
        lines = tuple(Lines(**row) for row in rows.pop("lines"))
        legend = tuple(map(tuple, rows.pop("legend")))
        words = {key: tuple(value) if isinstance(value, list) else value for key, value in rows.items()}
        return cls(camera=camera, surfaces=surfaces, lines=lines, legend=legend, **words)


@dataclass(frozen=True)
class Writing:
    """Lines of text as they stand: (text, pixels of the letters, pixels from the top of the picture to the base line),
    and the pixels they take in all."""

    rows: tuple[tuple[str, int, int], ...]
    height: int


def plain(text: str) -> str:
    """Text in the letters that every font has: Greek ones by name, others by their nearest or as a question mark.

    Examples
    --------
    >>> plain("w² at θ = 0, λ − 1 ≤ 2")
    'w² at theta = 0, lambda - 1 <= 2'
    """
    found = []
    for letter in text.replace("−", "-").replace("–", "-").replace("≤", "<=").replace("≥", ">="):
        name = unicodedata.name(unicodedata.normalize("NFKC", letter)[:1], "").split()
        if ord(letter) < 256:
            found.append(letter)
        elif name[:1] == ["GREEK"] and "LETTER" in name[:-1]:
            found.append(name[name.index("LETTER") + 1].lower().replace("lamda", "lambda"))
        else:
            found.append(unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode() or "?")
    return "".join(found)


def written(title: str, words: tuple[str, ...], size: tuple[int, int]) -> Writing:
    """Title and words broken into lines that fit the width; letters shrink until all of it takes a third of the height.

    Examples
    --------
    >>> written("One", ("two",), (800, 600)).rows
    (('One', 17, 27), ('two', 14, 50))
    """
    letters = max(9, round(size[1] / 36))
    while True:
        rows, y = [], round(0.6 * letters)
        for k, text in enumerate((title, *words)):
            pixels = letters if k == 0 else max(8, round(0.82 * letters))
            for row in textwrap.wrap(plain(text), max(8, int((size[0] - 3 * letters) / (0.55 * pixels)))):
                y += round(1.0 * pixels) if not rows else round(1.45 * pixels) + (k == 1 and rows[-1][1] != pixels) * 3
                rows.append((row, pixels, y))
        height = y + round(0.7 * letters)
        if height <= size[1] / 3 or letters <= 9:
            return Writing(tuple(rows), height)
        letters -= 1
