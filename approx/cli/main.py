"""The commands and their options. Each loads its rooms only when it runs, so that `--help` stays quick."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from approx.cli.options import (
    Accent,
    By,
    ChildFile,
    Csv,
    Emerging,
    Json,
    Language,
    Notation,
    PlainValues,
    Rules,
    WordsLanguage,
)
from approx.cli.practice_commands import add_to, words
from approx.problems import WRONG_USE

app = typer.Typer(
    cls=PlainValues,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    rich_markup_mode=None,
    help="What a child can say today for any phrase, why, and the way back up to the adult words.",
)
child_app = typer.Typer(
    cls=PlainValues, no_args_is_help=True, rich_markup_mode=None, help="The file that says what one child can say."
)
words_app = typer.Typer(cls=PlainValues, no_args_is_help=True, rich_markup_mode=None)
app.add_typer(child_app, name="child")
app.add_typer(words_app, name="words")

words_app.callback(invoke_without_command=True)(words)


@app.command()
def suggest(
    phrase: Annotated[str | None, typer.Argument(help='A phrase between quotes; "-" reads it from stdin.')] = None,
    child: ChildFile = None,
    words: Annotated[str | None, typer.Option("--words", help='List: a word a line, or CSV; "-" is stdin.')] = None,
    top: Annotated[int, typer.Option(min=1, max=20, help="How many forms a word.")] = 3,
    language: WordsLanguage = "",
    emerging: Emerging = False,
    short: Annotated[bool, typer.Option("--short", help="Leave out words a telegraphic phrase drops.")] = False,
    as_json: Json = False,
    as_csv: Csv = False,
    notation: Annotated[str, typer.Option(help="How words between slashes are typed: ipa or x-sampa.")] = "ipa",
    rules: Rules = None,
) -> None:
    """What this child can be asked to say today for each word, why, and the ladder back to the adult word."""
    from approx.cli.suggest_command import Request, run

    _end(run(Request(phrase, child, words, top, language, emerging, short, as_json, as_csv, rules, notation)))


@child_app.command("new")
def child_new(
    file: Annotated[Path, typer.Argument(help="File to write; it must not exist yet.")],
    code: Annotated[str, typer.Option(help="A code of your own, never a name.")] = "X01",
    language: Annotated[str, typer.Option(help="Language tag.")] = "en-US",
) -> None:
    """Write a commented child file to fill in."""
    from approx.cli.desk_command import new

    _end(new(file, code, language))


@child_app.command("show")
def child_show(
    file: Annotated[Path, typer.Argument(help="The child's file.")],
    as_json: Json = False,
) -> None:
    """Print what is in hand by place and manner; name every fault of the file."""
    from approx.cli.desk_command import show

    _end(show(file, as_json))


@words_app.command("say")
def words_say(
    word: Annotated[str, typer.Argument(help="The word as spelled.")],
    ipa: Annotated[str, typer.Argument(help="How it is said, in IPA: /ɹid/. Without it: show the readings.")] = "",
    language: Annotated[str, typer.Option(help="Language tag.")] = "en-US",
    as_json: Json = False,
) -> None:
    """Show how a word is read, or remember your own reading of it."""
    from approx.cli.words_command import say

    _end(say(word, ipa, language, as_json))


@app.command("list")
def list_command(
    what: Annotated[str, typer.Argument(help="processes, measures or norms")],
    as_json: Json = False,
) -> None:
    """List every process, measure or norm with its source and where it stands."""
    from approx.cli.reference_commands import list_things

    _end(list_things(what, as_json))


@app.command()
def about(
    name: Annotated[str, typer.Argument(help="A process, measure, rule or class, by name or id.")],
    as_json: Json = False,
) -> None:
    """What one thing is, its rules, its source and its file."""
    from approx.cli.reference_commands import about as show

    _end(show(name, as_json))


@app.command()
def doctor(rules: Rules = None, as_json: Json = False) -> None:
    """Check every rule, example, source and word list."""
    from approx.cli.reference_commands import doctor as check

    _end(check(rules, as_json))


@app.command()
def explain(
    target: Annotated[str, typer.Argument(help="Adult form in IPA.")],
    produced: Annotated[str, typer.Argument(help="What the child said, in IPA.")],
    language: Language = "en-US",
    notation: Notation = "ipa",
    rules: Rules = None,
    as_json: Json = False,
) -> None:
    """The processes that lead from an adult form to what the child said."""
    from approx.cli.pair_commands import explain as run

    _end(run(target, produced, language, notation, rules, as_json))


@app.command()
def align(
    target: Annotated[str, typer.Argument(help="Adult form in IPA.")],
    produced: Annotated[str, typer.Argument(help="What the child said, in IPA.")],
    language: Language = "en-US",
    notation: Notation = "ipa",
    as_json: Json = False,
) -> None:
    """Which sound of a production stands for which sound of its target."""
    from approx.cli.pair_commands import align as run

    _end(run(target, produced, language, notation, as_json))


@app.command()
def processes(
    file: Annotated[str, typer.Argument(help='A sample (CSV, TSV, XLSX); "-" is stdin.')],
    language: Language = "en-US",
    by: By = "child,session_date",
    tokens: Annotated[bool, typer.Option("--tokens", help="One line a token.")] = False,
    lost_sounds: Annotated[str, typer.Option(help="Sounds left off as chances: count or drop.")] = "count",
    weak_syllables: Annotated[str, typer.Option(help='all, or "pretonic and medial".')] = "all",
    least_chances: Annotated[int, typer.Option(min=1, help="Fewer: not enough chances.")] = 4,
    active_percent: Annotated[float, typer.Option(min=0, max=100, help="Active from this percentage.")] = 20.0,
    frequent_percent: Annotated[float, typer.Option(min=0, max=100, help="Frequent from this percentage.")] = 40.0,
    criterion: Annotated[str, typer.Option(help="Active by percent or by instances.")] = "percent",
    instances: Annotated[int, typer.Option(min=1, help="So many, for --criterion instances.")] = 5,
    accent: Accent = None,
    rules: Rules = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """What changes in a sample, on how many chances, in which words."""
    from approx.cli.processes_command import processes as run
    from approx.processes.explain.opportunities import OpportunityOptions

    allowed = {"count", "drop"}, {"all", "pretonic and medial"}, {"percent", "instances"}
    if any(given not in words for given, words in zip((lost_sounds, weak_syllables, criterion), allowed)):
        print(
            "--lost-sounds: count or drop; --weak-syllables: all or 'pretonic and medial'; --criterion: percent or instances",
            file=sys.stderr,
        )
        _end(WRONG_USE)
    options = OpportunityOptions(
        lost_sounds, weak_syllables, least_chances, active_percent, frequent_percent, criterion, instances
    )
    _end(run(file, language, by, options, rules, tokens, as_json, accent or [], as_csv))


@app.command()
def score(
    file: Annotated[str, typer.Argument(help='A sample (CSV, TSV, XLSX); "-" is stdin.')],
    language: Language = "en-US",
    by: By = "child,session_date",
    accent: Accent = None,
    settings: Annotated[
        list[str] | None, typer.Option("--set", help="A measure option: name=value; may be repeated.")
    ] = None,
    as_json: Json = False,
    as_csv: Csv = False,
    xlsx: Annotated[Path | None, typer.Option(help="Write scores and sample to a workbook as well.")] = None,
    page: Annotated[Path | None, typer.Option(help="Write one printable HTML page as well.")] = None,
) -> None:
    """Every measure per child and session: n, interval, signature, what was left out and why."""
    from approx.cli.sample_commands import score as run

    _end(run(file, language, by, settings or [], as_json, as_csv, xlsx, page, accent or []))


@app.command()
def agree(
    one: Annotated[str, typer.Argument(help="One transcriber's sample.")],
    other: Annotated[str, typer.Argument(help="The other's.")],
    language: Language = "en-US",
    as_json: Json = False,
) -> None:
    """Agreement of two transcribers, with the list of differences."""
    from approx.cli.sample_commands import agree as run

    _end(run(one, other, language, as_json))


@app.command()
def inventory(
    file: Annotated[str, typer.Argument(help='A sample (CSV, TSV, XLSX); "-" is stdin.')],
    language: Language = "en-US",
    by: By = "child",
    criterion: Annotated[str, typer.Option(help="When a sound is in: see rules/inventory.toml.")] = "",
    write: Annotated[Path | None, typer.Option(help="Write a child file made of it.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Write over an existing file.")] = False,
    as_json: Json = False,
) -> None:
    """Sounds by position with numbers of tokens and words, clusters, vowels, shapes; --write makes a profile."""
    from approx.cli.sample_commands import show

    _end(show(file, language, by, criterion, write, force, as_json))


@app.command()
def predict(
    file: Annotated[str, typer.Argument(help="A sample to learn from.")],
    words: Annotated[str, typer.Argument(help='Words to predict: a word a line, or CSV; "-" is stdin.')],
    language: Annotated[str, typer.Option(help="Language tag, if not the sample's.")] = "",
    top: Annotated[int, typer.Option(min=1, max=50, help="How many forms a word.")] = 5,
    probe: Annotated[int, typer.Option(min=0, max=100, help="How many words most worth trying next.")] = 5,
    rules: Rules = None,
    as_json: Json = False,
) -> None:
    """How this child will likely say new words, with probabilities."""
    from approx.cli.sample_commands import run

    _end(run(file, words, language, top, probe, rules, as_json))


add_to(app)


@app.command()
def version() -> None:
    """Print the version."""
    from approx.version import __version__

    print(__version__)


def _end(code: int) -> None:
    raise typer.Exit(code)


def main() -> None:
    """Entry point: UTF-8 in and out whatever the system says, and never a traceback."""
    # our matrices are small: threads that wait for each other only take time from what else runs here
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="surrogateescape" if stream is sys.stdin else "replace")
    try:
        app(prog_name="approx")
    except BrokenPipeError:
        # the reader of a pipe has gone (head, less): nothing is left to say to it
        sys.stdout = None
        sys.exit(0)
    except (KeyboardInterrupt, MemoryError, RecursionError) as error:
        print(f"approx: stopped ({type(error).__name__})", file=sys.stderr)
        sys.exit(WRONG_USE)
    except OSError as error:
        print(f"approx: {error.strerror or error}: {error.filename or ''}".rstrip(": "), file=sys.stderr)
        sys.exit(WRONG_USE)
    except Exception as error:
        _fault(error)


def _fault(error: Exception) -> None:
    """A fault of the program itself: one line that says where, and nothing of the data. APPROX_DEBUG shows it all."""
    import os

    if os.environ.get("APPROX_DEBUG"):
        raise error
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    place = f"{Path(trace.tb_frame.f_code.co_filename).name}:{trace.tb_lineno}" if trace is not None else "?"
    print(f"approx: fault of the program, not of your data ({type(error).__name__} at {place})", file=sys.stderr)
    sys.exit(WRONG_USE)
