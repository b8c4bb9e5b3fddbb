"""Words to choose from, as rows of facts: the shipped bank (`rules/lexicon/en.tsv`, `es.tsv`), and what a family's life adds
to it: the child's people, what it loves, and words of one's own, a word a line or a table.

Among the facts is how useful a word is likely to be to a child, and how that is said (numbers: `rules/words.toml`).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from approx.child.profile import Profile
from approx.datafiles import read_tsv, rules_path
from approx.ipa import read
from approx.ipa.features import is_nucleus
from approx.ipa.word import Word
from approx.lexicon.frequency import everyday_words, later_words, words_of_elsewhere
from approx.lexicon.rude import rude_word
from approx.practice.suggest.clashes import Clash
from approx.practice.suggest.input_targets import WORD_NAMES, ListRow, read_words, targets_in_list
from approx.practice.suggest.suggest import is_dropped
from approx.practice.words.word_weights import CoreWord, core_words, later_from, needed, use_weights
from approx.problems import Problem
from approx.samples.cells.dates import read_age
from approx.scoring.judging.complexity import ipc, wcm
from approx.wording import enumerated, worded


def use_of(
    word: str, part_of_speech: str, category: str, frequency: float | None, own: bool = False, bank: str = "en"
) -> float:
    """Adult-text frequency between two ends (0 to 1), weighed by part of speech and everyday category.

    What a child needs to say all day counts more, and so do the clinician's own words, which were chosen. `bank`: "en"
    or "es". Adult text says little about children's words, so what is above the upper end counts alike, what a family
    says in most weeks counts as much, and the rest less.
    """
    w = use_weights()
    if own:
        return w.own_list
    if is_needed(word, bank):
        return w.needed
    share = w.unknown if frequency is None else (frequency - w.lowest_zipf) / (w.highest_zipf - w.lowest_zipf)
    share = max(share, w.everyday) if word in everyday_words(bank) else share * w.seldom
    kind = w.part_of_speech.get(part_of_speech, 1.0) * w.category.get(category, 1.0)
    return min(max(share, 0.0), 1.0) * kind


def is_needed(word: str, bank: str) -> bool:
    """True for a word of the list of what a child needs to say all day."""
    return word in needed(bank) or word.lower() in needed(bank)


def use_reason(word: str, frequency: float | None, own: bool, bank: str) -> str:
    """The use of a word in plain words, with its frequency and where that was counted."""
    if own:
        return "on your own list"
    needed_all_day = ["needed all day"] if is_needed(word, bank) else []
    if frequency is None:
        return enumerated(", ", [*needed_all_day, "no frequency known"])
    if word in everyday_words(bank):
        return enumerated(", ", [*needed_all_day, "used in most weeks"])
    w = use_weights()
    third = (w.highest_zipf - w.lowest_zipf) / 3
    grade = ("seldom used", "sometimes used", "often used")[min(max(int((frequency - w.lowest_zipf) / third), 0), 2)]
    used = worded("{grade} (zipf {frequency} in adult text)", grade=grade, frequency=f"{frequency:.1f}")
    return enumerated(", ", [*needed_all_day, used])


Key = tuple[str, tuple[str, ...]]
"""A demand without its place in the word: ("consonant", ("k", "final"))."""


@dataclass(frozen=True, slots=True)
class BankWord:
    """One word and what is known of it without regard to any child.

    `frequency`: zipf (3 = once in a million words of adult text, 6 = once in a thousand); None if unknown. `shape`:
    syllable shapes joined by dots ("CV.CVC"). `use`: how useful it is likely to be, 0 to about 1. `own`: True for a word of the clinician's own list.
    `functions` and `tier` of a core word (`core_words`), () and 0 for others.
    """

    word: str
    adult: Word
    part_of_speech: str
    category: str
    picturable: bool
    frequency: float | None
    shape: str
    syllables: int
    wcm: int
    ipc: int
    use: float = 0.0
    use_reason: str = ""
    own: bool = False
    remark: str = ""
    functions: tuple[str, ...] = ()
    tier: int = 0
    interest: str = ""
    """The interest of this child's the word belongs to: itself, or its everyday category; "" for others."""


@dataclass(frozen=True, slots=True)
class NewElement:
    """One thing a word asks for that the child has not: a sound, a place for it, a vowel, a shape, a cluster, a length.

    `text` says it in plain words. `keys` are the demands to be granted for it (`Demand.key`): a new shape made of old
    sounds brings those sounds in their new place along, and is still one thing. `emerging`: all of it is emerging.
    """

    kind: str
    text: str
    keys: tuple[Key, ...]
    emerging: bool = False


@dataclass(frozen=True, slots=True)
class RankedWord:
    """A bank word for one child: what is in the inventory, what is new, and why it stands where it stands.

    `have` of `asks` things the word asks for are in the inventory (`in_hand` is their share, 1.0 for all). `new` has a text
    a new thing. `today` is the form to accept now (IPA), `today_spelled` its plain spelling; both None until
    `approx.practice.words.word_facts` fills them in. `clashes` and `contrasts` name other words. `singleton`: a goal
    sound stands outside a cluster. `untested`: texts of new things that the child was never heard to try; () until then too. `functions`: what a core word does; `power`: 1 for a core word of the first tier,
    0.5 for the second, and 0 for a child who has many words.
    """

    bank: BankWord
    have: int
    asks: int
    things: tuple[NewElement, ...]
    score: float
    reasons: tuple[str, ...]
    goals: tuple[str, ...] = ()
    singleton: bool = False
    functions: tuple[str, ...] = ()
    power: float = 0.0
    today: str | None = None
    today_spelled: str | None = None
    clashes: tuple[Clash, ...] = ()
    contrasts: tuple[str, ...] = ()
    untested: tuple[str, ...] = ()

    @property
    def word(self) -> str:
        """As spelled."""
        return self.bank.word

    @property
    def adult(self) -> Word:
        """The adult form."""
        return self.bank.adult

    @property
    def category(self) -> str:
        """Everyday category."""
        return self.bank.category

    @property
    def part_of_speech(self) -> str:
        """Part of speech."""
        return self.bank.part_of_speech

    @property
    def new(self) -> tuple[str, ...]:
        """What it asks for that is not in the inventory, in words."""
        return tuple(thing.text for thing in self.things)

    @property
    def in_hand(self) -> float:
        """Share of what it asks for that is in the inventory, 0 to 1."""
        return self.have / self.asks if self.asks else 0.0


@dataclass(frozen=True, slots=True)
class WordSet:
    """Words chosen together. `parts` says what each part of the written objective gave, `value` is their sum."""

    words: tuple[RankedWord, ...]
    value: float
    parts: tuple[tuple[str, float], ...]
    seed: int
    greedy_value: float
    reasons: tuple[str, ...] = ()


BANKS = ("en", "es")
"""Languages with a shipped bank."""


def bank_of(language: str) -> str:
    """The bank a language tag uses ("en", "es"); "" if there is none."""
    primary = language.lower().replace("_", "-").split("-")[0]
    return {"en": "en", "eng": "en", "es": "es", "spa": "es"}.get(primary, "")


@cache
def load_bank(language: str = "en-US") -> tuple[BankWord, ...]:
    """Every row of the shipped bank for a language, in file order; () for a language without one.

    Forms are General American and Latin American Spanish. For es-ES they are read anew from the spelling, unless the
    row says that its form was set by hand.
    """
    bank = bank_of(language)
    if not bank:
        return ()
    from approx.lexicon.frequency import bank_frequencies

    common = bank_frequencies(bank)
    out = []
    for row in read_tsv(rules_path(f"lexicon/{bank}.tsv")):
        form = row["ipa"]
        if language == "es-ES" and "set by hand" not in row["remark"]:
            from approx.lexicon.spanish.letters import read_spanish

            form = read_spanish(row["word"], language) or form
        adult = read(form, language).words[0]
        out.append(
            bank_word(
                row["word"], adult, row["part_of_speech"], row["category"], row["picturable"] == "yes",
                common.get(row["word"]), False, row["remark"], bank,
            )
        )  # fmt: skip
    return tuple(out)


def bank_word(
    word: str,
    adult: Word,
    part_of_speech: str,
    category: str,
    picturable: bool,
    frequency: float | None,
    own: bool = False,
    remark: str = "",
    bank: str = "en",
) -> BankWord:
    """A row with what follows from it: shape, syllables, complexity, use."""
    use = use_of(word, part_of_speech, category, frequency, own, bank)
    core = core_words(bank).get(word, CoreWord((), 0))
    return BankWord(
        word, adult, part_of_speech, category, picturable, frequency, shape_of(adult), len(adult.starts),
        wcm(adult), ipc(adult), use, use_reason(word, frequency, own, bank), own, remark,
        core.functions, core.tier,
    )  # fmt: skip


def with_readings(bank: tuple[BankWord, ...], readings: Mapping[str, str], language: str) -> tuple[BankWord, ...]:
    """The bank with this family's and this clinician's own ways to say words in place of its own."""
    if not readings:
        return bank
    out: list[BankWord] = []
    done: set[tuple[str, str]] = set()
    for row in bank:
        own = readings.get(row.word) or readings.get(row.word.lower())
        if own is None:
            out.append(row)
            continue
        found = read(own, language).words
        key = row.word, row.part_of_speech
        if len(found) != 1:
            out.append(row)
            continue
        if key in done:  # the other sound of two words spelled alike
            continue
        done.add(key)
        fresh = found[0]
        remark = "said as in the child's file or the own words"
        out.append(
            replace(
                row, adult=fresh, shape=shape_of(fresh), syllables=len(fresh.starts), wcm=wcm(fresh), ipc=ipc(fresh),
                remark=remark,
            )
        )  # fmt: skip
    return tuple(out)


def shape_of(word: Word) -> str:
    """Syllable shapes in order with dots between; a diphthong is one V.

    >>> from approx.ipa import read
    >>> shape_of(read("bəˈnænə").words[0]), shape_of(read("spun").words[0])
    ('CV.CV.CV', 'CCVC')
    """
    signs = ["V" if is_nucleus(phone) else "C" for phone in word.phones]
    ends = (*word.starts[1:], len(signs))
    return ".".join("".join(signs[start:end]) for start, end in zip(word.starts, ends, strict=True))


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
