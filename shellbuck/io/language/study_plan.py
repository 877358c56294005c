"""What a study is: a base case, what is varied and how, which results become columns."""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import asdict, dataclass, field
from typing import Any, Literal

from ...model import Case
from ..results import plain, used_values
from .case_file import CaseFile
from .keys import Place

METHODS: tuple[str, ...] = ("grid", "latin hypercube", "sobol", "random", "list", "table", "sensitivity")
ARRAYS, ONE_BY_ONE = "arrays", "one by one"
SAMPLED = ("latin hypercube", "sobol", "random", "sensitivity")
"""Methods that draw `count` points out of spreads; the others list their values."""


STUDY, CASE, TABLE, MAP = "study.toml", "case.toml", "points.csv", "map.json"
"""Names under which a folder keeps what its study came from."""


@dataclass(frozen=True)
class Spread:
    """How a sampled input scatters, in SI: evenly between `low` and `high` (over their logarithms where `log`), or
    normally about `mean` with standard `deviation` (its logarithm, where `log`), cut off at `low` and `high`."""

    low: float
    high: float
    mean: float | None = None
    deviation: float | None = None
    log: bool = False

    @property
    def normal(self) -> bool:
        return self.mean is not None


@dataclass(frozen=True)
class Follow:
    """Places that go with a varied value v: they become `times` v plus `more` (SI)."""

    key: str
    places: tuple[Place, ...]
    times: float = 1.0
    more: float = 0.0


@dataclass(frozen=True)
class Variation:
    """One varied input: its places, the values it takes or the spread it is drawn from.

    `factor` true: the values multiply what the base case has at every place.
    """

    key: str
    places: tuple[Place, ...]
    values: tuple[Any, ...] = ()
    spread: Spread | None = None
    factor: bool = False
    follow: tuple[Follow, ...] = ()
    name: str = ""

    @property
    def title(self) -> str:
        """What it is called on the table and the page: its name, else its key."""
        return self.name or (f"factor on {self.key}" if self.factor else self.key)

    @property
    def unit(self) -> str:
        return "" if self.factor else self.places[0].unit

    @property
    def numeric(self) -> bool:
        """Whether its values are numbers."""
        return self.factor or self.places[0].kind in ("quantity", "whole")

    @property
    def header(self) -> str:
        """Column heading with its unit."""
        return f"{self.title} [{self.unit or '-'}]" if self.numeric else self.title

    def changes(self, value: Any) -> dict[tuple, Any]:
        """Path -> value in SI for one value of this variation."""
        found = {}
        for place in self.places:
            found[place.path] = place.base * value if self.factor else value
        for follow in self.follow:
            for place in follow.places:
                moved = follow.times * value + follow.more
                found[place.path] = round(moved) if place.kind == "whole" else moved
        return found


@dataclass(frozen=True, eq=False)
class StudyPlan:
    """A study, read and checked: everything that decides its table.

    Parameters
    ----------
    base : CaseFile
        The case that is varied.
    vary : tuple of Variation
    method : str
        One of `METHODS`.
    outputs : tuple of str
        Names of the columns, see `shellbuck.study.outputs`.
    count : int
        Points that a sampled method draws (base points N for "sensitivity": N (d + 2) are worked out).
    seed : int
    chunk : int
        Points that are saved together: what a stopped run may lose at most; 0 leaves it to the engine.
    engine : str
        `ARRAYS` computes many points together, `ONE_BY_ONE` assesses each; empty takes arrays where they give every
        column.
    form : {"csv", "parquet"}
    texts : mapping
        Name -> text of the files the study came from, kept beside the table.
    """

    base: CaseFile
    vary: tuple[Variation, ...]
    method: str = "grid"
    outputs: tuple[str, ...] = ()
    title: str = ""
    count: int = 0
    seed: int = 1
    chunk: int = 0
    engine: str = ""
    form: Literal["csv", "parquet"] = "csv"
    texts: dict[str, str] = field(default_factory=dict)

    @property
    def case(self) -> Case:
        return self.base.case

    def inputs(self) -> dict[str, Any]:
        """Everything that decides the table, as plain data."""
        return plain_data(
            {
                "case": used_values(self.case),
                "vary": [
                    {
                        "key": v.key,
                        "name": v.name,
                        "places": [list(p.path) for p in v.places],
                        "values": list(v.values),
                        "spread": None if v.spread is None else asdict(v.spread),
                        "factor": v.factor,
                        "follow": [
                            {"key": f.key, "places": [list(p.path) for p in f.places], "times": f.times, "more": f.more}
                            for f in v.follow
                        ],
                    }
                    for v in self.vary
                ],
                "method": self.method,
                "outputs": list(self.outputs),
                "count": self.count,
                "seed": self.seed,
                "chunk": self.chunk,
                "engine": self.engine,
                "form": self.form,
            }
        )

    def digest(self) -> str:
        """SHA-256 of `inputs`."""
        return digest_of(self.inputs())


def digest_of(inputs: dict[str, Any]) -> str:
    """SHA-256 of the plain data of a plan."""
    return hashlib.sha256(json.dumps(inputs, sort_keys=True).encode()).hexdigest()


def plain_data(value: dict[str, Any]) -> dict[str, Any]:
    """JSON-ready data; infinite bounds as words."""

    def finite(x: Any) -> Any:
        if isinstance(x, dict):
            return {str(k): finite(v) for k, v in x.items()}
        if isinstance(x, list | tuple):
            return [finite(v) for v in x]
        return str(x) if isinstance(x, float) and not math.isfinite(x) else x

    out = plain(finite(value))
    out.pop("not_finite")
    return out
