"""Formulas broken at random, one at a time: how many of the faults a test finds (asked for: 95 of 100).

    python benchmarks/mutations.py [--count 100] [--seed 1] [--only margins] [--workers 2] [--record mutations.json]
    python benchmarks/mutations.py --since HEAD~10 --count 6 --budget 100

A mutation changes one expression of `closed_form`, `ritz`, `fe`, `handbook`, `margins` or `walls`: a number (times 1.1,
or plus 1), an operator (+ and -, * and /), a sign, a comparison, least and largest, or it drops a term or a factor. It
is made in a copy of the package, and the tests that mirror the room run on it, quick ones first, until one fails. Every
room gives the same share. Text, annotations, refusals and indices are left alone. The record makes a run resumable;
`--again` repeats what survived in it (lines are found by their text, so that the code may have moved; a line that is
gone, or listed as equivalent since, leaves the record), `--list` only names what would be tried. Exit 1 below the share
asked for.

`--since` draws from the lines that have changed since a revision, of any room, and keeps no record; without the history
or without a change it does nothing. `--budget` ends it after so many seconds: what is then unfinished counts as not
tried, and fewer than five tried decide nothing.
"""

from __future__ import annotations

import argparse
import ast
import json
import math
import os
import queue
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import asdict, dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
ASKED = 0.95
FEWEST = 5
"""Mutations of which a share says anything."""
TIMEOUT = 900
"""[s] for the tests of one mutation; a search that no longer ends is found as well."""

_CHAIN = (
    "tests/margins/test_validity.py",
    "tests/margins/test_plain_barrel.py",
    "tests/margins/test_local_and_strength.py",
    "tests/margins/test_stiffened_barrel.py",
    "tests/margins/test_independent_margins.py",
    "tests/margins/test_ring_blades.py",
    "tests/margins/test_mode_basis.py",
)
_WHOLE = ("tests/independent",)
_SHOP = "tests/sizing/test_sizing_patterns.py"
"""What a sizing may choose of a wall and what the shop can make stand in the modules of the walls."""
_RITZ, _FE = "tests/engines/ritz", "tests/engines/fe"
STAGES = {
    "handbook": (("tests/handbook",), _CHAIN, _WHOLE),
    "walls": (("tests/model", _SHOP), (*_CHAIN, "tests/derivations"), _WHOLE),
    "closed_form": (("tests/engines/closed_form",), _CHAIN, _WHOLE),
    "margins": (_CHAIN, _WHOLE, ("tests/margins", *(f"--ignore={file}" for file in _CHAIN))),
    "ritz": (
        tuple(
            f"{_RITZ}/test_{name}.py"
            for name in ("shapes", "membrane_properties", "torsion", "springs_and_rings", "edge_values")
        ),
        (_RITZ,),
        ("tests/compare/test_edge_effects.py", "tests/margins/test_edge_bending.py"),
    ),
    "fe": (
        (
            *(f"{_FE}/test_fe_{name}.py" for name in ("shapes", "geometry", "element", "assembly", "statics")),
            f"{_FE}/test_content.py",
        ),
        (_FE,),
        ("tests/compare",),
    ),
}
"""Tests of a room in the order in which they run."""

FOLDERS = {
    "handbook": ("handbook",),
    "walls": ("model/walls", "model/sections"),
    "closed_form": ("engines/closed_form",),
    "margins": ("margins",),
    "ritz": ("engines/ritz",),
    "fe": ("engines/fe",),
}
"""Where the formulas of a room stand in the package."""

SURVIVED, UNSOUND, UNFINISHED = "SURVIVED", "UNSOUND, fails without the change too:", "unfinished"
_sound: set[str] = set()
"""Tests known to pass on the package as it is."""

_MASKED = "stands in for a divisor where the quotient is not used"
_START = "place of a trial mode; whatever mode it finds bounds the search, which tries every mode below that bound"
EQUIVALENT: dict[tuple[str, str, str], str] = {
    (
        "shellbuck/margins/crippling.py",
        "strength.stress_margin(crippling, np.where(alone, fixed, 1.0)),",
        "1.1",
    ): _MASKED,
    (
        "shellbuck/engines/closed_form/batch_tables.py",
        "_ROWS = 150_000  # rows (design, m) held at once",
        "150001",
    ): "size of a batch",
    (
        "shellbuck/engines/closed_form/batch.py",
        "turn = 1 / waves**2",
        "2",
    ): "a stricter condition sends more designs to the single search, which finds the same",
    (
        "shellbuck/engines/fe/energy.py",
        "for part, elements in shell.batches(first, 36 * n * n):",
        "37",
    ): "size of a batch",
    (
        "shellbuck/engines/closed_form/batch_tables.py",
        "_HOOP = np.array([0.1, 0.22, 0.34, 0.46, 0.58, 0.7, 0.82, 0.94])",
        "0.77",
    ): _START,
    (
        "shellbuck/engines/closed_form/batch_tables.py",
        "_AXIAL = np.array([0.02, 0.1, 0.22, 0.36, 0.52, 0.7, 0.9])",
        "0.77",
    ): _START,
    (
        "shellbuck/engines/fe/shell.py",
        "key = np.column_stack([np.rint(corners / unit).reshape(len(corners), -1), self.mesh.part])",
        "2",
    ): "numpy takes any negative length of a reshape as the one that is left",
    (
        "shellbuck/engines/fe/buckling.py",
        "order = self._order(math.nan, T, None)",
        "-T",
    ): "the order of elimination is made of where T has entries, not of their values",
}
"""(file, text of the line, new text) of mutations that cannot change a result, with the reason; not drawn."""

_OPERATORS = {ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*")}
_COMPARISONS = {ast.Lt: ("<", ">"), ast.Gt: (">", "<"), ast.LtE: ("<=", ">="), ast.GtE: (">=", "<=")}
_EXTREMES = {
    "min": "max",
    "max": "min",
    "minimum": "maximum",
    "maximum": "minimum",
    "argmin": "argmax",
    "argmax": "argmin",
}
_WORDY = {"Problem", "Refusal", "Incomplete", "Check", "Beside", "formula", "print", "replace", "round", "range"}
_SYMBOL = re.compile(r"[A-Za-z](_\w+)?$")
"""A name that reads as a symbol of a formula: E, t, N_x."""


@dataclass(frozen=True)
class Mutation:
    """One change of a file: what stands from (line, column) to (last line, column) becomes `new`; columns in bytes."""

    file: str
    line: int
    column: int
    last_line: int
    last_column: int
    old: str
    new: str
    text: str
    """The first line, by which it is found again."""

    @property
    def room(self) -> str:
        inside = self.file.removeprefix("shellbuck/")
        return next(room for room, folders in FOLDERS.items() if inside.startswith(tuple(f"{one}/" for one in folders)))

    @property
    def stands(self) -> bool:
        """Whether the line is still there and the change is not known to be without effect."""
        path = ROOT / self.file
        there = path.exists() and self.text in path.read_text().splitlines()
        return there and (self.file, self.text.strip(), self.new) not in EQUIVALENT

    @property
    def key(self) -> str:
        return f"{self.file}|{self.text.strip()}|{self.column}|{self.old}|{self.new}"

    def __str__(self) -> str:
        old, new = (" ".join(s.split()) for s in (self.old, self.new))
        return f"{self.file}:{self.line}:{self.column}  {old}  ->  {new}"

    def applied(self, source: str) -> str:
        """The source with the change."""
        lines = [line.encode() for line in source.splitlines(keepends=True)]
        here = [i for i, line in enumerate(lines, 1) if line.decode().rstrip("\n") == self.text]
        first = min(here, key=lambda i: abs(i - self.line))
        last = first + self.last_line - self.line
        tail = lines[last - 1][self.last_column :]
        lines[first - 1 : last] = [lines[first - 1][: self.column] + self.new.encode() + tail]
        return b"".join(lines).decode()


class Finder(ast.NodeVisitor):
    """Collects the mutations of one file."""

    def __init__(self, file: str, source: str) -> None:
        self.file, self.source, self.lines = file, source, source.splitlines()
        self.found: list[Mutation] = []
        self.visit(ast.parse(source))

    def text(self, node: ast.AST) -> str:
        return ast.get_source_segment(self.source, node)

    def add(self, start: tuple[int, int], end: tuple[int, int], new: str) -> None:
        lines = [line.encode() for line in self.lines[start[0] - 1 : end[0]]]
        lines[-1] = lines[-1][: end[1]]
        lines[0] = lines[0][start[1] :]
        old = b"\n".join(lines).decode()
        self.found.append(Mutation(self.file, *start, *end, old, new, self.lines[start[0] - 1]))

    def whole(self, node: ast.AST, new: str) -> None:
        self.add((node.lineno, node.col_offset), (node.end_lineno, node.end_col_offset), new)

    def between(self, left: ast.AST, right: ast.AST, old: str, new: str) -> None:
        """Change the operator that stands between two operands."""
        lines, line, column = [s.encode() for s in self.lines], left.end_lineno, left.end_col_offset
        while line <= right.lineno:
            stop = right.col_offset if line == right.lineno else None
            at = lines[line - 1][column:stop].split(b"#")[0].find(old.encode())
            if at >= 0:
                self.add((line, column + at), (line, column + at + len(old)), new)
                return
            line, column = line + 1, 0

    def skip(self, node: ast.AST) -> None:
        """No formula in here."""

    visit_JoinedStr = visit_Raise = visit_Assert = visit_Slice = visit_Subscript = visit_Import = skip  # noqa: N815
    visit_ImportFrom = skip  # noqa: N815

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        for part in (*node.args.defaults, *filter(None, node.args.kw_defaults), *node.body):
            self.visit(part)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self.visit(node.value)

    def visit_Constant(self, node: ast.Constant) -> None:
        if type(node.value) is int:
            self.whole(node, f"{node.value + 1}")
        elif type(node.value) is float:
            self.whole(node, repr(node.value * 1.1) if node.value else "1.0")

    def visit_BinOp(self, node: ast.BinOp) -> None:
        if any(
            isinstance(n, ast.Tuple | ast.List | ast.JoinedStr) or isinstance(getattr(n, "value", 0), str)
            for n in (node.left, node.right)
        ):
            return
        if pair := _OPERATORS.get(type(node.op)):
            self.between(node.left, node.right, *pair)
            self.whole(node, f"({self.text(node.left)})")
            if isinstance(node.op, ast.Add | ast.Mult):
                self.whole(node, f"({self.text(node.right)})")
        self.generic_visit(node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        if isinstance(node.op, ast.USub):
            self.whole(node, f"({self.text(node.operand)})")
        self.generic_visit(node)

    def visit_Compare(self, node: ast.Compare) -> None:
        for left, operator, right in zip((node.left, *node.comparators), node.ops, node.comparators, strict=False):
            if pair := _COMPARISONS.get(type(operator)):
                self.between(left, right, *pair)
        self.generic_visit(node)

    def visit_Call(self, node: ast.Call) -> None:
        name = getattr(node.func, "attr", getattr(node.func, "id", ""))
        if name in _WORDY:
            return
        if name in _EXTREMES:
            end = node.func.end_lineno, node.func.end_col_offset
            self.add((end[0], end[1] - len(name)), end, _EXTREMES[name])
        for argument in (*node.args, *(k.value for k in node.keywords if k.arg)):
            if isinstance(argument, ast.Name) and _SYMBOL.match(argument.id):
                self.whole(argument, f"-{argument.id}")
        self.visit(node.func)
        for argument in node.args:
            self.visit(argument)
        for keyword in node.keywords:
            if keyword.arg not in ("axis", "strict", "dtype", "key", "maxsize"):
                self.visit(keyword.value)


def every_mutation(room: str) -> Iterator[Mutation]:
    """All mutations of a room that may change a result."""
    for path in sorted(path for folder in FOLDERS[room] for path in (ROOT / "shellbuck" / folder).rglob("*.py")):
        file = path.relative_to(ROOT).as_posix()
        for one in Finder(file, path.read_text()).found:
            if (file, one.text.strip(), one.new) not in EQUIVALENT:
                yield one


def drawn(rooms: list[str], count: int, seed: int) -> list[Mutation]:
    """Mutations at random, the same share from every room."""
    random_of = random.Random(seed)
    shares = [count // len(rooms) + (i < count % len(rooms)) for i in range(len(rooms))]
    return [
        one
        for room, share in zip(rooms, shares, strict=True)
        for one in random_of.sample(list(every_mutation(room)), share)
    ]


def changed_lines(revision: str) -> dict[str, set[int]] | None:
    """Numbers of the lines of each file that are not those of a revision; None without a history."""
    command = ["git", "diff", "--unified=0", "--no-color", "--diff-filter=AM", revision, "--", "shellbuck"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        return None
    lines: dict[str, set[int]] = {}
    for line in done.stdout.splitlines():
        if line.startswith("+++ b/"):
            here = lines.setdefault(line.removeprefix("+++ b/"), set())
        elif found := re.match(r"@@ -\S+ \+(\d+)(?:,(\d+))? @@", line):
            first, count = int(found[1]), int(found[2] or 1)
            here.update(range(first, first + count))
    return lines


def drawn_since(revision: str, rooms: list[str], count: int, seed: int) -> list[Mutation]:
    """Mutations at random of what has changed since a revision."""
    lines = changed_lines(revision)
    if lines is None:
        print(f"no history back to {revision}: nothing is tried")
        return []
    every = [one for room in rooms for one in every_mutation(room) if one.line in lines.get(one.file, ())]
    return random.Random(seed).sample(every, min(count, len(every)))


def copied(folder: Path) -> Path:
    """A copy of the package and its tests."""
    for name in ("shellbuck", "tests", "cases", "meshes", "benchmarks"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__", "node_modules"))
    for name in ("pyproject.toml", "README.md", "CHANGELOG.md", "DEVELOPERS.md"):
        shutil.copy(ROOT / name, folder / name)
    return folder


def found(by: str) -> bool:
    """Whether a verdict of `judged` means that a test found the mutation."""
    return not by.startswith((SURVIVED, UNSOUND, UNFINISHED))


def pytest_of(copy: Path, until: float, *tests: str) -> subprocess.CompletedProcess[str]:
    """Tests on a copy, up to the first failure, at most to a time of the clock."""
    environment = os.environ | {
        "PYTHONPATH": str(copy),
        "PYTHONDONTWRITEBYTECODE": "1",
        "OMP_NUM_THREADS": "1",
        "OPENBLAS_NUM_THREADS": "1",
    }
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "--tb=no", *tests]
    longest = max(0.1, min(TIMEOUT, until - time.monotonic()))
    return subprocess.run(
        command, cwd=copy, env=environment, capture_output=True, text=True, timeout=longest, check=False
    )


def first_failure(copy: Path, room: str, until: float) -> str:
    """The first test of a room that fails on a copy, SURVIVED if none does."""
    for stage in STAGES[room]:
        done = pytest_of(copy, until, *(test for test in stage if test.startswith("--") or (copy / test).exists()))
        if done.returncode:
            failed = re.search(r"^(?:FAILED|ERROR) (\S+.*?)(?: - .*)?$", done.stdout, re.MULTILINE)
            return failed[1] if failed else f"pytest {done.returncode}: {done.stdout[-200:] or done.stderr[-200:]}"
    return SURVIVED


def judged(mutation: Mutation, copy: Path, until: float) -> str:
    """What finds a mutation; a test that fails without it too finds nothing."""
    if time.monotonic() > until:
        return UNFINISHED
    path = copy / mutation.file
    original = path.read_text()
    path.write_text(mutation.applied(original))
    try:
        by = first_failure(copy, mutation.room, until)
    except subprocess.TimeoutExpired:
        return UNFINISHED if time.monotonic() > until else "no end"
    finally:
        path.write_text(original)
    if "::" in by and by not in _sound:
        if pytest_of(copy, math.inf, by).returncode:
            return f"{UNSOUND} {by}"
        _sound.add(by)
    return by


def main() -> int:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--count", type=int, default=100)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--workers", type=int, default=1)
    ask.add_argument("--only", choices=STAGES, action="append", metavar="ROOM")
    ask.add_argument("--record", type=Path, default=Path("mutations.json"))
    ask.add_argument("--again", action="store_true", help="repeat what survived in the record")
    ask.add_argument("--since", metavar="REVISION", help="only lines that have changed since; no record")
    ask.add_argument("--budget", type=float, default=math.inf, help="[s]")
    ask.add_argument("--asked", type=float, default=ASKED, help="share of the mutations that must be found")
    ask.add_argument("--list", action="store_true", help="name the mutations and stop")
    given = ask.parse_args()

    until, kept = time.monotonic() + given.budget, given.since is None
    rooms = given.only or list(STAGES)
    record: dict[str, dict] = json.loads(given.record.read_text()) if kept and given.record.exists() else {}
    if given.since is not None:
        tried = drawn_since(given.since, rooms, given.count, given.seed)
    elif given.again:
        survivors = [Mutation(**one["mutation"]) for one in record.values() if not found(one["by"])]
        tried = [one for one in survivors if one.stands]
        record = {key: one for key, one in record.items() if found(one["by"])}
        for one in survivors:
            if not one.stands:
                print(f"{one}    gone or equivalent")
    else:
        tried = drawn(rooms, given.count, given.seed)
    if given.list:
        print(*tried, sep="\n")
        return 0
    if not tried:
        print("no formula to break")
        return 0

    copies: queue.Queue[Path] = queue.Queue()
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(given.workers) as workers:
        for number in range(given.workers):
            copies.put(copied(Path(folder) / str(number)))

        def one_by_one(mutation: Mutation) -> tuple[Mutation, str]:
            if mutation.key in record:
                return mutation, record[mutation.key]["by"]
            copy = copies.get()
            try:
                return mutation, judged(mutation, copy, until)
            finally:
                copies.put(copy)

        killed, left = 0, len(tried)
        for done in as_completed([workers.submit(one_by_one, mutation) for mutation in tried]):
            mutation, by = done.result()
            killed += found(by)
            left -= by == UNFINISHED
            print(f"{mutation}    {by}", flush=True)
            if kept and by != UNFINISHED:
                record[mutation.key] = {"by": by, "mutation": asdict(mutation)}
                given.record.write_text(json.dumps(record, indent=1))
    share = killed / left if left else 1.0
    print(f"{killed} of {left} killed ({100 * share:.1f} %)")
    return 0 if share >= given.asked or (not kept and left < FEWEST) else 1


if __name__ == "__main__":
    sys.exit(main())
