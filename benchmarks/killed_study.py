"""A study killed at random moments, by SIGKILL of its whole process group, and gone on with.

    python benchmarks/killed_study.py --kills 20 --seed 1

Asked for: every file of the folder equals that of the undisturbed run byte for byte, and no kill loses more than one
chunk of answered points. Printed: the kills, what was on disk, what was lost. A difference ends it with status 1.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

STUDY = """title = "killed"
case = "plain.toml"
chunk = 8
outputs = ["smallest_margin", "governing_mode", "mass", "margins"]
[[vary]]
key = "barrel.skin_thickness"
from = "3 mm"
to = "9 mm"
count = 9
also = [{ key = "barrel.skin_thickness_minimum", less = "0.1 mm" }]
[[vary]]
key = "load_cases.*.axial_force"
name = "factor on force"
factor = true
from = 0.5
to = 2.0
count = 8
"""
WORK = """
import sys
from shellbuck.report.pages.study_page import write_findings
from shellbuck.study import LocalWorkers, Study, open_folder, read_study, run_study, summarise
if __name__ == "__main__":
    study = Study.of(read_study(sys.argv[1]))
    with open_folder(study, sys.argv[2]) as folder:
        with LocalWorkers(2) as workers:
            run_study(study, folder, workers, lambda p: print(p.done, p.found, flush=True))
        write_findings(study, folder, summarise(study, folder))
"""


def prepare(place: Path) -> Path:
    """The study with its case in a folder."""
    from importlib.resources import files

    case = files("shellbuck.io").joinpath("starts/plain.toml").read_text(encoding="utf-8")
    (place / "plain.toml").write_text(case, encoding="utf-8")
    (place / "killed.study.toml").write_text(STUDY, encoding="utf-8")
    (place / "work.py").write_text(WORK, encoding="utf-8")
    return place / "killed.study.toml"


def begin(study: Path, folder: Path) -> subprocess.Popen:
    """The study in a process group of its own."""
    return subprocess.Popen(
        [sys.executable, str(study.parent / "work.py"), str(study), str(folder)],
        stdout=subprocess.PIPE,
        text=True,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its place in it."""
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def saved(folder: Path) -> int:
    """Points in whole chunks on disk."""
    return sum(len(p.read_text(encoding="utf-8").splitlines()) - 1 for p in folder.glob("chunks/*.csv"))


def kill_after(study: Path, folder: Path, seconds: float, answers: int = 0) -> tuple[bool, int, int]:
    """(whether it was still running, points answered, points on disk) of a run killed a while after so many answers."""
    process = begin(study, folder)
    answered = saved(folder)
    while answers > answered and (line := process.stdout.readline()):
        answered = int(line.split()[0])
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        told = [line.split() for line in process.communicate()[0].splitlines()]
        answered = max([answered, *(int(words[0]) for words in told if len(words) == 2)])
        return True, answered, saved(folder)
    process.communicate()
    return False, saved(folder), saved(folder)


def finish(study: Path, folder: Path) -> int:
    """Go on to the end; how many points were found there already."""
    process = begin(study, folder)
    out, err = process.communicate(timeout=600)
    if process.returncode != 0:
        sys.exit(f"the study did not end well: {err[-2000:]}")
    return int(out.splitlines()[0].split()[1])


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--kills", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    rng = random.Random(options.seed)
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        study = prepare(place)
        start = time.monotonic()
        finish(study, place / "whole")
        length = time.monotonic() - start
        whole = contents(place / "whole")
        print(f"undisturbed: {saved(place / 'whole')} points in {length:.1f} s, {len(whole)} files")
        kills, worst, folder, points = 0, 0, place / "killed", saved(place / "whole")
        while kills < options.kills:
            # in turn: at any moment at all, and while the points are worked out
            anywhere = kills % 2 == 0
            moment = (rng.uniform(0.0, length), 0) if anywhere else (rng.uniform(0.0, 0.3), rng.randrange(1, points))
            running, answered, kept = kill_after(study, folder, *moment)
            if running:
                kills += 1
                worst = max(worst, answered - kept)
                print(f"kill {kills}: {answered} points answered, {kept} on disk, lost {answered - kept}", flush=True)
            # every other time killed again before the end, else gone on with to the end and compared
            if rng.random() < 0.5 and kills < options.kills:
                continue
            found = finish(study, folder)
            if running and found != kept:
                print(f"  {kept} points on disk, {found} taken over")
                return 1
            if (now := contents(folder)) != whole:
                print("  different:", sorted(k for k in now.keys() | whole.keys() if now.get(k) != whole.get(k)))
                return 1
            print(f"  gone on with from {found} points: every file the same")
            shutil.rmtree(folder)
    print(f"{kills} kills, at most {worst} points lost (a chunk holds 8), every file equal to the undisturbed run")
    return 0 if worst <= 8 else 1


if __name__ == "__main__":
    sys.exit(main())
