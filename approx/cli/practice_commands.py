"""The commands that say what to practise: suggestions, words, phrases, printed pages."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from approx.cli import options
from approx.cli.options import NUMBER, PATH, OptionValue, answers, argument, flag, option, several
from approx.cli.output import AnswerFormat, draw, finish, is_terminal, print_json, refuse, show, with_force
from approx.problems import WRONG_USE, Problem, exit_code

if TYPE_CHECKING:
    from approx.api.practice.sheets import Sheet

LONG_LIST = 500
"""Words from which on a list is long."""


@click.command()
@argument("phrase", 'A phrase between quotes; "-" reads it from stdin.', required=False)
@options.child_file
@option("--words", default=None, help='Word list: one word per line, or a CSV file; "-" is stdin.')
@option("--top", type=NUMBER, default=3, help="Number of forms to list per word.")
@options.words_language
@options.emerging
@flag("--short", "Drop function words, as in telegraphic speech.")
@answers
@option("--notation", default="ipa", help="How words between slashes are typed: ipa or x-sampa.")
@options.rules
def suggest(
    phrase: str | None, child: Path | None, words: str | None, form: AnswerFormat, **given: OptionValue
) -> None:
    """Simpler forms of each word this child can say now, why, and the ladder back to the adult word."""
    from approx.api.practice.suggesting import suggest as ask

    if child is not None and (phrase is None) is (words is None):
        hint = "approx suggest --help"
        refuse([Problem("use.phrase", "give a phrase or a list (--words FILE), one of the two", hint)], form)
    asked = Path(words) if words is not None else _typed(phrase or "")
    found = ask(asked, child, on_progress=_long_list, **given)
    if found.words and form.text and is_terminal():
        from approx.reports.text.suggestions import answer_parts

        draw(answer_parts(found))
    else:
        show(found, form)
    finish(found.problems, form)


def _long_list(what: str, done: int, total: int) -> None:
    """A person who waits for a long list is told how long it is."""
    if total > LONG_LIST:
        print(f"{total} {what} ...", file=sys.stderr)


def _typed(phrase: str) -> str:
    return sys.stdin.buffer.read().decode("utf-8-sig", "replace") if phrase == "-" else phrase


@click.group(invoke_without_command=True)
@options.child_file
@option("--count", type=NUMBER, default=12, help="Number of words of each kind.")
@option("--set", "set_size", type=NUMBER, default=0, help="Choose this many words together, as one set.")
@option(
    "--known",
    type=NUMBER,
    default=None,
    help="Share of the set made up of words with nothing new (default: one third).",
)
@options.seed(1)
@option("--new", type=NUMBER, default=1, help="How many new sounds or shapes a word may contain.")
@option("--order", default="", help="Which new sounds come first: early or harder.")
@several("--category", "Only words in this everyday category.")
@several("--pos", "Only words of this part of speech.")
@several("--shape", "Only words of this shape (CVC, CV.CV).")
@several("--sound", "Only words with this sound.")
@several("--new-sound", "Only words in which this sound is the new one.")
@several("--exclude", "A word, or a file of words, to leave out.")
@several("--goal", "A sound, cluster or shape to work on.")
@several("--interest", "A word or everyday category this child loves; the child's file can list them too.")
@option("--own", default="", help="Your own words as well: one word per line, or a table.")
@flag("--picturable", "Only picturable words.")
@flag("--contrast", "Minimal pairs this child produces as homophones.")
@options.words_language
@options.emerging
@answers
@options.rules
@click.pass_context
def words(
    context: click.Context,
    /,
    child: Path | None,
    exclude: tuple[str, ...],
    form: AnswerFormat,
    **given: OptionValue,
) -> None:
    """Choose practice words for a child."""
    if context.invoked_subcommand is not None:
        return
    from approx.api.practice.word_choice import words as ask

    found = ask(child, exclude=[_word_or_list(entry) for entry in exclude], **given)
    if found.bank_size and form.text and is_terminal():
        from approx.reports.text.words import choice_parts

        draw(choice_parts(found))
    else:
        show(found, form)
    finish(found.problems, form)


def _word_or_list(entry: str) -> str | Path:
    """What is left out as it was typed: words, or the name of a file with words."""
    from approx.api.practice.suggesting import is_file

    return Path(entry) if entry == "-" or is_file(entry) or ("." in entry and "," not in entry) else entry


@words.command("say")
@argument("word", "The word as spelled.")
@argument("ipa", "How it is said, in IPA: /ɹid/. Without it: show the readings.", required=False, default="")
@options.form_language
@answers
def words_say(word: str, ipa: str, language: str, form: AnswerFormat) -> None:
    """Show how a word is read, or remember your own reading of it."""
    from approx.api.practice.readings import readings, remember

    if not ipa:
        found = readings(word, language=language)
        show(found, form)
        finish(found.problems, form)
    kept = remember(word, ipa, language=language)
    if kept.readings:
        print(f"'{word}' is now read {kept.readings[0].ipa} (kept in {kept.readings[0].note})", file=sys.stderr)
    finish(kept.problems, form)


@click.command()
@options.child_file
@option("--words", default=None, help="Vocabulary to use: a word file, or words separated by commas.")
@flag("--frames", "Show frames with one open slot.")
@option("--relation", default="", help="Only this kind of phrase, such as 'agent action object'.")
@option("--grammar", default="", help='Build a phrase up one grammar step at a time: "dig mud".')
@option("--order", default="", help="Order of the grammar steps.")
@option("--count", type=NUMBER, default=0, help="Number of phrases; 0 for the usual number of that kind.")
@options.seed(0)
@option("--length", type=NUMBER, default=0, help="Words per phrase, 2 or 3; 0 for both.")
@option("--pronoun", default="", help="she, he or they for the names (default: as the child's file says).")
@options.words_language
@options.emerging
@answers
@options.rules
def phrases(child: Path | None, words: str | None, form: AnswerFormat, **given: OptionValue) -> None:
    """Phrases and frames this child can say today, with the full adult sentence; grammar one step at a time."""
    from approx.api.practice.phrase_ideas import phrases as ask

    found = ask(child, words=words, **given)
    show(found, form)
    finish(found.problems, form)


@click.command()
@argument("page", "session, group, family, letter, cards, contrast, match, listen, hear or plan")
@click.option("--child", "-c", "children", type=PATH, multiple=True, help="The child's file; repeat it for a group.")
@several("--words", "A word file, or words separated by commas.")
@option("--phrases", default=None, help="A file with one phrase per line.")
@option("--minutes", type=NUMBER, default=None, help="Minutes of the session.")
@option("--goal-trials", type=NUMBER, default=None, help="Target number of trials.")
@option("--order", default="blocked", help="Order of practice: blocked, mixed or random.")
@options.seed(1)
@option("--probe", default=None, help="Words to probe without cues.")
@option("--paper", default="", help="Paper size: a4 or letter (default: usual where the child's language is spoken).")
@option("--language", default="", help="Language of the page: en or es.")
@option("--date", default="", help="Date on the page.")
@option("--next-date", default="", help="Date of the next session.")
@option("--number", default="", help="Number of the session.")
@option("--html", type=PATH, default=None, help="Write HTML to this file (default, with no file given: stdout).")
@option("--pdf", type=PATH, default=None, help="Write a PDF to this file.")
@option("--docx", type=PATH, default=None, help="Write an editable document (DOCX) to this file.")
@flag("--force", "Overwrite an existing file.")
@options.emerging
@flag("--example", "Mark the page as an invented example.")
@flag("--allow-rude", "Also print forms that a family may find rude (default: left out).")
@options.rules
@options.as_json
def sheet(
    page: OptionValue,
    html: Path | None,
    pdf: Path | None,
    docx: Path | None,
    force: bool,
    as_json: bool,
    **given: OptionValue,
) -> None:
    """A page to print: for the session, a group, the family, a teacher; cards, word pairs, listening games, the plan."""
    from approx.api.practice.sheets import sheet as ask

    wrong = []
    for path, ending in ((html, ".html"), (pdf, ".pdf"), (docx, ".docx")):
        if path is not None and path.suffix.casefold() != ending:
            message = f"'{path.name}' is not what --{ending[1:]} writes"
            wrong.append(Problem("use.ending", message, f"end the name in {ending}"))
    if html is None and pdf is None and docx is None and not as_json and is_terminal():
        wrong.append(Problem("use.file", "the page is HTML", "name a file: --html page.html or --pdf page.pdf"))
    refuse(wrong)
    found = ask(page, **given)
    if as_json and exit_code(found.problems) != WRONG_USE:
        print_json(found.to_dict())
    problems = [*found.problems]
    if found.page is not None and not exit_code(problems):
        problems += _written(found, html, pdf, docx, force, as_json)
    finish(problems)


def _written(
    found: Sheet, html: Path | None, pdf: Path | None, docx: Path | None, force: bool, as_json: bool
) -> list[Problem]:
    """Every file asked for; without one, the page on stdout."""
    from approx.api.write_table import write_bytes

    problems: list[Problem] = []
    makers: tuple[tuple[Path | None, Callable[[], bytes]], ...] = (
        (html, lambda: found.html().encode()),
        (pdf, found.pdf),
        (docx, found.docx),
    )
    try:
        if html is None and pdf is None and docx is None and not as_json:
            sys.stdout.write(found.html())
        for path, make in makers:
            if path is not None:
                faults = with_force(write_bytes(path, make(), force))
                problems += faults
                if not faults:
                    print(f"{path}: written", file=sys.stderr)
    except ImportError as error:
        hint = "install approx again: it brings this package along"
        problems.append(Problem("sheet.missing", f"this page needs the package {error.name}", hint))
    return problems
