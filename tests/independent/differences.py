"""Every margin of a case by the package against the independent arithmetic; run as a script it prints a table.

python tests/independent/differences.py 0 300 [batch [odd [further]]]
(run or batch; odd, stout or usual proportions; with torque, shear force and external pressure)
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass

import designs
import edge_bending
import further_loads
import numpy as np
import smeared

import shellbuck as sb
from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.margins import evaluate

TOLERANCE = 1e-9
"""Relative to 1 + |margin|. Both sides use doubles outside the closed form, whose loads agree to some 1e-13 (own loads
are polished at 40 digits); a root of the yield condition close to a double root may lose some four digits more."""

SERIES = "general instability", "panel between rings"


@dataclass
class Found:
    """What the package says of a row; `net` is False where the door has none."""

    margin: float | None
    status: str
    net: float | bool | None = False
    basis: object = None


@dataclass
class Difference:
    kind: str
    row: str
    what: str
    where: str
    own: object
    found: object

    def __str__(self):
        return f"{self.kind:10s} {self.row:28s} {self.what:8s} {self.where:18s} own {self.own}, found {self.found}"


def run_rows(case):
    """[{mode: Found} of every load case], the mass, and the nonlinear prebuckled Load of each, by `run`."""
    result = sb.run(case)
    rows = [{r.mode: Found(r.margin, r.status, r.net_margin, r.basis) for r in c.margins} for c in result.load_cases]
    prebuckled = [next((x for x in c.loads if "nonlinear" in x.name), None) for c in result.load_cases]
    return rows, result.wall.mass, prebuckled


def batch_rows(case):
    """The same by the chain of arrays, for an array of one."""
    found = evaluate(case, {"barrel.length": np.array([case.barrel.length])})
    if found.reasons[0] and np.isnan(found.margins).all():
        raise Refusal(())
    rows = []
    for i, name in enumerate(found.load_cases):
        values = [None if np.isnan(x) else float(x) for x in found.margins[0, i]]
        rows.append(
            {mode: Found(value, found.status(0, name, mode)) for mode, value in zip(found.modes, values, strict=True)}
        )
    return rows, None, [None] * len(rows)


FLOW_TOLERANCE = 1e-4
"""With torque or shear force on a stiffened wall: the package states its sine series to 1e-4, the own one stands still
to 1e-11."""


def _far(x, y, tolerance=TOLERANCE):
    return abs(x - y) > tolerance * (1 + abs(x))


def _differs(mine, row, tolerance=TOLERANCE):
    """(what, own, found) or None for one row of both sides."""
    if mine is None:
        return None if row.margin is None else ("no row", None, row.margin)
    if row is None:
        return "no row", mine.margin, None
    if (mine.margin is None) != (row.margin is None):
        return "status", (mine.status, mine.margin), (row.status, row.margin)
    if mine.margin is None:
        return None if mine.status == row.status else ("status", mine.status, row.status)
    if _far(mine.margin, row.margin, tolerance):
        return "margin", float(mine.margin), row.margin
    if row.net is False:
        return None
    if (mine.net is None) != (row.net is None) or (mine.net is not None and _far(mine.net, row.net, tolerance)):
        return "net", mine.net, row.net
    return None


def not_that_mode(case, load, mode, basis):
    """Whether the mode that a row names has not the load that it names, by the own closed form."""
    if basis is None or basis.kind != "mode" or basis.m is None:
        return None
    barrel = designs.barrel_of(case, load)
    bay = mode == "panel between rings"
    stiff = smeared.stiffness(barrel, barrel.t, leave_out=("rings",) if bay else ())
    length = barrel.rings.spacing if bay else barrel.L
    hoop = basis.pressure * barrel.R
    if basis.component == "external pressure":
        own = further_loads.pressure_of_mode(stiff, barrel.R, length, basis.m, basis.n, barrel.closed) * barrel.R
    else:
        own = smeared.one_mode(stiff, barrel.R, length, basis.m, basis.n, hoop, basis.theory == "Sanders")
    return (own, basis.line_load) if _far(own / basis.line_load, 1.0) else None


def lost_elsewhere(case, load, found):
    """What is wrong with a nonlinear prebuckled load by the own engine: stable just below it, lost just above.

    Open ends try both pressures, and the lower load counts: stable at both, lost at one. A path that ends before
    anything is lost credits the load at its end: no more is known.
    """
    barrel, at = designs.barrel_of(case, load), designs.load_of(load)
    stiff = smeared.stiffness(barrel, barrel.t)
    N, n, near = found.line_load, found.n, 3e-5  # the splines resolve to some 1e-6
    wrong, met = [], False
    for p in sorted({at.p_min, at.p_min if barrel.closed else at.p_max}):
        engine = edge_bending.Barrel(stiff, barrel.R, barrel.L, p, designs.load_height(case, stiff), sanders=True)
        others = {2, 3, n // 2, n - 2, n - 1, n + 1, n + 2, 2 * n} if n else range(2, 30)
        wrong += [k for k in others if k > 1 and not engine.stable(k, N * 0.9999)]
        wrong += [] if not n or engine.stable(n, N * (1 - near)) else [n]
        met = met or not n or not engine.stable(n, N * (1 + near))
    return wrong if met else [*wrong, "not lost above"]


def differences(case, rows, mass, prebuckled, name="", kind=""):
    """Differences of every row of every load case, of the mass and of the nonlinear prebuckled load."""
    found = []
    kind = kind or case.wall.kind
    for load, theirs, state in zip(case.load_cases, rows, prebuckled, strict=True):
        most = np.inf
        if state is not None:
            most = state.line_load
            if wrong := lost_elsewhere(case, load, state):
                found.append(Difference(kind, "nonlinear prebuckled", "load", f"{name} {load.name}", wrong, most))
        own_rows = designs.margins_of(case, load, most)
        for mode in sorted(set(own_rows) | set(theirs)):
            if mode in theirs and (wrong := not_that_mode(case, load, mode, theirs[mode].basis)):
                found.append(Difference(kind, mode, "basis", f"{name} {load.name}", *wrong))
            tolerance = FLOW_TOLERANCE if mode in SERIES and (load.torque or load.shear_force) else TOLERANCE
            refused = mode in theirs and theirs[mode].status == "refused"
            if refused and tolerance == FLOW_TOLERANCE:
                continue  # very short bays: the package does not search beyond 768 waves around, and says so
            if wrong := _differs(own_rows.get(mode), theirs.get(mode), tolerance):
                found.append(Difference(kind, mode, wrong[0], f"{name} {load.name}", *wrong[1:]))
    if mass is not None:
        own_mass = designs.own.mass(designs.barrel_of(case, case.load_cases[0]))
        if _far(own_mass / mass, 1.0):
            found.append(Difference(kind, "mass", "mass", name, own_mass, mass))
    return found


def main(first, last, door="run", odd="", further=""):
    seen, counts = [], Counter()
    for seed in range(first, last):
        try:
            case = designs.random_case(seed, odd == "odd", odd == "stout")
            if further:
                case = designs.with_further_loads(case, seed)
        except Refusal:
            continue
        kind = designs.KINDS[seed % len(designs.KINDS)]
        try:
            found = (run_rows if door == "run" else batch_rows)(case)
        except (Refusal, Incomplete) as error:
            print(seed, kind, type(error).__name__, str(error)[:160])
            continue
        counts[kind] += sum(map(len, found[0]))
        seen += differences(case, *found, f"seed {seed}", kind)
    table = Counter((d.kind, d.row, d.what) for d in seen)
    for key in sorted(table):
        print(*key, table[key])
        for d in [x for x in seen if (x.kind, x.row, x.what) == key][:3]:
            print("      ", d)
    print(dict(counts), "rows;", len(seen), "differences")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), *sys.argv[3:])
