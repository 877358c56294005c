"""Edges by what is held. Some authors number the sets in the opposite sense, so the quantities are stored."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import Problem, Refusal
from ..model.barrel import TILTING

EDGE_SETS: dict[str, frozenset[str]] = {
    "SS1": frozenset({"w"}), "SS2": frozenset({"w", "u"}), "SS3": frozenset({"w", "v"}),
    "SS4": frozenset({"w", "u", "v"}), "C1": frozenset({"w", "w'"}), "C2": frozenset({"w", "w'", "u"}),
    "C3": frozenset({"w", "w'", "v"}), "C4": frozenset({"w", "w'", "u", "v"}), "FREE": frozenset(),
}  # fmt: skip


@dataclass(frozen=True)
class Edges:
    """What is held at x = 0 (`start`) and x = L (`end`): names of EDGE_SETS."""

    start: str
    end: str

    def __post_init__(self) -> None:
        for name in (self.start, self.end):
            if name not in EDGE_SETS:
                raise ValueError(f"no edge set {name!r}; there are {', '.join(EDGE_SETS)}")
        if "FREE" in (self.start, self.end) and {self.start, self.end} <= {"FREE", *TILTING}:
            raise Refusal(Problem(
                "edges-free", "these edges leave the barrel a rigid motion", "edges", self.short,
                "beside a free end, an end that holds u or the slope",
            ))  # fmt: skip

    @property
    def held(self) -> tuple[frozenset[str], frozenset[str]]:
        """Held quantities at the two ends."""
        return EDGE_SETS[self.start], EDGE_SETS[self.end]

    @property
    def short(self) -> str:
        """The names alone."""
        return self.start if self.start == self.end else f"{self.start}/{self.end}"

    @property
    def words(self) -> str:
        """The edges in words."""
        def said(name: str) -> str:
            held = [q for q in ("u", "v", "w", "w'") if q in EDGE_SETS[name]]
            return f"{name} ({', '.join(held) or 'nothing'} held)"

        if self.start == self.end:
            return f"both ends {said(self.start)}"
        return f"x = 0: {said(self.start)}; x = L: {said(self.end)}"
