"""What a family's life adds to the bank: the child's people, what it loves, and words of one's own, a word a line or a table."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from approx.child.profile import Profile
from approx.lexicon.frequency import later_words, words_of_elsewhere
from approx.lexicon.rude import rude_word
from approx.practice.suggest.input_targets import WORD_NAMES, ListRow, read_words, targets_in_list
from approx.practice.suggest.suggest import is_dropped
from approx.practice.words.word_bank import BankWord, bank_of, bank_word, is_needed
from approx.practice.words.word_weights import later_from
from approx.problems import Problem
from approx.samples.cells.dates import read_age
from approx.wording import worded

OWN_WORDS = "own words"
"""Category of a word that neither the list nor the bank puts in one."""
_YES, _NO = ("yes", "y", "1", "true", "sí", "si"), ("no", "n", "0", "false")


def with_own_list(
    bank: Sequence[BankWord], name: str, profile: Profile, language: str
) -> tuple[tuple[BankWord, ...], tuple[Problem, ...]]:
    """The bank with the words of a file (or stdin, "-") added; words that cannot be read are named and left out."""
    rows, problems = read_words(name)
    file = "stdin" if name == "-" else name
    more = _columns(name) if name != "-" else {}
    words, found = with_own_rows(bank, rows, profile, language, file, more)
    return words, (*problems, *found)


def with_own_rows(
    bank: Sequence[BankWord],
    rows: Sequence[ListRow],
    profile: Profile,
    language: str,
    file: str = "",
    more: Mapping[int, Mapping[str, str]] | None = None,
) -> tuple[tuple[BankWord, ...], tuple[Problem, ...]]:
    """The bank with these words added. `file`: where they stand, "" where they were typed; `more`: cells by line."""
    found: list[Problem] = []
    more = more or {}
    targets, unread = targets_in_list(rows, language, profile, file)
    found += unread
    lines = {row[0]: row[2] for row in rows}
    known: dict[str, BankWord] = {}
    for word in bank:
        known.setdefault(word.word.lower(), word)
    own: dict[str, BankWord] = {}
    for target in targets:
        if target.adult is None:
            continue
        cells = more.get(lines.get(target.typed, 0), {})
        before = known.get(target.typed.lower())
        if target.typed in own:
            message = worded("'{typed}' is listed twice; the last one counts", typed=target.typed)
            found.append(
                Problem("words.own-twice", message, "", file, lines.get(target.typed), symbol=target.typed, fatal=False)
            )
        if before is None and not target.sure:
            message = worded(
                "'{typed}' is not in any word list and was read as {ipa}: {note}",
                typed=target.typed,
                ipa=target.adult.ipa,
                note=target.note or "a guess",
            )
            hint = "write how it is said in a column ipa"
            found.append(
                Problem("words.guess", message, hint, file, lines.get(target.typed), symbol=target.typed, fatal=False)
            )
        word = bank_word(
            target.typed, target.adult,
            cells.get("part_of_speech", "").lower() or (before.part_of_speech if before else "noun"),
            cells.get("category", "").lower() or (before.category if before else OWN_WORDS),
            _picturable(cells.get("picturable", ""), before), before.frequency if before else None, True,
            "own list", bank_of(language) or "en",
        )  # fmt: skip
        if before is not None and target.read_from != "typed":
            # a bank form was read by eye; another reading is taken only where the list or the child's file gives it
            own_form = target.read_from == "own words"
            word = (
                word if own_form else replace(word, adult=before.adult, shape=before.shape, syllables=before.syllables)
            )
        own[target.typed] = word
    taken = {word.lower() for word in own}
    return (*own.values(), *(word for word in bank if word.word.lower() not in taken)), tuple(found)


def _picturable(cell: str, before: BankWord | None) -> bool:
    value = cell.strip().lower()
    return value in _YES if value in (*_YES, *_NO) else bool(before and before.picturable)


def _columns(name: str) -> Mapping[int, Mapping[str, str]]:
    """Line -> cells by column name, for a table with a header; {} for a plain list."""
    try:
        raw = Path(name).read_bytes()
    except OSError:
        return {}
    text = raw.decode("utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig", "replace")
    head = text.lstrip("\r\n ").splitlines()[:1]
    if not head:
        return {}
    separator = max("\t;,", key=head[0].count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    names: list[str] = []
    out: dict[int, dict[str, str]] = {}
    for cells in reader:
        if not names:
            names = [cell.strip().lower() for cell in cells]
            if not set(names) & set(WORD_NAMES):
                return {}
            continue
        out[reader.line_num] = {key: cell.strip() for key, cell in zip(names, cells)}
    return out


def for_this_child(
    bank: Sequence[BankWord], profile: Profile, interests: Sequence[str], language: str
) -> tuple[tuple[BankWord, ...], tuple[Problem, ...]]:
    """The bank without words that are rude by themselves, with the people of the child's file, and with the words marked that belong to an interest.

    An interest is a word ("truck", "trucks") or an everyday category ("animals"); one that the bank does not have is
    added as a word of the child's own. Words that cannot be read are named and left out.
    """
    problems: list[Problem] = []
    known = tuple(word for word in bank if not rude_word(word.adult.ipa, language))
    if profile.people:
        rows = [(name, "", at) for at, name in enumerate(profile.people, 1)]
        cells = {at: {"part_of_speech": "name", "category": "names"} for _, _, at in rows}
        others = [word for word in known if word.category != "names"]
        known, found = with_own_rows(others, rows, profile, language, more=cells)
        problems += found
    if not interests:
        return known, tuple(problems)
    loved = {form: interest for interest in interests for form in _forms(interest)}
    here = {word.word.lower() for word in known} | {word.category.lower() for word in known}
    fresh = [interest for interest in interests if not here & set(_forms(interest))]
    if fresh:
        known, found = with_own_rows(known, [(word, "", at) for at, word in enumerate(fresh, 1)], profile, language)
        problems += found
    return tuple(_marked(word, loved) for word in known), tuple(problems)


def seldom_met(profile: Profile, language: str) -> frozenset[str]:
    """Words of other countries than this child's, and, for a small child or one of unknown age, words seldom part of its day."""
    age, _ = read_age(profile.age) if profile.age else (None, None)
    later = later_words(bank_of(language)) if age is None or age < later_from() else frozenset()
    return later | words_of_elsewhere(language)


def offered_unasked(
    bank: Sequence[BankWord], profile: Profile, language: str, categories: Sequence[str] = ()
) -> tuple[BankWord, ...]:
    """The bank without what nobody would choose for a child unasked; what stands on an own list or belongs to what the child
    loves was asked for, and stays.

    Left aside: words that early talk leaves out (articles, auxiliaries) and are no core words of the first tiers, names of people the child's
    file does not name, both unless their everyday category is one of `categories`; for a small child or one of unknown age
    words seldom part of its day (`later_words`); words of other countries (`words_of_elsewhere`).
    """
    tag, later = bank_of(language), seldom_met(profile, language)

    def aside(word: BankWord) -> bool:
        if word.own or word.interest:
            return False
        if word.word in later:
            return True
        if word.category in categories:
            return False
        small = is_dropped(word.word, language) and word.tier not in (1, 2) and not is_needed(word.word, tag)
        return small or word.category == "names"

    return tuple(word for word in bank if not aside(word))


def _forms(interest: str) -> list[str]:
    """An interest as it may stand in the bank: "trucks" for truck, "animal" for animals."""
    low = interest.lower()
    return [low, low.removesuffix("s"), low.removesuffix("es"), f"{low}s"]


def _marked(word: BankWord, loved: dict[str, str]) -> BankWord:
    interest = loved.get(word.word.lower()) or loved.get(word.category.lower(), "")
    return replace(word, interest=interest) if interest else word
