"""Plain spelling of a form for families, and back: bəˈnænə <-> "buh-NAN-uh".

The letters are data (`rules/lexicon/respelling.toml`, `respelling_es.toml`), each with a key word. The writer proves
its own work: every syllable is read back, and where two spellings would run together a separator goes between them.
So `read_back(respell(form), language)` is the form again, in the canonical writing of `approx.ipa`.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from approx.datafiles import read_toml, rules_path

if TYPE_CHECKING:
    from approx.ipa.word import Word

_LOWER, _UPPER = "abcdefghijklmnopqrstuvwxyzñüïí", "ABCDEFGHIJKLMNOPQRSTUVWXYZÑÜÏÍ"
_TO_UPPER, _TO_LOWER = str.maketrans(_LOWER, _UPPER), str.maketrans(_UPPER, _LOWER)
_CASED = frozenset(_LOWER + _UPPER)
_MARK_OF = {1: "ˈ", 2: "ˌ"}
_CLOSING = "’"
_VOWELS = frozenset("aeiouɪɛæɑɔʊʌəɝɚɜɒʉɐɨ")


class _Row(NamedTuple):
    """One line of the table: these sounds are spelled so, where `where` holds."""

    sounds: tuple[str, ...]
    spelling: str
    where: str


class _Table(NamedTuple):
    """Spellings of one language, sorted for the writer (by sounds) and for the reader (by letters)."""

    by_sounds: dict[tuple[str, ...], tuple[_Row, ...]]
    by_letters: dict[str, tuple[_Row, ...]]
    most_sounds: int
    most_letters: int
    mark_spelling: dict[str, str]
    mark_of: dict[str, str]
    separator: str
    short_vowels: frozenset[str]
    stay: frozenset[str]


class _Piece(NamedTuple):
    """One spelling in a written syllable and the sounds (or the mark) it stands for."""

    spelling: str
    sounds: tuple[str, ...]


class _Place(NamedTuple):
    """Where a spelling stands: edges of its syllable and word, stress, and the first sign of what follows."""

    word_start: bool
    start: bool
    end: bool
    stressed: bool
    following: str


def respell(ipa: str, language: str = "en-US") -> str:
    """Plain spelling of one or several words in IPA. Spanish has its own letters, every other language the English.

    A stressed syllable is in capitals in words of two or more syllables. A symbol without a spelling is kept as
    itself; a word that cannot be read as IPA at all is returned as it was typed. Cuts written with a dot become
    hyphens, as all cuts do; marks of doubt are not shown.
    """
    from approx.ipa.symbols import read

    spelled: list[str] = []
    for token in ipa.split():
        reading = read(token, language)
        if reading.problems or not reading.words or reading.words[0].phones == ("xxx",):
            spelled.append(token)
        else:
            spelled.extend(_word(word.phones, word.starts, word.stress, _tag(language)) for word in reading.words)
    return " ".join(spelled)


def read_back(spelled: str, language: str = "en-US") -> str:
    """IPA of a plain spelling, the reverse of `respell`: "buh-NAN-uh" -> "bəˈnænə". Unknown signs stay themselves."""
    table = _table(_tag(language))
    return " ".join(_word_back(word, table).ipa for word in spelled.replace(_CLOSING, "'").split())


def _tag(language: str) -> str:
    """The table a language uses: "es", "es-ES" or "en"."""
    primary = language.lower().replace("_", "-").split("-")[0]
    if primary not in ("es", "spa"):
        return "en"
    return "es-ES" if language == "es-ES" else "es"


@cache
def _table(tag: str) -> _Table:
    """The table "en", "es" or "es-ES", read once."""
    data: dict[str, Any] = read_toml(rules_path(f"lexicon/respelling{'_es' if tag != 'en' else ''}.toml"))
    by_sounds: dict[tuple[str, ...], list[_Row]] = {}
    by_letters: dict[str, list[_Row]] = {}
    own = {item["sounds"] for item in data["spellings"] if item.get("variety") == tag}
    for item in data["spellings"]:
        if item.get("variety", "") != (tag if item["sounds"] in own else ""):
            continue
        row = _Row(tuple(item["sounds"].split()), item["spelling"], item.get("where", ""))
        by_sounds.setdefault(row.sounds, []).append(row)
        by_letters.setdefault(row.spelling, []).append(row)
    marks = {item["mark"]: item["spelling"] for item in data["marks"]}
    return _Table(
        {sounds: tuple(sorted(rows, key=_narrow_first)) for sounds, rows in by_sounds.items()},
        {letters: tuple(sorted(rows, key=_narrow_first)) for letters, rows in by_letters.items()},
        max(map(len, by_sounds)),
        max(map(len, by_letters)),
        marks,
        {spelling: mark for mark, spelling in marks.items()},
        data["separator"],
        frozenset(data["short_vowels"].split()),
        frozenset(data["stay"].split()),
    )


# What `where` may say in the table; of the rows for one sound (or one spelling) those named first here come first.
_WHERE: dict[str, Callable[[_Place], bool]] = {
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


def _narrow_first(row: _Row) -> int:
    """Place of a row among those it competes with. ValueError for a `where` that does not exist."""
    return list(_WHERE).index(row.where)


# Writing


@lru_cache(maxsize=4096)
def _word(phones: tuple[str, ...], starts: tuple[int, ...], stress: tuple[int, ...], tag: str) -> str:
    """Spelling of one word from its sounds, the index where each syllable starts, and their stress."""
    table = _table(tag)
    cuts = [*_written_cuts(phones, starts, stress, table), len(phones)]
    several = len(starts) > 1
    return "-".join(
        _stressed(_syllable(phones[cuts[i] : cuts[i + 1]], i == 0, degree > 0 or not several, table), degree * several)
        for i, degree in enumerate(stress)
    )


def _written_cuts(phones: tuple[str, ...], starts: tuple[int, ...], stress: tuple[int, ...], table: _Table) -> list[int]:
    """Where hyphens go: the syllable starts, moved one on where a vowel takes over the next consonant.

    A stressed syllable keeps its start, since its capitals tell where the stress mark stands.
    """
    cuts = list(starts)
    for i in range(1, len(starts)):
        start = starts[i]
        last, first = phones[start - 1], phones[start]
        follows = start + 1 < (*starts, len(phones))[i + 1]
        short = last in table.short_vowels and first not in table.stay and first[:1] not in _VOWELS
        together = first == "ɹ" and (last, first) in table.by_sounds
        if not stress[i] and follows and (short or together):
            cuts[i] += 1
    return cuts


def _syllable(phones: tuple[str, ...], first: bool, stressed: bool, table: _Table) -> list[str]:
    """Spellings of a syllable in small letters, piece by piece, with separators where they would run together."""
    pieces = _pieces(phones, first, stressed, table)
    apart: set[int] = set()
    for _ in pieces:
        wrong = _first_wrong(pieces, apart, first, stressed, table)
        if wrong is None:
            break
        places = [place for place in (wrong + 1, wrong) if place < len(pieces)]
        ends = [_first_wrong(pieces, apart | {place}, first, stressed, table) for place in places]
        good = [place for place, end in zip(places, ends, strict=True) if end is None or end > wrong]
        apart.update(good[:1] or places)
    return _with_separators(pieces, apart, table)


def _first_wrong(pieces: list[_Piece], apart: set[int], first: bool, stressed: bool, table: _Table) -> int | None:
    """Index of the first piece that would not be read as it is meant; None if all are."""
    read = _read_syllable("".join(_with_separators(pieces, apart, table)), first, stressed, table)
    if read == pieces:
        return None
    return next((i for i, (one, other) in enumerate(zip(read, pieces, strict=False)) if one != other), len(read))


def _with_separators(pieces: list[_Piece], apart: set[int], table: _Table) -> list[str]:
    parts: list[str] = []
    for i, piece in enumerate(pieces):
        parts += [table.separator, piece.spelling] if i in apart else [piece.spelling]
    return parts


def _pieces(phones: tuple[str, ...], first: bool, stressed: bool, table: _Table) -> list[_Piece]:
    """Spellings of a syllable, each with the sounds it stands for; a mark is a piece of its own."""
    bare = [_without_marks(phone) for phone in phones]
    pieces: list[_Piece] = []
    at = 0
    while at < len(phones):
        row = _row_for(bare, phones, at, first, stressed, table)
        pieces.append(_Piece(row.spelling, row.sounds) if row else _kept(bare[at], table))
        at += len(row.sounds) if row else 1
        for mark in phones[at - 1][len(bare[at - 1]) :]:
            spelling = table.mark_spelling.get(mark)
            pieces.append(_Piece(spelling, (mark,)) if spelling else _kept(mark, table))
    return pieces


def _row_for(
    bare: list[str], phones: tuple[str, ...], at: int, first: bool, stressed: bool, table: _Table
) -> _Row | None:
    """The row that spells the most sounds from `at` on; only the last of them may carry marks."""
    for size in range(min(table.most_sounds, len(bare) - at), 0, -1):
        rows = table.by_sounds.get(tuple(bare[at : at + size]))
        if rows is None or any(bare[i] != phones[i] for i in range(at, at + size - 1)):
            continue
        end = at + size
        place = _Place(first and not at, not at, end == len(bare), stressed, bare[end][:1] if end < len(bare) else "")
        for row in rows:
            if _WHERE[row.where](place):
                return row
    return None


@lru_cache(maxsize=1024)
def _without_marks(phone: str) -> str:
    """A sound without the marks at its end (length, nose, breath)."""
    end = len(phone)
    while end > 1 and _is_mark(phone[end - 1]):
        end -= 1
    return phone[:end]


def _is_mark(symbol: str) -> bool:
    """True for a sign that changes the sound before it."""
    from approx.ipa.features import marks

    return symbol in marks()


def _kept(symbol: str, table: _Table) -> _Piece:
    """A symbol without a spelling: itself, between slashes unless it reads as itself."""
    plain = _Piece(symbol, (symbol,))
    if symbol in _CASED or len(symbol) > 1 or _read_syllable(symbol, False, True, table) != [plain]:
        return _Piece(f"/{symbol}/", (symbol,))
    return plain


def _stressed(pieces: list[str], degree: int) -> str:
    """A syllable with its stress: capitals, one capital, or the IPA mark where letters cannot show it."""
    text = "".join(pieces)
    if not degree:
        return text
    letters = [i for i, piece in enumerate(pieces) if piece[:1] != "/" and any(sign in _CASED for sign in piece)]
    cased = sum(sign in _CASED for i in letters for sign in pieces[i])
    if not cased or (degree == 2 and cased == 1):
        return _MARK_OF[degree] + text
    if degree == 1:
        return "".join(piece.translate(_TO_UPPER) if i in letters else piece for i, piece in enumerate(pieces))
    head = pieces[letters[0]]
    at = next(i for i, sign in enumerate(head) if sign in _CASED)
    pieces = [*pieces]
    pieces[letters[0]] = head[:at] + head[at].translate(_TO_UPPER) + head[at + 1 :]
    return "".join(pieces)


# Reading


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
        for piece in _read_syllable(chunk.lstrip("ˈˌ"), i == 0, degree > 0, table):
            if len(phones) > starts[-1] and _is_mark(piece.sounds[0]):
                phones[-1] += piece.sounds[0]
            else:
                phones += piece.sounds
    return Word(tuple(phones), tuple(starts), tuple(stress))


def _degree(chunk: str) -> int:
    """Stress of a written syllable: 1 all capitals, 2 one capital and small letters, 0 small letters."""
    for degree, mark in _MARK_OF.items():
        if chunk[0] == mark:
            return degree
    letters = [sign for part in chunk.split("/")[::2] for sign in part if sign in _CASED]
    if not letters or letters[0] in _LOWER:
        return 0
    return 1 if all(sign in _UPPER for sign in letters) else 2


def _read_syllable(text: str, first: bool, stressed: bool, table: _Table) -> list[_Piece]:
    """Spellings of one syllable with their sounds, longest spelling first; separators are not in the answer."""
    tokens = _tokens(text, table)
    read: list[_Piece] = []
    following, end = "", True
    for i in range(len(tokens) - 1, -1, -1):
        token = tokens[i]
        if token == table.separator:
            following = ""
            continue
        if rows := table.by_letters.get(token):
            place = _Place(first and not i, not i, end, stressed, following)
            sounds = next((row for row in rows if _WHERE[row.where](place)), rows[-1]).sounds
        else:
            sounds = (table.mark_of.get(token) or (token[1:-1] if len(token) > 1 else token),)
        read.append(_Piece(token, sounds))
        if not _is_mark(sounds[0]):
            following, end = sounds[0][:1], False
    return read[::-1]


def _tokens(text: str, table: _Table) -> list[str]:
    """Pieces of a written syllable: spellings of the table, symbols (between slashes or alone), separators."""
    small = text.translate(_TO_LOWER)
    tokens: list[str] = []
    at = 0
    while at < len(text):
        closing = text.find("/", at + 2) + 1 if text[at] == "/" else 0
        if closing:
            tokens.append(text[at:closing])
        else:
            sizes = range(table.most_letters, 1, -1)
            size = next((size for size in sizes if small[at : at + size] in table.by_letters), 1)
            tokens.append(small[at : at + size])
        at += len(tokens[-1])
    return tokens
