"""Plain spelling of IPA as text, and back: known words as said, the rest by the table."""

from __future__ import annotations

from approx.ipa.symbols import read
from approx.ipa.word import Word
from approx.lexicon.homophones import printed_word
from approx.lexicon.respelling.respelling import respell_word
from approx.lexicon.respelling.spelling_table import SpellingTable, is_mark, read_syllable, spelling_table, table_name

_LETTERS, _UPPER = (
    "abcdefghijklmnopqrstuvwxyzñüïíáéóúABCDEFGHIJKLMNOPQRSTUVWXYZÑÜÏÍÁÉÓÚ",
    "ABCDEFGHIJKLMNOPQRSTUVWXYZÑÜÏÍÁÉÓÚ",
)


def read_back(spelled: str, language: str = "en-US") -> str:
    """IPA of a plain spelling, the reverse of `respell`: "NAN-uh" -> "ˈnænə". Unknown signs stay themselves.

    Second stress is not in a spelling and does not come back; in Spanish a soft h comes back as x, and a first j as ʝ.
    """
    table = spelling_table(table_name(language))
    words = spelled.replace("’", "'").split()
    return " ".join(_known_back(word, language) or _word_back(word, table).ipa for word in words)


def _known_back(spelled: str, language: str) -> str:
    """The form a known word stands for, "" if it is none that `respell` prints."""
    from approx.lexicon.reading import pronunciations

    if not spelled.isalpha() or not spelled.islower():
        return ""
    readings = pronunciations(spelled, "es-419" if table_name(language) != "en" else "en-US")
    ipa = readings[0].ipa if readings else ""
    return ipa if ipa and printed_word(ipa, language, spelled) == spelled else ""


def _word_back(spelled: str, table: SpellingTable) -> Word:
    """The word a spelling stands for."""
    chunks = [chunk for chunk in spelled.split("-") if chunk]
    phones: list[str] = []
    starts: list[int] = []
    stress: list[int] = []
    for i, chunk in enumerate(chunks):
        degree = _degree(chunk) if len(chunks) > 1 else 1
        starts.append(len(phones))
        stress.append(degree)
        for _, sounds in read_syllable(chunk.lstrip("ˈ"), i == 0, degree > 0, table):
            if len(phones) > starts[-1] and is_mark(sounds[0]):
                phones[-1] += sounds[0]
            else:
                phones += sounds
    return Word(tuple(phones), tuple(starts), tuple(stress))


def _degree(chunk: str) -> int:
    """Stress of a written syllable: 1 for capitals or a stress mark, 0 for small letters."""
    letters = [sign for part in chunk.split("/")[::2] for sign in part if sign in _LETTERS]
    return int(chunk[0] == "ˈ" or bool(letters) and letters[0] in _UPPER)


def respell(ipa: str, language: str = "en-US") -> str:
    """Plain spelling of one or several words in IPA. Spanish has its own letters, every other language the English.

    A stressed syllable is in capitals in words of two or more syllables; a second stress is not shown. A symbol
    without a spelling is kept as itself; a word that cannot be read as IPA at all is returned as it was typed. Cuts
    written with a dot become hyphens, as all cuts do; marks of doubt are not shown.
    """
    spelled = []
    for token in ipa.split():
        reading = read(token, language)
        words = () if reading.problems or reading.ipa == "xxx" else reading.words
        spelled += [respell_word(word, language) for word in words] or [token]
    return " ".join(spelled)
