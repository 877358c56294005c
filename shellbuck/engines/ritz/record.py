"""Records of what the Ritz engines find."""

from __future__ import annotations

from typing import Any

from ...core.records import Certificate, Load, Mode
from .barrel import RitzBarrel
from .energies import Prestress
from .shapes import ModeRecorder
from .spectrum import BAND, Spectrum


def record(
    barrel: RitzBarrel, words: tuple[str, str, str, str], line_load: float, position: str = "skin middle", **more: Any
) -> Load:
    """A record of this engine; `words` say name, prestress, definition and treatment of pressure."""
    name, prestress, definition, pressure = words
    name, source = f"Ritz, {barrel.theory}, {name}", "own Rayleigh-Ritz engine"
    edges = edge_words(barrel)
    return Load(name, line_load, barrel.theory, edges, prestress, position, pressure, definition, source, **more)


def of_spectrum(
    barrel: RitzBarrel,
    found: Spectrum,
    pressure: float,
    words: tuple[str, str, str, str],
    *,
    shapes: int,
    leave_out: tuple[int, ...],
    size: float = 1.0,
    error: float | None = None,
) -> Load:
    """The record of a certified spectrum under a fixed pressure [Pa]; loads are `size` times its factors."""
    count = found.count(BAND * found.lowest[found.best])
    recorder = ModeRecorder(barrel, Prestress.membrane(pressure * barrel.R))
    return record(
        barrel,
        words,
        found.lowest[found.best] * size,
        n=found.best,
        certificate=_spectrum_certificate(found, count, leave_out, error),
        near_tie_count=count - 1,
        lowest_by_n=tuple(Mode(0, k, v * size) for k, v in found.lowest.items()),
        shapes=tuple(
            recorder.record(found.pick(n), n, value * size, x)
            for value, n, x in (found.lowest_modes(shapes) if shapes else ())
        ),
        resolution_error=error,
    )


def _spectrum_certificate(found: Spectrum, count: int, leave_out: tuple[int, ...], error: float | None) -> Certificate:
    """The record of a certified spectrum."""
    resolved = "" if error is None else f"; two more degrees move the lowest by {error:.0e}"
    return Certificate(
        0,
        found.top,
        leave_out,
        f"inertia counts: {count} load factors below {BAND:g} times the lowest, in "
        f"{len(found.lowest)} harmonics; every other harmonic up to n = {found.top} holds none{resolved}",
        BAND,
    )


def edge_words(barrel: RitzBarrel) -> str:
    """Edges and rings of a barrel in words."""
    return "; ".join([barrel.edges.words, *(ring.words for ring in barrel.rings)])
