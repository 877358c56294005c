"""Edges by what is held. Some authors number the sets in the opposite sense, so the quantities are stored."""

from __future__ import annotations

from dataclasses import dataclass

from ...core.errors import Problem, Refusal
from ...model.barrel import HELD as EDGE_SETS
from ...model.barrel import holds_fast
from .rings import Springs

NO_SPRINGS = Springs()


@dataclass(frozen=True)
class Edges:
    """What is held at x = 0 (`start`) and x = L (`end`): names of EDGE_SETS, and line springs on what is not held."""

    start: str
    end: str
    start_springs: Springs = NO_SPRINGS
    end_springs: Springs = NO_SPRINGS

    def __post_init__(self) -> None:
        for name in (self.start, self.end):
            if name not in EDGE_SETS:
                raise Refusal(
                    Problem("edge-set-unknown", "no such edge set", "edges", repr(name), ", ".join(EDGE_SETS))
                )
        for place, held, springs in zip(("x = 0", "x = L"), self.held, self.springs, strict=True):
            if twice := held & springs.sprung:
                raise Refusal(
                    Problem(
                        "edges-sprung-and-held",
                        "a quantity is held and has a spring too",
                        f"edges at {place}",
                        ", ".join(sorted(twice)),
                        way_out="leave the spring out, or name an edge set that does not hold it",
                    )
                )
        if not holds_fast(*(held | springs.sprung for held, springs in zip(self.held, self.springs, strict=True))):
            raise Refusal(
                Problem(
                    "edges-free",
                    "these edges leave the barrel a rigid motion",
                    "edges",
                    self.short,
                    "beside a free end, an end that holds u or the slope",
                )
            )

    @property
    def held(self) -> tuple[frozenset[str], frozenset[str]]:
        """Held quantities at the two ends."""
        return EDGE_SETS[self.start], EDGE_SETS[self.end]

    @property
    def springs(self) -> tuple[Springs, Springs]:
        """Springs at the two ends."""
        return self.start_springs, self.end_springs

    @property
    def short(self) -> str:
        """The names alone, "+ springs" where there are some."""
        names = [
            f"{name}{' + springs' if s.sprung else ''}"
            for name, s in zip((self.start, self.end), self.springs, strict=True)
        ]
        return names[0] if names[0] == names[1] else "/".join(names)

    @property
    def words(self) -> str:
        """The edges in words."""

        def said(name: str, springs: Springs) -> str:
            held = [q for q in ("u", "v", "w", "w'") if q in EDGE_SETS[name]]
            text = f"{name} ({', '.join(held) or 'nothing'} held)"
            return f"{text} with {springs.words}" if springs.sprung else text

        first, last = said(self.start, self.start_springs), said(self.end, self.end_springs)
        return f"both ends {first}" if first == last else f"x = 0: {first}; x = L: {last}"
