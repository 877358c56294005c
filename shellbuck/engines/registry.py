"""Engines by name; a module loads when its engine is asked for."""

from __future__ import annotations

from importlib import import_module

from .problem import Engine

HOMES = {
    "closed form": "closed_form",
    "Ritz": "ritz",
    "Ritz with edge bending": "ritz",
    "smeared mesh": "fe_barrel",
    "mesh with ribs": "fe_barrel",
}
"""Room of every engine."""


def engine(name: str) -> Engine:
    """The engine of a name.

    Examples
    --------
    >>> engine("closed form").edges
    ('SS3',)
    """
    return import_module(f".{HOMES[name]}.engine", __package__).ENGINES[name]
