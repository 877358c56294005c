"""How long a cold run of a plain case takes, against the bare import of numpy, scipy.linalg and click.

    python benchmarks/cold_run.py

Both are fresh processes, run in turn; the ratio is taken pair by pair and its median printed. Target: 3 or less.
The run must first give the right answer: the script checks a margin against the standard's equations written out here.
"""

from __future__ import annotations

import json
import math
import statistics
import subprocess
import sys
import time
from pathlib import Path

CASE = Path(__file__).parent.parent / "cases" / "plain-aluminium.toml"
RUN = [sys.executable, "-c", "import sys; from shellbuck.cli import entry; entry(sys.argv[1:])", "run", str(CASE)]
BARE = [sys.executable, "-c", "import numpy, scipy.linalg, click"]
PAIRS = 7


def check_answer() -> None:
    """Margin of the empty pad case from NASA SP-8007 Rev 2, Eqs 1-15 and 41."""
    out = subprocess.run([*RUN, "--json", "-"], capture_output=True, text=True, check=True).stdout
    rows = json.loads(out)["load_cases"][0]["margins"]
    found = next(r["margin"] for r in rows if r["mode"] == "general instability")
    R, t, E, nu = 1.6, 5.2e-3, 74e9, 0.33
    shape = math.exp(-math.sqrt(R / t) / 16)
    N = E * t**2 / (R * math.sqrt(3 * (1 - nu**2)))
    a, b = (1 - 0.901 * (1 - shape)) * N, (1 - 0.731 * (1 - shape)) * N
    right = 1 / (1.4 * (700e3 / (2 * math.pi * R) / a + 350e3 / (math.pi * R**2) / b)) - 1
    if abs(found - right) > 1e-10:
        sys.exit(f"wrong answer, not timed: {found} instead of {right}")


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, capture_output=True, check=True)
    return time.perf_counter() - start


def main() -> None:
    check_answer()
    seconds(RUN), seconds(BARE)
    pairs = [(seconds(RUN), seconds(BARE)) for _ in range(PAIRS)]
    ratio = statistics.median(r / b for r, b in pairs)
    run, bare = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(f"cold run {run:.2f} s, bare imports {bare:.2f} s, ratio {ratio:.2f} (target 3 or less)")


if __name__ == "__main__":
    main()
