"""The explain command: a term or message, a list, or the reference pages as files."""

from __future__ import annotations

import difflib
from pathlib import Path

import click

from ..core.catalogue import EDGE_SETS, MESSAGES
from ..core.errors import Refusal
from ..core.sources import SOURCES
from ..handbook import FORMULAS
from .commands import FORCE, user_command
from .output import printable, refuse_existing, write_text
from .reference import PAGES, edge_lines, formula_lines, metal_lines, mode_lines, mode_names, page_text, screen_lines
from .symbols import meant, symbol_lines, symbols


@user_command(
    "explain",
    f"""NAME is a failure mode, edge set, message, formula, symbol, source, metal or factor set, or one of the pages
    {", ".join(PAGES)}. Without a name everything is listed. --to writes all pages as files (Markdown).
    """,
)
@click.argument("name", nargs=-1)
@click.option("--to", "target", type=click.Path(), help="Folder for the reference pages.")
@FORCE
def command(name: tuple[str, ...], target: str | None, force: bool) -> None:
    """List, explain one name, or write the pages."""
    if target is not None:
        _write_pages(Path(target), force)
    elif name:
        click.echo(explanation(" ".join(name)))
    else:
        click.echo(_everything())


def _write_pages(folder: Path, force: bool) -> None:
    """Write every page and an index."""

    index = [f"- [{page.title}]({name}.md): {page.purpose}" for name, page in PAGES.items()]
    texts = {"README.md": "\n".join(["# Reference\n", *index, ""])}
    texts |= {f"{name}.md": page_text(page) for name, page in PAGES.items()}
    for name in texts:
        refuse_existing(str(folder / name), force)
    from ..io.store.tables import make_folder

    make_folder(folder)
    for name, text in texts.items():
        write_text(folder / name, text)
    click.echo(f"pages: {printable(str(folder / 'README.md'))} and {len(PAGES)} more")


def _everything() -> str:
    """Every name that can be explained."""
    from ..io.language.library import material_names
    from ..margins.modes import MODES
    from ..margins.screens import SCREENS

    known = {
        "pages": PAGES,
        "failure modes": sorted(set().union(*map(mode_names, MODES))),
        "second opinions and screens": sorted(screen.key for screen in SCREENS),
        "edge sets": EDGE_SETS,
        "metals": material_names(),
        "messages": sorted(MESSAGES),
        "formulas": sorted(FORMULAS),
        "symbols of the formulas": sorted(symbols(), key=str.lower),
        "sources": sorted(SOURCES),
    }
    return "\n\n".join(f"{what}: {', '.join(names)}" for what, names in known.items())


def explanation(name: str) -> str:
    """What a name means.

    Raises
    ------
    Refusal
        When it means nothing here, with the nearest names.
    """
    key = "-".join(name.strip("[]").lower().replace("(n = 1)", "").split())
    if key in PAGES:
        return page_text(PAGES[key])
    if key.upper() in EDGE_SETS:
        return "\n".join(edge_lines(key.upper()))
    if key in MESSAGES:
        return f"{key}\n  {MESSAGES[key]}"
    if key in FORMULAS:
        return "\n".join(formula_lines(key, FORMULAS[key]))
    if key in SOURCES:
        return f"{SOURCES[key].text}\nStanding: {SOURCES[key].standing}."
    if some := meant(name.strip()):
        return "\n".join("\n".join(symbol_lines(symbol)) for symbol in some)
    from ..io.language.library import material_names
    from ..margins.modes import MODES
    from ..margins.screens import SCREENS

    screens = {screen.key: screen for screen in SCREENS}
    if key in screens:
        return "\n".join(screen_lines(screens[key]))
    row = key.rsplit(",-", 1)[-1]  # "skin, ultimate" and its like, as the rows of the table have it
    modes = {name: mode for mode in reversed(MODES) for name in mode_names(mode)}
    if found := [mode for mode in MODES if row in mode_names(mode)]:
        return "\n\n".join("\n".join(mode_lines(mode)) for mode in found)
    metals = {n.lower().replace(" ", "-"): n for n in material_names()}
    if key in metals:
        return "\n".join(metal_lines(metals[key]))
    known = [
        *PAGES,
        *modes,
        *screens,
        *(edges.lower() for edges in EDGE_SETS),
        *MESSAGES,
        *FORMULAS,
        *SOURCES,
        *metals,
        *symbols(),
    ]
    near = difflib.get_close_matches(key, known, 3, 0.4)
    near = [metals.get(n, n.upper() if n.upper() in EDGE_SETS else n) for n in near]
    way_out = f"did you mean {', '.join(near)}?" if near else "shellbuck explain lists every name"
    raise Refusal.of("unknown-code", "nothing of this name can be explained", "", name[:60], "", way_out)
