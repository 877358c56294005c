"""Loads and modes of a case's own edges, solved by Ritz."""

from __future__ import annotations

from ...core.records import Load, LoadCaseResult, ModeShape


def edge_pair(case: LoadCaseResult) -> tuple[Load | None, Load | None] | None:
    """Membrane and nonlinear load of the case's edges; a wall with ribs on one side has the latter alone where the case
    names no edges. None where there is neither."""
    found = [load for load in case.loads if load.name.startswith("edges ")]
    if not found:
        return None
    membrane = next((load for load in found if load.prestress.startswith("membrane")), None)
    return membrane, next((load for load in found if not load.prestress.startswith("membrane")), None)


def edge_shapes(case: LoadCaseResult) -> list[tuple[str, ModeShape]]:
    """Modes of the case's edges with the prebuckling they belong to, membrane first."""
    membrane, bent = edge_pair(case) or (None, None)
    pairs = (("membrane", membrane), ("edge bending", bent))
    return [(words, shape) for words, load in pairs if load is not None for shape in load.shapes]
