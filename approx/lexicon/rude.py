"""What a family would not want to hear or read: rude sounds and rude spellings, by language and variety.

Rows are data (`rules/lexicon/rude_*.tsv`, `rude_spellings.tsv`), each with its kind, strength and reason. Sounds are
compared without stress; a slur is never spelled out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal, cast

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.homophones import sounds_only
from approx.lexicon.spelling import base_language

Strength = Literal["never", "laughed_at"]
"""`never`: not offered while another form is near; `laughed_at`: warned of, another form as near is better."""

RUDE_LANGUAGES = ("en", "es")
_A_SLUR = {"en": "a slur", "es": "un insulto a un grupo de personas"}
# A family hears one sound in these: x and a soft h in Spanish.
_HEARD_ALIKE = {"es": str.maketrans({"h": "x"}), "en": str.maketrans({})}


@dataclass(frozen=True, slots=True)
class RudeNote:
    """One reason: what it is heard or read as (a slur is only named so), its kind, strength and remark.

    `by_spelling`: the sounds are clean, the letters are not.
    """

    heard_as: str
    kind: str
    strength: Strength
    note: str
    by_spelling: bool = False


@dataclass(frozen=True, slots=True)
class _Row:
    sounds: str
    match: str
    regions: frozenset[str] | None
    note: RudeNote


@dataclass(frozen=True, slots=True)
class _Table:
    """Rows of one language: those of a whole form by their sounds, the others one by one."""

    whole: dict[str, tuple[_Row, ...]]
    longer: tuple[_Row, ...]


def rude_sounds(ipa: str, language: str = "en-US", adult: str = "") -> tuple[RudeNote, ...]:
    """What a form, or a phrase with blanks, is heard as; strongest first, () if clean or the language has no table.

    A phrase is checked word by word, each two neighbours as one, and all together. `adult`: the adult form of the word
    (the words) aimed at, which needs no warning for itself.
    """
    if " " not in ipa and " " not in adult:
        form = sounds_only(ipa)
        notes = _heard(form, language) if form != sounds_only(adult) else ()
        return _sorted(notes) if notes else ()
    said = tuple(sounds_only(word) for word in ipa.split())
    aimed = tuple(sounds_only(word) for word in adult.split())
    if len(aimed) != len(said):
        aimed = ("",) * len(said)
    pairs = zip(_runs(said), _runs(aimed), strict=True)
    return _sorted([note for form, own in dict.fromkeys(pairs) if form != own for note in _heard(form, language)])


@lru_cache(maxsize=8192)
def rude_word(ipa: str, language: str = "en-US") -> bool:
    """Whether an adult word is heard as a rude one, words of need (potty, pee) aside: "hoe" is not practised unasked."""
    return any(note.kind != "bodily" for note in rude_sounds(ipa, language))


def rude_spelling(spelled: str, language: str = "en-US") -> tuple[RudeNote, ...]:
    """What a plain spelling reads as: the whole of it without hyphens, and each piece between them."""
    tag = base_language(language)
    if tag not in RUDE_LANGUAGES:
        return ()
    table = _spellings(tag)
    found: list[RudeNote] = []
    for word in spelled.lower().replace("·", "").split():
        pieces = word.split("-")
        found += [note for _, note in table.get("".join(pieces), ())]
        if len(pieces) > 1:
            found += [note for piece in pieces for match, note in table.get(piece, ()) if match == "piece"]
    return _sorted(found) if found else ()


def off_family_page(
    ipa: str, spelled: str, language: str = "en-US", adult: str = "", adult_spelled: str = ""
) -> tuple[RudeNote, ...]:
    """Why a form is left off a page for a family or teacher until the clinician confirms it; () if it may be printed.

    Form and spelling of the word aimed at itself may always stand: a family that works on "potty" wants it.
    """
    spelling = rude_spelling(spelled, language) if spelled.lower() != adult_spelled.lower() else ()
    own = sounds_only(ipa) == sounds_only(adult) and bool(adult)
    return _sorted((*rude_sounds(ipa, language, adult), *(() if own else spelling)))


def _runs(words: tuple[str, ...]) -> tuple[str, ...]:
    """Each word, each two neighbours run together, and all of them."""
    pairs = tuple("".join(pair) for pair in zip(words, words[1:]))
    return (*words, *pairs, *(("".join(words),) if len(words) > 2 else ()))


@lru_cache(maxsize=65536)
def _heard(sounds: str, language: str) -> tuple[RudeNote, ...]:
    tag = base_language(language)
    if tag not in RUDE_LANGUAGES or not sounds:
        return ()
    table, region = _table(tag), _region(language)
    form = sounds.translate(_HEARD_ALIKE[tag])
    longer = [
        row for row in table.longer if row.sounds in form and (row.match != "start" or form.startswith(row.sounds))
    ]
    rows = (*table.whole.get(form, ()), *longer)
    return tuple([row.note for row in rows if row.regions is None or not region or region in row.regions])


def _sorted(notes: Sequence[RudeNote]) -> tuple[RudeNote, ...]:
    return tuple(sorted(dict.fromkeys(notes), key=lambda note: note.strength != "never"))


@cache
def _region(language: str) -> str:
    """The region of a tag where the tables know it, "" where not: then every variety counts."""
    parts = language.replace("_", "-").upper().split("-")[1:]
    known = _regions(base_language(language))
    return next((part for part in parts if any(part in regions for regions in known.values())), "")


@cache
def _regions(tag: str) -> dict[str, frozenset[str]]:
    rows = read_tsv(rules_path("lexicon/rude_varieties.tsv"))
    return {row["variety"]: frozenset(row["regions"].split()) for row in rows if row["language"] == tag}


@cache
def _table(tag: str) -> _Table:
    whole: dict[str, list[_Row]] = {}
    longer: list[_Row] = []
    for item in read_tsv(rules_path(f"lexicon/rude_{tag}.tsv")):
        regions = None if item["variety"] == "general" else _regions(tag)[item["variety"]]
        sounds = sounds_only(item["form"])
        row = _Row(sounds, item["match"], regions, _note(item, tag))
        if item["match"] in ("start", "part"):
            longer.append(row)
        else:
            whole.setdefault(sounds, []).append(row)
        if item["match"] == "repeated":
            whole.setdefault(sounds * 2, []).append(row)
    return _Table({sounds: tuple(rows) for sounds, rows in whole.items()}, tuple(longer))


@cache
def _spellings(tag: str) -> dict[str, tuple[tuple[str, RudeNote], ...]]:
    out: dict[str, tuple[tuple[str, RudeNote], ...]] = {}
    for item in read_tsv(rules_path("lexicon/rude_spellings.tsv")):
        if item["language"] == tag:
            note = _note(item, tag, by_spelling=True)
            out[item["spelling"]] = (*out.get(item["spelling"], ()), (item["match"], note))
    return out


def _note(item: dict[str, str], tag: str, by_spelling: bool = False) -> RudeNote:
    slur = item["kind"] == "slur"
    said = _A_SLUR[tag] if slur else item["spelling"]
    remark = "" if slur else item["note"]
    return RudeNote(said, item["kind"], cast(Strength, item["strength"]), remark, by_spelling)
