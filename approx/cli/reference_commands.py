"""The commands that look things up: lists with sources, one thing by name, the rules checked."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from approx.cli import options
from approx.cli.options import argument
from approx.cli.output import finish, is_terminal, one_format, show

if TYPE_CHECKING:
    from approx.reports.text.reference import Part


@click.command("list")
@argument("what", "processes, measures or norms")
@options.as_json
@options.as_csv
def list_command(what: str, as_json: bool, as_csv: bool) -> None:
    """List every process, measure or norm with its source and where it stands."""
    from approx.api.reference import listing

    one_format(as_json, as_csv)
    found = listing(what)
    if found.items and is_terminal() and not as_json and not as_csv:
        from approx.reports.text.reference import listing_parts

        _draw(listing_parts(found.to_dict()))
    else:
        show(found, as_json, as_csv)
    finish(found.problems)


@click.command()
@argument("name", "A process, measure, rule or class, by name or id.")
@options.as_json
def about(name: str, as_json: bool) -> None:
    """What one thing is, its rules, its source and its file."""
    from approx.api.reference import about as ask

    found = ask(name)
    if as_json:
        found.write_json(sys.stdout)
    elif is_terminal():
        from approx.reports.text.reference import lookup_parts

        _draw(lookup_parts(found.to_dict()))
    else:
        show(found)
    finish(found.problems)


@click.command()
@options.rules
@options.as_json
def doctor(rules: Path | None, as_json: bool) -> None:
    """Check every rule, example, source and word list."""
    from approx.api.reference import doctor as check

    found = check(rules)
    show(found, as_json)
    sys.stdout.flush()
    if not as_json:
        for remark in found.remarks:
            print(f"remark: {remark}", file=sys.stderr)
    finish(found.problems)


def _draw(parts: Iterable[Part]) -> None:
    """Lines, and tables whose cells are folded to the width of the terminal."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console()
    for part in parts:
        if isinstance(part, str):
            print(part)
            continue
        table = Table()
        for header in part.headers:
            table.add_column(header, overflow="fold")
        for row in part.rows:
            table.add_row(*map(Text, row))
        console.print(table)
