"""The commands that look things up: lists with sources, one thing by name, the rules checked."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from approx.cli import options
from approx.cli.options import answers, argument, flag
from approx.cli.output import AnswerFormat, draw, finish, is_terminal, show


@click.command("list")
@argument("what", "processes, measures, norms or schemas")
@answers
def list_command(what: options.OptionValue, form: AnswerFormat) -> None:
    """List every process, measure, norm or schema, with its source and file."""
    from approx.api.reference import listing

    found = listing(what)
    if found.items and form.text and is_terminal():
        from approx.reports.text.reference import listing_parts

        draw(listing_parts(found.to_dict()))
    else:
        show(found, form)
    finish(found.problems, form)


@click.command()
@argument("name", "A process, measure, rule or sound class, by name or id.")
@flag("--schema", "NAME is a command: print the JSON Schema of its --json.")
@answers
def about(name: str, schema: bool, form: AnswerFormat) -> None:
    """Explain one process, measure, rule or class: its rules, source and file."""
    if schema:
        from approx.api.schemas import schema as published

        answer = published(name)
        show(answer, form)
        finish(answer.problems, form)
    from approx.api.reference import about as ask

    found = ask(name)
    if form.json and not found.found:
        found.write_json(sys.stdout)
    elif found.found and form.text and is_terminal():
        from approx.reports.text.reference import lookup_parts

        draw(lookup_parts(found.to_dict()))
    else:
        show(found, form)
    finish(found.problems, form)


@click.command()
@options.rules
@answers
def doctor(rules: Path | None, form: AnswerFormat) -> None:
    """Check every rule, example, source and word list."""
    from approx.api.reference import doctor as check

    found = check(rules)
    show(found, form)
    if form.text:
        for remark in found.remarks:
            print(f"remark: {remark}", file=sys.stderr)
    finish(found.problems, form)
