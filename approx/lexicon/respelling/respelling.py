"""Plain spelling of a form for families, and back: bəˈnænə <-> "buh-NAN-uh".

The letters are data (`rules/lexicon/respelling.toml`, `respelling_es.toml`), each with a key word. The writer proves
its own work: every syllable is read back, and where two spellings would run together a separator goes between them.
So `read_back(respell(form), language)` is the form again, in the canonical writing of `approx.ipa`.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from approx.datafiles import read_toml, rules_path

if TYPE_CHECKING:
    from approx.ipa.word import Word

Phones = tuple[str, ...]
Piece = tuple[str, Phones]
"""One spelling in a written syllable and the sounds (or the one mark) it stands for."""

_LOWER, _UPPER = "abcdefghijklmnopqrstuvwxyzñüïí", "ABCDEFGHIJKLMNOPQRSTUVWXYZÑÜÏÍ"
_TO_UPPER, _TO_LOWER = str.maketrans(_LOWER, _UPPER), str.maketrans(_UPPER, _LOWER)
_CASED = frozenset(_LOWER + _UPPER)
_STRESS = {"ˈ": 1, "ˌ": 2}
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
    """One line of the table: these sounds are spelled so, where `holds` is true. KeyError for a wrong `where`."""

    __slots__ = ("holds", "sounds", "spelling")

    def __init__(self, item: dict[str, str]) -> None:
        self.sounds: Phones = tuple(item["sounds"].split())
        self.spelling: str = item["spelling"]
        self.holds = WHERE[item.get("where", "")]


class _Table:
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
            self.by_spelling.setdefault(row.spelling, []).append(row)
        self.most_sounds = max(map(len, self.by_sounds))
        # Spellings by their first letter, the longest first.
        self.by_letter: dict[str, list[str]] = {}
        for spelling in sorted(self.by_spelling, key=len, reverse=True):
            self.by_letter.setdefault(spelling[0], []).append(spelling)
        self.mark_spelling: dict[str, str] = {item["mark"]: item["spelling"] for item in data["marks"]}
        self.mark_of = {spelling: mark for mark, spelling in self.mark_spelling.items()}
        self.separator: str = data["separator"]
        self.short_vowels = frozenset(data["short_vowels"].split())
        self.stay = frozenset(data["stay"].split())


_table = cache(_Table)


def respell(ipa: str, language: str = "en-US") -> str:
    """Plain spelling of one or several words in IPA. Spanish has its own letters, every other language the English.

    A stressed syllable is in capitals in words of two or more syllables. A symbol without a spelling is kept as
    itself; a word that cannot be read as IPA at all is returned as it was typed. Cuts written with a dot become
    hyphens, as all cuts do; marks of doubt are not shown.
    """
    from approx.ipa.symbols import read

    tag, spelled = _tag(language), []
    for token in ipa.split():
        reading = read(token, language)
        words = () if reading.problems or reading.ipa == "xxx" else reading.words
        spelled += [_word(word.phones, word.starts, word.stress, tag) for word in words] or [token]
    return " ".join(spelled)


def respell_word(word: Word, language: str = "en-US") -> str:
    """The plain spelling of one word; the same as `respell` of its text."""
    return _word(word.phones, word.starts, word.stress, _tag(language))


def read_back(spelled: str, language: str = "en-US") -> str:
    """IPA of a plain spelling, the reverse of `respell`: "buh-NAN-uh" -> "bəˈnænə". Unknown signs stay themselves."""
    table = _table(_tag(language))
    return " ".join(_word_back(word, table).ipa for word in spelled.replace("’", "'").split())


def _tag(language: str) -> str:
    """The table a language uses: "es", "es-ES" or "en"."""
    primary = language.lower().replace("_", "-").split("-")[0]
    if primary not in ("es", "spa"):
        return "en"
    return "es-ES" if language == "es-ES" else "es"


@lru_cache(maxsize=32768)
def _word(phones: Phones, starts: tuple[int, ...], stress: tuple[int, ...], tag: str) -> str:
    """Spelling of one word from its sounds, the index where each syllable starts, and their stress."""
    cuts = _written_cuts(phones, starts, stress, _table(tag))
    if len(starts) < 2:
        return "".join(_syllable(phones, True, True, tag))
    syllables = [phones[start:end] for start, end in zip(cuts, (*cuts[1:], len(phones)), strict=True)]
    spelled = [_syllable(part, not i, stress[i] > 0, tag) for i, part in enumerate(syllables)]
    return "-".join(_with_stress(pieces, degree) for pieces, degree in zip(spelled, stress, strict=True))


def _written_cuts(phones: Phones, starts: tuple[int, ...], stress: tuple[int, ...], table: _Table) -> list[int]:
    """Where hyphens go: the syllable starts, moved one on where a vowel takes over the next consonant.

    A stressed syllable keeps its start, since its capitals tell where the stress mark stands.
    """
    cuts = list(starts)
    for i in range(1, len(starts)):
        start, end = starts[i], (*starts, len(phones))[i + 1]
        last, first = phones[start - 1], phones[start]
        short = last in table.short_vowels and first not in table.stay and first[0] not in _VOWELS
        together = first == "ɹ" and (last, first) in table.by_sounds
        if not stress[i] and start + 1 < end and (short or together):
            cuts[i] += 1
    return cuts


@lru_cache(maxsize=32768)
def _syllable(phones: Phones, first: bool, stressed: bool, tag: str) -> tuple[str, ...]:
    """Spellings of a syllable in small letters, piece by piece, with separators where they would run together."""
    table = _table(tag)
    pieces = _pieces(phones, first, stressed, table)
    apart: set[int] = set()

    def first_wrong(cuts: set[int]) -> int | None:
        """Index of the first piece that would not be read as it is meant; None if all are."""
        read = _read_syllable("".join(_separated(pieces, cuts, table)), first, stressed, table)
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


def _separated(pieces: list[Piece], apart: set[int], table: _Table) -> list[str]:
    """The spellings with a separator before those whose index is in `apart`."""
    parts: list[str] = []
    for i, (spelling, _) in enumerate(pieces):
        parts += [table.separator, spelling] if i in apart else [spelling]
    return parts


def _pieces(phones: Phones, first: bool, stressed: bool, table: _Table) -> list[Piece]:
    """Spellings of a syllable, each with the sounds it stands for; a mark is a piece of its own."""
    bare = [_without_marks(phone) for phone in phones]
    pieces: list[Piece] = []
    at = 0
    while at < len(phones):
        row = _row_for(bare, phones, at, first, stressed, table)
        pieces.append((row.spelling, row.sounds) if row else _kept(bare[at], table))
        at += len(row.sounds) if row else 1
        for mark in phones[at - 1][len(bare[at - 1]) :]:
            spelling = table.mark_spelling.get(mark)
            pieces.append((spelling, (mark,)) if spelling else _kept(mark, table))
    return pieces


def _row_for(bare: list[str], phones: Phones, at: int, first: bool, stressed: bool, table: _Table) -> _Row | None:
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


def _without_marks(phone: str) -> str:
    """A sound without the marks at its end (length, nose, breath)."""
    end = len(phone)
    while end > 1 and _is_mark(phone[end - 1]):
        end -= 1
    return phone[:end]


@lru_cache(maxsize=1024)
def _is_mark(symbol: str) -> bool:
    """True for a sign that changes the sound before it."""
    from approx.ipa.features import marks

    return symbol in marks()


def _kept(symbol: str, table: _Table) -> Piece:
    """A symbol without a spelling: itself, between slashes unless it reads as itself."""
    plain = (symbol, (symbol,))
    if symbol in _CASED or len(symbol) > 1 or _read_syllable(symbol, False, True, table) != [plain]:
        return f"/{symbol}/", (symbol,)
    return plain


def _with_stress(pieces: tuple[str, ...], degree: int) -> str:
    """A syllable with its stress: capitals, one capital, or the IPA mark where letters cannot show it."""
    if not degree:
        return "".join(pieces)
    raised = ["/" not in piece and any(sign in _CASED for sign in piece) for piece in pieces]
    letters = sum(sign in _CASED for piece, up in zip(pieces, raised, strict=True) for sign in piece if up)
    if letters <= degree - 1:
        return "ˈˌ"[degree - 1] + "".join(pieces)
    capitals = [piece.translate(_TO_UPPER) if up else piece for piece, up in zip(pieces, raised, strict=True)]
    if degree == 1:
        return "".join(capitals)
    head = raised.index(True)
    # Every spelling begins with the letter that takes the capital.
    return "".join((*pieces[:head], capitals[head][0] + pieces[head][1:], *pieces[head + 1 :]))


def _word_back(spelled: str, table: _Table) -> Word:
    """The word a spelling stands for."""
    from approx.ipa.word import Word

    chunks = [chunk for chunk in spelled.split("-") if chunk]
    phones: list[str] = []
    starts: list[int] = []
    stress: list[int] = []
    for i, chunk in enumerate(chunks):
        degree = _degree(chunk) if len(chunks) > 1 else 1
        starts.append(len(phones))
        stress.append(degree)
        for _, sounds in _read_syllable(chunk.lstrip("ˈˌ"), i == 0, degree > 0, table):
            if len(phones) > starts[-1] and _is_mark(sounds[0]):
                phones[-1] += sounds[0]
            else:
                phones += sounds
    return Word(tuple(phones), tuple(starts), tuple(stress))


def _degree(chunk: str) -> int:
    """Stress of a written syllable: 1 all capitals, 2 one capital and small letters, 0 small letters."""
    if chunk[0] in _STRESS:
        return _STRESS[chunk[0]]
    letters = [sign for part in chunk.split("/")[::2] for sign in part if sign in _CASED]
    if not letters or letters[0] in _LOWER:
        return 0
    return 1 if all(sign in _UPPER for sign in letters) else 2


def _read_syllable(text: str, first: bool, stressed: bool, table: _Table) -> list[Piece]:
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
            place = _Place(first and not i, not i, end, stressed, following)
            sounds = next((row for row in rows if row.holds(place)), rows[-1]).sounds
        else:
            sounds = (table.mark_of.get(token) or (token[1:-1] if len(token) > 1 else token),)
        read.append((token, sounds))
        if not _is_mark(sounds[0]):
            following, end = sounds[0][:1], False
    return read[::-1]


def _tokens(text: str, table: _Table) -> list[str]:
    """Pieces of a written syllable: spellings of the table, symbols (between slashes or alone), separators."""
    small = text.translate(_TO_LOWER)
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
        tokens.append(token)
        at += len(token)
    return tokens
