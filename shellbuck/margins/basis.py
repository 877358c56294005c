"""What a margin rests on: the identity of the very load, so that every picture draws that mode and no other."""

from __future__ import annotations

from ..core.records import Load, ModeBasis
from .state import State

_PLATE_EDGES = {"field between ribs": "edges on the ribs simply supported", "rib": "root hinged, outer edge free"}


def mode_basis(
    state: State, load: Load, length: float, *, pressure: float = 0.0, limited: str = "", beside: Load | None = None
) -> ModeBasis:
    """Identity of a load that a capacity is made of.

    Parameters
    ----------
    state : State
    load : Load
        As it stands among the loads of the load case. Without waves it is an equation that has no mode.
    length : float
        Of the barrel, or of the bay that it belongs to [m].
    pressure : float
        In the state of the load [Pa]; 0 where no hoop tension is in it.
    limited : str
        What sets the capacity in place of the load; empty where the load does.
    beside : Load or None
        Whose mode is shown for comparison where the load has none.
    """
    kind = "mode" if load.n is not None else "path" if load.path is not None else "equation"
    return ModeBasis(
        kind=kind,
        load_case=state.load.name,
        load=load.name,
        temperature=state.temperature,
        pressure=pressure,
        theory=load.theory,
        edges=load.edges,
        prestress=load.prestress,
        line_load=load.line_load,
        region="barrel" if length == state.L else "bay between rings",
        length=length,
        m=load.m,
        n=load.n,
        limited=limited,
        beside="" if beside is None else beside.name,
        component=load.component,
    )


def column_basis(state: State, line_load: float, limited: str) -> ModeBasis:
    """The barrel as a pinned beam: one half-wave along it, the cross-section keeps its shape and moves sideways."""
    return ModeBasis(
        kind="column",
        load_case=state.load.name,
        load="",
        temperature=state.temperature,
        pressure=0.0,
        theory="Euler column, cross-section rigid, no wall shear",
        edges="both ends pinned",
        prestress="membrane, uniform N_x",
        line_load=line_load,
        region="barrel",
        length=state.L,
        m=1,
        n=1,
        limited=limited,
    )


def plate_basis(state: State, line_load: float, region: str, field: str, limited: str, edges: str = "") -> ModeBasis:
    """A plate formula of a field between ribs, or of a rib: a load without waves of the barrel."""
    return ModeBasis(
        kind="plate",
        load_case=state.load.name,
        load="",
        temperature=state.temperature,
        pressure=0.0,
        theory="plate formula",
        edges=edges or _PLATE_EDGES[region],
        prestress="membrane, uniform N_x",
        line_load=line_load,
        region=region,
        field=field,
        limited=limited,
    )
