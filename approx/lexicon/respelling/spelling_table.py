"""The spellings a syllable can have by the table, and the way back: næn <-> "nan", "nahn".

The letters are data (`rules/lexicon/respelling.toml`, `respelling_es.toml`), each with a key word. The writer proves
its own work: every syllable is read back, and where two spellings would run together a separator goes between them.
Which of the spellings is printed is decided in `approx.lexicon.respelling.respelling`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from itertools import islice, product
from typing import TYPE_CHECKING

from approx.datafiles import read_toml, rules_path

if TYPE_CHECKING:
    pass

Phones = tuple[str, ...]
Piece = tuple[str, Phones]
"""One spelling in a written syllable and the sounds (or the one mark) it stands for."""

_LOWER, _UPPER = "abcdefghijklmnopqrstuvwxyzñüïíáéóú", "ABCDEFGHIJKLMNOPQRSTUVWXYZÑÜÏÍÁÉÓÚ"
_TO_UPPER, _TO_LOWER = str.maketrans(_LOWER, _UPPER), str.maketrans(_UPPER, _LOWER)
_NO_ACUTE = str.maketrans("áéóú", "aeou")
"""The written accent tells the stress, as the capitals do; í is kept, for the table has íu."""
_CASED = frozenset(_LOWER + _UPPER)
_VOWELS = frozenset("aeiouɪɛæɑɔʊʌəɝɚɜɒʉɐɨ")


class _Place:
    """Where a spelling stands: edges of its word and syllable, stress, and the first sign of what follows."""

    __slots__ = ("end", "following", "start", "stressed", "word_start")

    def __init__(self, word_start: bool, start: bool, end: bool, stressed: bool, following: str) -> None:
        self.word_start, self.start, self.end = word_start, start, end
        self.stressed, self.following = stressed, following


# What `where` may say in the table; of the rows for one sound (or one spelling) those named first here come first.
WHERE: dict[str, Callable[[_Place], bool]] = {
    "alone": lambda place: place.start and place.end,
    "open stressed": lambda place: place.end and place.stressed,
    "open unstressed": lambda place: place.end and not place.stressed,
    "open": lambda place: place.end,
    "word start": lambda place: place.word_start,
    "start": lambda place: place.start,
    "before e i": lambda place: place.following in ("e", "i", "j"),
    "before vowel": lambda place: place.following in _VOWELS,
    "": lambda place: True,
}


class _Row:
    """One line of the table: these sounds are spelled so, where `holds` is true. KeyError for a wrong `where`.

    `also`: other spellings, taken where the first would be misread. `reads`: the sounds a family reads in it, where
    they hear two sounds as one (a soft h as j in Spanish).
    """

    __slots__ = ("also", "holds", "reads", "sounds", "spelling")

    def __init__(self, item: dict[str, str]) -> None:
        self.sounds: Phones = tuple(item["sounds"].split())
        self.reads: Phones = tuple(item.get("reads", item["sounds"]).split())
        self.spelling: str = item["spelling"]
        self.also: tuple[str, ...] = tuple(item.get("also", "").split())
        self.holds = WHERE[item.get("where", "")]


class SpellingTable:
    """Spellings of one language ("en", "es", "es-ES"), sorted for the writer and for the reader."""

    def __init__(self, tag: str) -> None:
        data = read_toml(rules_path(f"lexicon/respelling{'_es' if tag != 'en' else ''}.toml"))
        items = data["spellings"]
        own = {item["sounds"] for item in items if item.get("variety") == tag}
        items = [item for item in items if item.get("variety", "") == (tag if item["sounds"] in own else "")]
        items.sort(key=lambda item: list(WHERE).index(item.get("where", "")))
        self.by_sounds: dict[Phones, list[_Row]] = {}
        self.by_spelling: dict[str, list[_Row]] = {}
        for row in map(_Row, items):
            self.by_sounds.setdefault(row.sounds, []).append(row)
            for spelling in (row.spelling, *row.also) if row.reads == row.sounds else ():
                self.by_spelling.setdefault(spelling, []).append(row)
        self.most_sounds = max(map(len, self.by_sounds))
        # Spellings by their first letter, the longest first.
        self.by_letter: dict[str, list[str]] = {}
        for spelling in sorted(self.by_spelling, key=len, reverse=True):
            self.by_letter.setdefault(spelling[0], []).append(spelling)
        self.mark_spelling: dict[str, str] = {item["mark"]: item["spelling"] for item in data["marks"]}
        self.mark_of = {spelling: mark for mark, spelling in self.mark_spelling.items()}
        self.separator: str = data["separator"]
        self.gliding: dict[str, str] = data.get("held_vowels", {})
        self.short_vowels = frozenset(data["short_vowels"].split())
        self.stay = frozenset(data["stay"].split())


spelling_table = cache(SpellingTable)


@cache
def table_name(language: str) -> str:
    """The table a language uses: "es", "es-ES" or "en"."""
    primary = language.lower().replace("_", "-").split("-")[0]
    if primary not in ("es", "spa"):
        return "en"
    return "es-ES" if language == "es-ES" else "es"


def written_cuts(phones: Phones, starts: tuple[int, ...], stress: tuple[int, ...], table: SpellingTable) -> list[int]:
    """Where hyphens go: the syllable starts, moved one on where a vowel takes over the next consonant.

    A stressed syllable keeps its start, since its capitals tell where the stress mark stands.
    """
    cuts = list(starts)
    for i in range(1, len(starts)):
        start, end = starts[i], (*starts, len(phones))[i + 1]
        last, first = phones[start - 1], phones[start]
        short = last in table.short_vowels and first not in table.stay and first[0] not in _VOWELS
        together = first == "ɹ" and (last, first) in table.by_sounds
        if stress[i] != 1 and start + 1 < end and (short or together):
            cuts[i] += 1
    return cuts


def syllable_choices(phones: Phones, first: bool, stressed: bool, tag: str) -> Iterator[tuple[str, ...]]:
    """Spellings of a syllable in small letters, the table's own first; each as pieces, with separators where they
    would run together."""
    table = spelling_table(tag)
    options = _options(phones, first, stressed, table)
    yield _set_apart([each[0] for each in options], first, stressed, table)
    numbered = (range(len(each)) for each in options)
    for picked in sorted(islice(product(*numbered), _MOST_CHOICES), key=sum)[1:]:
        yield _set_apart([each[at] for each, at in zip(options, picked)], first, stressed, table)


_MOST_CHOICES = 96
"""Spellings of one syllable that are weighed."""


def _set_apart(pieces: list[Piece], first: bool, stressed: bool, table: SpellingTable) -> tuple[str, ...]:
    """Pieces with separators before those that would be read together with the one before."""
    apart: set[int] = set()

    def first_wrong(cuts: set[int]) -> int | None:
        """Index of the first piece that would not be read as it is meant; None if all are."""
        read = read_syllable("".join(_separated(pieces, cuts, table)), first, stressed, table)
        pairs = enumerate(zip(read, pieces, strict=False))
        return None if read == pieces else next((i for i, (one, other) in pairs if one != other), len(read))

    for _ in pieces:
        wrong = first_wrong(apart)
        if wrong is None:
            break
        places = [place for place in (wrong + 1, wrong) if place < len(pieces)]
        after = [first_wrong(apart | {place}) for place in places]
        good = [place for place, then in zip(places, after, strict=True) if then is None or then > wrong]
        apart.update(good[:1] or places)
    return tuple(_separated(pieces, apart, table))


def _separated(pieces: list[Piece], apart: set[int], table: SpellingTable) -> list[str]:
    """The spellings with a separator before those whose index is in `apart`."""
    parts: list[str] = []
    for i, (spelling, _) in enumerate(pieces):
        parts += [table.separator, spelling] if i in apart else [spelling]
    return parts


def _options(phones: Phones, first: bool, stressed: bool, table: SpellingTable) -> list[list[Piece]]:
    """For each piece of a syllable its spellings, each with the sounds it stands for; a mark is a piece of its own."""
    bare = [without_marks(phone) for phone in phones]
    options: list[list[Piece]] = []
    at = 0
    while at < len(phones):
        row = _row_for(bare, phones, at, first, stressed, table)
        if row is None:
            options.append([_kept(bare[at], table)])
        else:
            options.append([(spelling, row.reads) for spelling in (row.spelling, *row.also)])
        at += len(row.sounds) if row else 1
        for mark in phones[at - 1][len(bare[at - 1]) :]:
            spelling = table.mark_spelling.get(mark)
            options.append([(spelling, (mark,)) if spelling else _kept(mark, table)])
    return options


def _row_for(
    bare: list[str], phones: Phones, at: int, first: bool, stressed: bool, table: SpellingTable
) -> _Row | None:
    """The row that spells the most sounds from `at` on; only the last of them may carry marks."""
    for end in range(min(at + table.most_sounds, len(bare)), at, -1):
        rows = table.by_sounds.get(tuple(bare[at:end]))
        if rows is None or bare[at : end - 1] != list(phones[at : end - 1]):
            continue
        following = bare[end][0] if end < len(bare) else ""
        place = _Place(first and not at, not at, not following, stressed, following)
        row = next((row for row in rows if row.holds(place)), None)
        if row is not None:
            return row
    return None


def without_marks(phone: str) -> str:
    """A sound without the marks at its end (length, nose, breath)."""
    end = len(phone)
    while end > 1 and is_mark(phone[end - 1]):
        end -= 1
    return phone[:end]


@lru_cache(maxsize=1024)
def is_mark(symbol: str) -> bool:
    """True for a sign that changes the sound before it."""
    from approx.ipa.features import marks

    return symbol in marks()


def _kept(symbol: str, table: SpellingTable) -> Piece:
    """A symbol without a spelling: itself, between slashes unless it reads as itself."""
    plain = (symbol, (symbol,))
    if symbol in _CASED or len(symbol) > 1 or read_syllable(symbol, False, True, table) != [plain]:
        return f"/{symbol}/", (symbol,)
    return plain


def with_stress(syllable: str, stressed: bool) -> str:
    """A syllable, in capitals if it bears the stress, or with the IPA mark where letters cannot show it."""
    if not stressed:
        return syllable
    parts = syllable.split("/")  # every second one is a symbol between slashes
    if not any(sign in _CASED for part in parts[::2] for sign in part):
        return "ˈ" + syllable
    return "/".join(part if number % 2 else part.translate(_TO_UPPER) for number, part in enumerate(parts))


def read_syllable(text: str, first: bool, stressed: bool, table: SpellingTable) -> list[Piece]:
    """Spellings of one syllable with their sounds, longest spelling first; separators are not in the answer."""
    tokens = _tokens(text, table)
    read: list[Piece] = []
    following, end = "", True
    for i in range(len(tokens) - 1, -1, -1):
        token = tokens[i]
        if token == table.separator:
            following = ""
            continue
        if rows := table.by_spelling.get(token):
            sounds = rows[-1].sounds
            if len(rows) > 1:
                place = _Place(first and not i, not i, end, stressed, following)
                sounds = next((row.sounds for row in rows if row.holds(place)), sounds)
        else:
            sounds = (table.mark_of.get(token) or (token[1:-1] if len(token) > 1 else token),)
        read.append((token, sounds))
        if not is_mark(sounds[0]):
            following, end = sounds[0][:1], False
    return read[::-1]


def _tokens(text: str, table: SpellingTable) -> list[str]:
    """Pieces of a written syllable: spellings of the table, symbols (between slashes or alone), separators."""
    small = text.translate(_TO_LOWER).translate(_NO_ACUTE)
    tokens: list[str] = []
    at = 0
    while at < len(text):
        token = small[at]
        if token == "/":
            closing = text.find("/", at + 2) + 1
            token = text[at:closing] if closing else token
        for spelling in table.by_letter.get(token, ()):
            if small.startswith(spelling, at):
                token = spelling
                break
        token = "i" if token == "í" else token
        tokens.append(token)
        at += len(token)
    return tokens
