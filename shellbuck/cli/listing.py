"""Lists: metals, factors, messages, formulas."""

from __future__ import annotations

import difflib
import inspect

import click

from ..core.catalogue import EDGE_SETS, FAILURE_MODES, MESSAGES
from ..core.errors import Refusal
from ..core.sources import SOURCES
from ..model import FACTOR_SETS, MaterialPoint
from ..model.barrel import HELD


def list_materials() -> None:
    """One line a metal."""
    from ..io import material, material_names

    click.echo("Typical values, NOT design allowables. E, yield and ultimate at 294 K.\n")
    click.echo(f"{'name':16} {'E GPa':>7} {'nu':>5} {'kg/m3':>7} {'yield':>6} {'ultimate':>9}  data at")
    for name in material_names():
        metal = material(name)
        point = metal.at(None)
        span = ", ".join(f"{p.temperature:g}" for p in metal.points) + " K"
        click.echo(
            f"{name:16} {point.youngs_modulus / 1e9:7.1f} {metal.poissons_ratio:5.2f} {metal.density:7.0f} "
            f"{point.tension_yield / 1e6:6.0f} {point.ultimate / 1e6:9.0f}  {span}"
        )


def show_material(name: str) -> None:
    """One metal with the standing of every value."""
    from ..io import material

    metal = material(name)
    click.echo(f"{metal.name}: {metal.source}\ntypical values, NOT design allowables")
    click.echo(f"density {metal.density:g} kg/m3, Poisson's ratio {metal.poissons_ratio:g}")
    for p in metal.points:
        click.echo(
            f"  {p.temperature:5g} K: E {p.youngs_modulus / 1e9:g} GPa (compression {p.compressive_modulus / 1e9:g}), "
            f"yield {p.tension_yield / 1e6:g} MPa (compression {_compressive(p)}), "
            f"ultimate {p.ultimate / 1e6:g} MPa"
        )
    click.echo("standing of the values:")
    for key, standing in metal.standings:
        click.echo(f"  {key}: {standing}")


def _compressive(point: MaterialPoint) -> str:
    chosen = point.compression_yield
    return chosen if isinstance(chosen, str) else f"{chosen / 1e6:g}"


def list_factors() -> None:
    """The named sets of factors."""
    for name, factors in FACTOR_SETS.items():
        click.echo(f'"{name}": ultimate {factors.ultimate_factor:g} (buckling too), yield {factors.yield_factor:g}')
        click.echo(f"    {factors.source}")
    click.echo('own factors: factors = { ultimate_factor = 1.4, yield_factor = 1.1, source = "..." }')


def explain_all() -> None:
    """Every message, formula and symbol by name."""
    from ..handbook import FORMULAS
    from .symbols import symbols

    click.echo("failure modes: " + ", ".join(FAILURE_MODES))
    click.echo("\nedge sets: " + ", ".join(EDGE_SETS))
    click.echo("\nmessages: " + ", ".join(sorted(MESSAGES)))
    click.echo("\nformulas: " + ", ".join(sorted(FORMULAS)))
    click.echo("\nsymbols of the formulas: " + ", ".join(sorted(symbols(), key=str.lower)))
    click.echo("\nsources: " + ", ".join(sorted(SOURCES)))


_MOTIONS = {"u": "u (along the axis)", "v": "v (around)", "w": "w (radial)", "w'": "w' (the slope, a rotation)"}


def _explain_edges(name: str) -> None:
    held = [words for key, words in _MOTIONS.items() if key in HELD[name]]
    free = [words for key, words in _MOTIONS.items() if key not in HELD[name]]
    click.echo(f"{name}: an edge set, given as edges in [barrel] or by --held")
    click.echo(f"  holds {', '.join(held) or 'nothing'}; leaves {', '.join(free) or 'nothing'} free")
    click.echo(f"  {EDGE_SETS[name]}")
    click.echo("  Some authors number the sets in another order: compare what is held.")


def explain_one(name: str) -> None:
    """A failure mode, an edge set, a message, a formula, a source or a symbol."""
    from ..handbook import FORMULAS
    from .symbols import meant, symbol_lines, symbols

    key = "-".join(name.strip("[]").lower().replace("(n = 1)", "").split())
    mode = key.rsplit(",-", 1)[-1]  # "skin, ultimate" and its like, as the rows of the table have it
    if mode in FAILURE_MODES:
        key = mode
    if key in FAILURE_MODES:
        click.echo(f"{key}\n  {FAILURE_MODES[key]}")
    elif key.upper() in EDGE_SETS:
        _explain_edges(key.upper())
    elif key in MESSAGES:
        click.echo(f"{key}\n  {MESSAGES[key]}")
    elif key in FORMULAS:
        entry = FORMULAS[key]
        source = SOURCES[entry.source]
        click.echo(f"{key}: {entry.symbol}" + (f" [{entry.unit}]" if entry.unit else ""))
        click.echo(inspect.cleandoc(entry.function.__doc__))
        body = inspect.getsource(entry.function).rsplit('"""', 1)[1].strip()
        click.echo(f"\nFormula\n-------\n{body.replace('return ', entry.symbol + ' = ')}")
        click.echo(f"\nSource: {source.text}" + (f" {entry.place}." if entry.place else ""))
        click.echo(f"Standing: {source.standing}." + (f" Range: {entry.valid}." if entry.valid else ""))
    elif key in SOURCES:
        source = SOURCES[key]
        click.echo(f"{source.text}\nStanding: {source.standing}.")
    elif some := meant(name.strip()):
        for symbol in some:
            click.echo("\n".join(symbol_lines(symbol)))
    else:
        known = [*FAILURE_MODES, *(edges.lower() for edges in EDGE_SETS), *MESSAGES, *FORMULAS, *SOURCES, *symbols()]
        near = [n.upper() if n.upper() in EDGE_SETS else n for n in difflib.get_close_matches(key, known, 3, 0.4)]
        raise Refusal.of(
            "unknown-code",
            "no failure mode, edge set, message, formula, symbol or source of this name",
            "",
            name[:60],
            "",
            f"did you mean {', '.join(near)}?" if near else "shellbuck explain lists them",
        )
