"""Time of the Ritz engine at R/t 1000, L/R 2, clamped, against banded Cholesky factorisations.

The unit is one factorisation of a harmonic on short pieces of degree 8, the matrices of the nonlinear march; those of
the membrane spectrum stand on one piece of high degree, with fewer unknowns and a narrow band, and are shown beside.

    OMP_NUM_THREADS=1 python benchmarks/ritz_speed.py

Wrong answers are not timed: the membrane load on one piece must agree with that on short pieces to 1e-6, and the
nonlinear load of R/t 1000, L/R 1 must be .92661 of the classical load (own value, computed twice before this engine).
Times are the least of several runs, in seconds of this process. Aims: all harmonics with certificate in 100
factorisations or less, nonlinear prebuckling about 1 s.
"""

from __future__ import annotations

import math
import sys
import time

from shellbuck.engines.ritz import Edges, RitzBarrel, membrane, nonlinear
from shellbuck.engines.ritz.barrel import PIECE
from shellbuck.engines.ritz.energies import Prestress
from shellbuck.model.walls import Skin, SmearedWall

ROUNDS = 5


def barrel(length: float, piece: float = PIECE) -> RitzBarrel:
    return RitzBarrel(SmearedWall.of(Skin(1.0, 0.3, 1e-3)), 1.0, length, Edges("C4", "C4"), "Donnell", piece=piece)


def least(work) -> float:
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    whole, pieces = membrane(barrel(2.0)).line_load, membrane(barrel(2.0, PIECE / 2)).line_load
    if abs(whole / pieces - 1) > 1e-6:
        sys.exit(f"wrong answer, not timed: membrane {whole} against {pieces}")
    bent = nonlinear(barrel(1.0)).line_load / (1e-6 / math.sqrt(3 * 0.91))
    if abs(bent - 0.92661) > 6e-6:
        sys.exit(f"wrong answer, not timed: nonlinear {bent} of the classical load")
    one, narrow = (factorisation(shell, whole) for shell in (barrel(2.0), barrel(2.0).whole))
    spectrum = least(lambda: membrane(barrel(2.0)))
    first = least(lambda: nonlinear(barrel(2.0), each_harmonic=False))
    path = least(lambda: nonlinear(barrel(2.0)))
    print(f"one banded Cholesky, matrix built: {1e3 * one:.3f} ms on short pieces, {1e3 * narrow:.3f} ms on one piece")
    print(
        f"membrane, all harmonics, certificate: {spectrum:.3f} s = {spectrum / one:.0f} factorisations (aim 100), "
        f"{spectrum / narrow:.0f} of its own narrow ones"
    )
    print(
        f"nonlinear prebuckling: {first:.2f} s to the first loss = {first / one:.0f} factorisations, {path:.2f} s "
        f"with the first loss of every harmonic = {path / one:.0f} (aim about 1 s)"
    )


def factorisation(shell: RitzBarrel, load: float) -> float:
    """Seconds for one, with its matrix."""
    waves = shell.harmonic(1, Prestress.membrane(0.0))
    return least(lambda: [waves.stable(n, 0.9 * load) for n in range(1, 51)]) / 50


if __name__ == "__main__":
    main()
