"""Time of the Ritz engine at R/t 1000, L/R 2, clamped, against banded Cholesky factorisations of the same matrices.

    OMP_NUM_THREADS=1 python benchmarks/ritz_speed.py

Wrong answers are not timed: the membrane load must agree with a run at twice the resolution to 1e-6, and the nonlinear
load of R/t 1000, L/R 1 must be .92661 of the classical load (own value, computed twice before this engine). Aims: all
harmonics with certificate in 100 factorisations or less, nonlinear prebuckling about 1 s.
"""

from __future__ import annotations

import math
import statistics
import sys
import time

from shellbuck.ritz import Edges, RitzBarrel, membrane, nonlinear
from shellbuck.ritz.barrel import PIECE
from shellbuck.ritz.energies import Prestress
from shellbuck.walls import Skin, SmearedWall

ROUNDS = 5


def barrel(length: float, piece: float = PIECE) -> RitzBarrel:
    return RitzBarrel(SmearedWall.of(Skin(1.0, 0.3, 1e-3)), 1.0, length, Edges("C4", "C4"), "Donnell", piece=piece)


def median(work) -> float:
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    coarse, fine = membrane(barrel(2.0)).line_load, membrane(barrel(2.0, PIECE / 2)).line_load
    if abs(coarse / fine - 1) > 1e-6:
        sys.exit(f"wrong answer, not timed: membrane {coarse} against {fine}")
    bent = nonlinear(barrel(1.0)).line_load / (1e-6 / math.sqrt(3 * 0.91))
    if abs(bent - 0.92661) > 6e-6:
        sys.exit(f"wrong answer, not timed: nonlinear {bent} of the classical load")
    waves = barrel(2.0).operators(Prestress.membrane(0.0))[1]
    one = median(lambda: [waves.stable(n, 0.9 * coarse) for n in range(1, 51)]) / 50
    spectrum = median(lambda: membrane(barrel(2.0)))
    path = median(lambda: nonlinear(barrel(2.0)))
    print(f"one banded Cholesky factorisation, matrix built: {1e3 * one:.2f} ms ({waves.size} unknowns)")
    print(f"membrane, all harmonics, certificate: {spectrum:.2f} s = {spectrum / one:.0f} factorisations (aim 100)")
    print(f"nonlinear prebuckling: {path:.2f} s (aim about 1 s) = {path / one:.0f} factorisations")


if __name__ == "__main__":
    main()
