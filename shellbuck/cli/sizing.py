"""The commands size and patterns; what they do loads when they run."""

from __future__ import annotations

import click

from .targets import CASE, JSON_OR_SCREEN, PAGE


@click.command()
@click.argument("file", type=click.Path())
@click.option("--pattern", required=True, help="E.g. plain, triangular-grid-inside; see: shellbuck patterns --list.")
@click.option("--material", help="Metal of the file, by the start of its name; the first without it.")
@click.option("--seed", type=click.IntRange(0, 2**31), default=1, show_default=True, help="Of the samples.")
@click.option("--seeds", type=click.IntRange(1, 20), default=3, show_default=True, help="Searches to compare.")
@click.option("--samples", type=click.IntRange(16, 65536), default=512, show_default=True, help="Per search.")
@click.option("--ritz/--no-ritz", default=True, show_default=True, help="Check the ready case by the Ritz engine.")
@click.option("--mesh", "by_mesh", is_flag=True, help="Check the ready case by shell meshes (minutes).")
@click.option("--json", "json_target", type=JSON_OR_SCREEN, help="Write the sizing as JSON; - prints only that.")
@click.option("--case", "case_target", type=CASE, help="Write the ready case (TOML).")
@click.option("--force", is_flag=True, help="Replace whatever stands at the files to write.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of the table (JSON is SI).")
@click.pass_context
def size(context: click.Context, file: str, **asked: object) -> None:
    """Find the lightest wall of a pattern that holds every load case."""
    from .size import Asked, run_size

    context.exit(run_size(file, Asked(**asked)))


@click.command()
@click.argument("file", type=click.Path(), required=False)
@click.option("--pattern", "patterns", multiple=True, help="Compare this one; repeat for several.")
@click.option("--material", "materials", multiple=True, help="Only in this metal of the file; repeat for several.")
@click.option("--list", "only_list", is_flag=True, help="List the patterns and stop.")
@click.option("--seed", type=click.IntRange(0, 2**31), default=1, show_default=True, help="Of the samples.")
@click.option("--seeds", type=click.IntRange(1, 20), default=2, show_default=True, help="Searches to compare.")
@click.option("--samples", type=click.IntRange(16, 65536), default=512, show_default=True, help="Per search.")
@click.option("--ritz/--no-ritz", default=True, show_default=True, help="Check every design by the Ritz engine.")
@click.option("--workers", type=click.IntRange(1, 64), help="Processes; one per core without it.")
@click.option("--page", "page_target", type=PAGE, help="Write the comparison as a page (HTML).")
@click.option("--json", "json_target", type=JSON_OR_SCREEN, help="Write the comparison as JSON; - prints only that.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of table and page (JSON is SI).")
@click.option("--force", is_flag=True, help="Replace whatever stands at the files to write.")
@click.pass_context
def patterns(context: click.Context, file: str | None, only_list: bool, **asked: object) -> None:
    """Compare patterns, each at its own optimum: grid, stringers or thin pressurised sheet?"""
    from .patterns import Asked, list_patterns, run_patterns

    if only_list:
        list_patterns()
        return
    if file is None:
        raise click.UsageError("name a sizing file, or say --list")
    context.exit(run_patterns(file, Asked(**asked)))
