"""The commands of practice and progress with their options; each loads its rooms only when it runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from approx.cli.options import ChildFile, Csv, Emerging, Json, PageLanguage, Rules, Seed, WordsLanguage

Several = list[str] | None


def words(
    context: typer.Context,
    child: ChildFile = None,
    count: Annotated[int, typer.Option(min=1, max=500, help="How many words of each kind.")] = 12,
    set_size: Annotated[int, typer.Option("--set", min=0, max=40, help="Choose so many together, as one set.")] = 0,
    seed: Seed = 1,
    known: Annotated[
        float | None,
        typer.Option(min=0, max=1, help="Share of a set with nothing new in its words; a third without it."),
    ] = None,
    new: Annotated[int, typer.Option(min=0, max=9, help="How many new things a word may ask.")] = 1,
    order: Annotated[str, typer.Option(help="early or harder: which sounds first.")] = "",
    category: Annotated[Several, typer.Option(help="Only this everyday category; repeatable.")] = None,
    pos: Annotated[Several, typer.Option(help="Only this part of speech; repeatable.")] = None,
    shape: Annotated[Several, typer.Option(help="Only this shape (CVC, CV.CV); repeatable.")] = None,
    sound: Annotated[Several, typer.Option(help="Only words with this sound; repeatable.")] = None,
    new_sound: Annotated[Several, typer.Option(help="Only words whose new thing is this sound; repeatable.")] = None,
    exclude: Annotated[Several, typer.Option(help="A word, or a file of words, to leave out; repeatable.")] = None,
    goal: Annotated[Several, typer.Option(help="A sound, cluster or shape that is worked on; repeatable.")] = None,
    own: Annotated[str, typer.Option(help="Your own words as well: a word a line, or a table.")] = "",
    picturable: Annotated[bool, typer.Option("--picturable", help="Only what a picture can show.")] = False,
    contrast: Annotated[bool, typer.Option("--contrast", help="Pairs that this child makes alike.")] = False,
    language: WordsLanguage = "",
    emerging: Emerging = False,
    as_json: Json = False,
    as_csv: Csv = False,
    rules: Rules = None,
) -> None:
    """Words for this child with --child; `approx words say` for how a word is read."""
    if context.invoked_subcommand is not None:
        return
    from approx.cli.words_command import Request, run

    request = Request(
        child, count, set_size, seed, known, new, order, category or (), pos or (), shape or (), sound or (), new_sound or (),
        exclude or (), goal or (), own, picturable, contrast, language, emerging, as_json, as_csv, rules,
    )  # fmt: skip
    raise typer.Exit(run(request))


def phrases(
    child: ChildFile = None,
    words: Annotated[str | None, typer.Option(help="A scene: a file of words, or words with commas between.")] = None,
    frames: Annotated[bool, typer.Option("--frames", help="Frames with one open slot.")] = False,
    relation: Annotated[str, typer.Option(help="Only this kind of phrase, such as 'agent action object'.")] = "",
    grammar: Annotated[str, typer.Option(help='Grammar steps of a phrase: "dig mud".')] = "",
    order: Annotated[str, typer.Option(help="Order of the grammar steps.")] = "",
    count: Annotated[int, typer.Option(min=0, max=200, help="How many; 0: as many as fit the kind.")] = 0,
    seed: Seed = 0,
    length: Annotated[int, typer.Option(min=0, max=3, help="2 or 3 words; 0: both.")] = 0,
    language: WordsLanguage = "",
    emerging: Emerging = False,
    as_json: Json = False,
    as_csv: Csv = False,
    rules: Rules = None,
) -> None:
    """Phrases and frames this child can say today, with the full sentence beside; grammar one step at a time."""
    from approx.cli.phrases_command import Command, run

    command = Command(
        child, words, frames, relation, grammar, order, count, seed, length, language, emerging, as_json, as_csv, rules
    )
    raise typer.Exit(run(command))


def sheet(
    page: Annotated[str, typer.Argument(help="session, group, family, cards, match, listen or plan")],
    child: Annotated[
        list[Path] | None, typer.Option("--child", "-c", help="The child's file; several for group.")
    ] = None,
    words: Annotated[Several, typer.Option(help="A file of words, or words with commas between.")] = None,
    phrases: Annotated[str | None, typer.Option(help="A file of phrases, one a line.")] = None,
    minutes: Annotated[int | None, typer.Option(help="Minutes of the session.")] = None,
    goal_trials: Annotated[int | None, typer.Option(help="Trials aimed at.")] = None,
    order: Annotated[str, typer.Option(help="blocked, mixed or random.")] = "blocked",
    seed: Seed = 1,
    probe: Annotated[str | None, typer.Option(help="Words to probe without help.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    language: PageLanguage = "",
    date: Annotated[str, typer.Option(help="Date on the page.")] = "",
    next_date: Annotated[str, typer.Option(help="Date of the next session.")] = "",
    number: Annotated[str, typer.Option(help="Number of the session.")] = "",
    html: Annotated[Path | None, typer.Option(help="Write HTML here; without any file it goes to stdout.")] = None,
    pdf: Annotated[Path | None, typer.Option(help="Write a PDF here.")] = None,
    docx: Annotated[Path | None, typer.Option(help="Write a document to edit here (family, plan).")] = None,
    force: Annotated[bool, typer.Option("--force", help="Write over an existing file.")] = False,
    emerging: Emerging = False,
    example: Annotated[bool, typer.Option("--example", help="Mark the page as an invented example.")] = False,
    rules: Rules = None,
    as_json: Json = False,
) -> None:
    """A page to print: for the session, a group, the family; cards, matching strips, listening, the plan."""
    from approx.cli.sheet_command import Request, run

    request = Request(
        page, tuple(child or ()), tuple(words or ()), phrases, minutes, goal_trials, order, seed, probe, paper, language,
        date, next_date, number, html, pdf, docx, force, emerging, example, rules, as_json,
    )  # fmt: skip
    raise typer.Exit(run(request))


def progress(
    file: Annotated[str, typer.Argument(help='Probes (CSV, TSV, XLSX); "-" is stdin.')],
    child: Annotated[str, typer.Option("--child", "-c", help="Only this child's code.")] = "",
    measure: Annotated[Several, typer.Option(help="Only this set or measure; repeatable.")] = None,
    treated: Annotated[Several, typer.Option(help="When work on a set began: set=session or set=phase.")] = None,
    percent: Annotated[float | None, typer.Option(help="Criterion for moving up: percent right.")] = None,
    sessions: Annotated[int | None, typer.Option(help="In so many sessions one after the other.")] = None,
    as_json: Json = False,
    as_csv: Csv = False,
    page: Annotated[Path | None, typer.Option(help="Write a printable page as well.")] = None,
    svg: Annotated[Path | None, typer.Option(help="Write the chart as well.")] = None,
    language: PageLanguage = "en",
) -> None:
    """Probes over time: phases, medians, overlap figures, whether a stated criterion is met."""
    from approx.cli.progress_command import run

    raise typer.Exit(
        run(file, child, measure or [], treated or [], percent, sessions, as_json, as_csv, page, svg, language)
    )


def report(
    then: Annotated[str, typer.Argument(help="The earlier sample.")],
    now: Annotated[str, typer.Argument(help="The later one; may be the same file with two dates.")],
    child: Annotated[str, typer.Option("--child", "-c", help="The child's code, if there are several.")] = "",
    accent: Annotated[Several, typer.Option(help="A variety of rules/accents/ that is right; repeatable.")] = None,
    as_json: Json = False,
    page: Annotated[Path | None, typer.Option(help="Write a page (.html) or a document (.docx) as well.")] = None,
    language: PageLanguage = "en",
    sample_language: Annotated[str, typer.Option(help="Language of rows without one of their own.")] = "en-US",
) -> None:
    """Now against then, under the same rules: measures with n and intervals, processes, in counts."""
    from approx.cli.report_command import run

    raise typer.Exit(run(then, now, child, accent or [], as_json, page, language, sample_language))


def desk(
    file: Annotated[Path | None, typer.Option(help="The caseload; without it, the usual place.")] = None,
    port: Annotated[int, typer.Option(help="Port on this computer; 0: a free one.")] = 0,
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Do not open the browser.")] = False,
    language: PageLanguage = "en",
    export: Annotated[
        Path | None, typer.Option(help="Write the whole caseload into this zip, and open no page.")
    ] = None,
    take: Annotated[
        Path | None, typer.Option("--import", help="Take in the children of such a zip, and open no page.")
    ] = None,
) -> None:
    """The local pages: caseload, children, phrases, sessions. Only this computer can reach them."""
    from approx.cli.desk_command import give_out, run, take_in

    if export is not None and take is not None:
        raise typer.BadParameter("--export and --import are two things: one at a time")
    if export is not None:
        raise typer.Exit(give_out(file, export))
    if take is not None:
        raise typer.Exit(take_in(file, take))
    raise typer.Exit(run(file, port, not no_browser, language))


def add_to(app: typer.Typer) -> None:
    """Put these commands into the program."""
    for command in (phrases, sheet, progress, report, desk):
        app.command(command.__name__)(command)
