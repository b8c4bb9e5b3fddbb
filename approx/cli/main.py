"""The program: its commands in order, and how it begins and ends. Each command loads what it needs only when it runs."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from approx.cli import options, practice_commands, reference_commands, sample_commands
from approx.cli.options import PATH, answers, argument, flag, option
from approx.cli.output import AnswerFormat, end, uncollected
from approx.problems import WRONG_USE, Problem


class InOrder(click.Group):
    """Commands in the order in which they were added, as `--help` shows them."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names of the commands."""
        return list(self.commands)


_NARROWEST = 52
_COMPLETE = "_APPROX_COMPLETE"
_SHELLS = ("bash", "zsh", "fish")


def _print_version(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted and not context.resilient_parsing:
        from approx.version import __version__

        print(__version__)
        context.exit()


def _print_completion(context: click.Context, _: click.Parameter, shell: str | None) -> None:
    """The script by which a shell completes commands and options: put into the file that the shell reads at its start."""
    if shell is None or context.resilient_parsing:
        return
    from click.shell_completion import get_completion_class

    found = get_completion_class(shell)
    if found is None:
        raise click.BadParameter(f"no completion for '{shell}'")
    print(found(app, {}, "approx", _COMPLETE).source())
    context.exit()


@click.group(cls=InOrder, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_print_version, help="Print the version."
)
@click.option(
    "--completion", metavar="SHELL", type=click.Choice(_SHELLS), is_eager=True, expose_value=False, callback=_print_completion,
    help="Print the completion script for bash, zsh or fish; put it in your shell's start-up file.",
)  # fmt: skip
def app() -> None:
    """Find simpler forms of each word that this child can say now, and the steps back to the adult form."""


@click.group()
def child() -> None:
    """The file that says what one child can say."""


@child.command("new")
@argument("file", "File to write; it must not exist yet.", type=PATH)
@option("--code", default="X01", help="A code of your own, never a name.")
@option("--language", default="en-US", help="Language tag.")
def child_new(file: Path, code: str, language: str) -> None:
    """Write a commented child file to fill in."""
    from approx.api.practice.children import write_template
    from approx.cli.output import refuse

    refuse(write_template(file, code=code, language=language))
    print(f"{file}: written; fill it in, then `approx child show {file}`", file=sys.stderr)


@child.command("show")
@argument("file", "The child's file.", type=PATH)
@answers
def child_show(file: Path, form: AnswerFormat) -> None:
    """Print the inventory by place and manner; list every error in the file."""
    from approx.api.practice.children import read_child
    from approx.cli.output import finish, show

    found = read_child(file)
    show(found, form)
    finish(found.problems, form)


@click.command()
@option("--file", type=PATH, default=None, help="Caseload file (default: the usual place).")
@option("--port", type=options.NUMBER, default=47815, help="Port on this computer; 0 for a free one.")
@flag("--no-browser", "Do not open the browser.")
@options.page_language
@option("--export", type=PATH, default=None, help="Export the whole caseload to this zip, and open no page.")
@option("--import", "take", type=PATH, default=None, help="Import the children from an export zip, and open no page.")
@flag("--shortcut", "Write a launcher with an icon for this computer, and open no page.")
def desk(
    file: Path | None,
    port: int,
    no_browser: bool,
    language: str,
    export: Path | None,
    take: Path | None,
    shortcut: bool,
) -> None:
    """Open the desk: caseload, children, phrases, sessions (reachable from this computer only)."""
    from approx.cli.desk_command import give_out, launcher, run, take_in
    from approx.cli.output import refuse

    if export is not None and take is not None:
        refuse([Problem("use.export", "--export and --import are two things", "one at a time")])
    if export is not None:
        end(give_out(file, export))
    if take is not None:
        end(take_in(file, take))
    if shortcut:
        end(launcher(file))
    end(run(file, port, not no_browser, language))


@click.command()
def version() -> None:
    """Print the version."""
    from approx.version import __version__

    print(__version__)


for _command in (
    practice_commands.suggest, practice_commands.words, practice_commands.phrases, practice_commands.sheet,
    sample_commands.score, sample_commands.processes, sample_commands.explain, sample_commands.align,
    sample_commands.inventory, sample_commands.predict, sample_commands.agree, sample_commands.progress,
    sample_commands.report, sample_commands.evaluation, sample_commands.goals, sample_commands.convert, child, desk,
    reference_commands.list_command, reference_commands.about,
    reference_commands.doctor, version,
):  # fmt: skip
    app.add_command(_command)


def main() -> None:
    """Entry point: UTF-8 in and out whatever the system says, and never a traceback."""
    # our matrices are small: threads that wait for each other only take time from what else runs here
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if sys.stdout is None:  # closed by who started us (>&-)
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - it lives as long as the process
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="surrogateescape" if stream is sys.stdin else "replace")
    try:
        with uncollected():
            code = app(prog_name="approx", standalone_mode=False, terminal_width=_help_width())
        sys.stdout.flush()
    except SystemExit as end:
        # where the reader of its help has left, click ends with 1, and with an output of its own
        left = type(sys.stdout).__module__.startswith("click.")
        code = 0 if left else end.code
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except BrokenPipeError:
        # the reader of a pipe has gone (head, less): nothing is left to say to it
        sys.stdout = None
        sys.exit(0)
    except _shown_whole():
        raise
    except (click.Abort, KeyboardInterrupt, MemoryError, RecursionError) as error:
        print(f"approx: stopped ({type(error).__name__})", file=sys.stderr)
        sys.exit(WRONG_USE)
    except OSError as error:
        sys.stdout = None  # a full disk is full at the end too
        print(f"approx: {error.strerror or error}: {error.filename or ''}".rstrip(": "), file=sys.stderr)
        sys.exit(WRONG_USE)
    except Exception as error:
        _fault(error)
    sys.exit(code or 0)


def _help_width() -> int | None:
    """The width of help in a terminal that is narrower than the narrowest click thinks of; None for the usual width."""
    import shutil

    columns = shutil.get_terminal_size().columns
    return columns if columns < _NARROWEST else None


def _shown_whole() -> tuple[type[Exception], ...]:
    """What ends in a traceback: nothing; with APPROX_DEBUG in the environment, every fault and every error of the system."""
    return (Exception,) if os.environ.get("APPROX_DEBUG") else ()


def _fault(error: Exception) -> None:
    """A fault of the program itself: one line that says where, and nothing of the data."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    place = f"{Path(trace.tb_frame.f_code.co_filename).name}:{trace.tb_lineno}" if trace is not None else "?"
    print(f"approx: fault of the program, not of your data ({type(error).__name__} at {place})", file=sys.stderr)
    sys.exit(WRONG_USE)
