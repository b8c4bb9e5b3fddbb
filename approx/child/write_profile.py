"""An inventory as `child.toml`: a profile the clinician checks and changes, that the reader takes as it stands; and what is
entered in the text of such a file afterwards, all else, remarks too, staying as typed.

What the sample cannot tell is said in remarks, and untested is kept apart from absent."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence

from approx.child.inventory import Inventory, ItemCount
from approx.child.profile import POSITIONS, STATUSES, WordHeard
from approx.ipa import read
from approx.wording import counted

_HAVE = ("established", "emerging")
_MOST_SYLLABLES = 9
_LINE = 116


def write_profile(
    inventory: Inventory,
    code: str = "X01",
    age: str = "",
    language: str = "",
    heard: Sequence[str] = ("[heard]",),
    changes: Sequence[str] = ("[changes]",),
) -> str:
    """The text of a child file. `age` as years;months, "" to leave it open; `language` by default the sample's.

    Behind each established or emerging item stand its tokens and different words (7/3). `heard`, `changes`: the lines of
    these sections (`approx.child.write_profile`).
    """
    tag = language or inventory.language
    return "\n".join(
        [
            *_head(inventory, code, age, tag),
            *_consonants(inventory, tag),
            "",
            "[vowels]",
            *_status_lines("", inventory.vowels, tag),
            *_left_out(inventory.vowels, tag),
            "",
            *_syllables(inventory, tag),
            "",
            "[chosen]                  # your own decisions; they win over every suggestion",
            '# spoon = "pun"',
            "",
            "# What was heard for each word, and how often of its trials.",
            *heard,
            "",
            "# What was said for a sound that stands alone, for a cluster and for a weak syllable, commonest first, each with the",
            "# number of different words; heard in one word only, or in less than a quarter, it is evidence, no rule.",
            *changes,
            "",
        ]
    )


def _head(found: Inventory, code: str, age: str, tag: str) -> list[str]:
    lines = [
        f"# What this child was heard to say: {counted(found.forms, 'form')} of {counted(found.words, 'different word')}"
        + (f", {found.without_word} of them without a known word." if found.without_word else "."),
        f"# Established: {found.criterion}. Heard less often: emerging.",
        f"# Source of the criterion: {found.criterion.source or 'set by hand'}.",
        "# Numbers behind # are tokens/different words. Tried and never heard: absent. No adult word asked for it: untested.",
    ]
    if found.unidentified:
        lines.append(f"# Sounds heard, not identified: {found.unidentified}; they count in shapes only.")
    lines += [
        f'code     = "{_quoted(code)}"',
        f'age      = "{_quoted(age)}"',
        f'language = "{tag}"',
        "accent   = []",
        "",
    ]
    return lines


def _consonants(found: Inventory, tag: str) -> list[str]:
    lines = ["[consonants]"]
    shapes, have = _fitting(found, tag)
    closed = any(cell.item.endswith("C") for cell in shapes)
    for position in POSITIONS:
        cells = [cell for cell in found.consonants if cell.place == position]
        if position == "final" and not closed:
            # beside a cluster in doubt: the sound is certain, the shape it stood in is not
            heard = [f"{cell.item} {_numbers(cell)}" for cell in cells if cell.status in _HAVE]
            lines += _wrapped("heard at the end, but in no shape for certain: ", heard)
            cells = [cell for cell in cells if cell.status not in _HAVE]
        lines += [*_status_lines(f"{position}.", cells, tag), *_left_out(cells, tag)]
    entries = [
        f'"{cell.item.replace(" ", "")} {cell.place}{" emerging" if cell.status == "emerging" else ""}"'
        for cell in have
    ]
    remark = "   # " + ", ".join(f"{_joined(cell)} {_numbers(cell)}" for cell in have) if have else ""
    lines.append(f"clusters = [{', '.join(entries)}]{remark}")
    unsure = [
        f"{_joined(cell)} {cell.place} {_numbers(cell)}" for cell in found.clusters if cell.tokens and cell not in have
    ]
    lines += _wrapped("heard too, in no shape for certain, or to be entered by hand: ", unsure)
    never = [f"{_joined(cell)} {cell.place}" for cell in found.clusters if cell.status == "absent"]
    return lines + _wrapped("clusters tried, never heard: ", never)


def _fitting(found: Inventory, tag: str) -> tuple[list[ItemCount], list[ItemCount]]:
    """Shapes and clusters heard that bear each other out: no shape without its cluster, no cluster without room.

    They differ from all those heard only where a doubt touches a syllable.
    """
    shapes = [cell for cell in found.shapes if cell.status in _HAVE and "V" in cell.item]
    clusters = [cell for cell in found.clusters if cell.status in _HAVE and _writable(cell, tag)]
    while True:
        kept = [cell for cell in shapes if _has_cluster(cell.item, clusters)]
        room = [cell for cell in clusters if _has_room(cell, kept)]
        if (kept, room) == (shapes, clusters):
            return shapes, clusters
        shapes, clusters = kept, room


def _writable(cluster: ItemCount, tag: str) -> bool:
    """True if a cluster is read back as the same sounds, all of which can be written too."""
    sounds = tuple(cluster.item.split())
    return _reads_back("".join(sounds), sounds, tag) and all(_clean(sound, tag) for sound in sounds)


def _margins(shape: str) -> tuple[int, int]:
    return len(shape) - len(shape.lstrip("C")), len(shape) - len(shape.rstrip("C"))


def _has_cluster(shape: str, clusters: Iterable[ItemCount]) -> bool:
    """True if the runs of a shape are each as long as some cluster, or single."""
    start, end = _margins(shape)
    sizes = {
        side: {len(cell.item.split()) for cell in clusters if cell.place in (side, "medial")}
        for side in ("initial", "final")
    }
    return (start < 2 or start in sizes["initial"]) and (end < 2 or end in sizes["final"])


def _has_room(cluster: ItemCount, shapes: Iterable[ItemCount]) -> bool:
    """True if some shape has a run of this length where the cluster stands."""
    margins = [_margins(cell.item) for cell in shapes]
    wanted = {"initial": {start for start, _ in margins}, "final": {end for _, end in margins}}
    size = len(cluster.item.split())
    return size in wanted.get(cluster.place, wanted["initial"] | wanted["final"])


def _syllables(found: Inventory, tag: str) -> list[str]:
    fitting = _fitting(found, tag)[0]
    known = [cell for cell in found.shapes if "V" in cell.item and (cell.status not in _HAVE or cell in fitting)]
    unsure = [cell for cell in found.shapes if cell.status in _HAVE and cell not in fitting]
    lines = ["[syllables]"]
    for status in STATUSES:
        some = [cell for cell in known if cell.status == status]
        if some or status in _HAVE:
            items = ", ".join(f'"{cell.item}"' for cell in some)
            remark = ", ".join(f"{cell.item} {_numbers(cell)}" for cell in some) if status in _HAVE else ""
            lines.append(f"{status} = [{items}]" + (f"   # {remark}" if remark else ""))
    if unsure:
        odd = [f"{cell.item} {_numbers(cell)}" for cell in unsure]
        lines += _wrapped("heard, but not entered (no vowel, or none of its clusters for certain): ", odd)
    lengths = ", ".join(f"{cell.item} {_numbers(cell)}" for cell in sorted(found.lengths, key=lambda c: int(c.item)))
    most = min(found.max_syllables, _MOST_SYLLABLES)
    lines.append(f"max_syllables = {most}" + (f"   # by length: {lengths}" if lengths else ""))
    kinds = ", ".join(f"{name} {words}" for name, words in found.variety_words)
    judged = (
        f"different words of two or more syllables: {kinds}" if kinds else "untested: no word of two or more syllables"
    )
    lines.append(f'variety = "{found.variety}"   # {judged}')
    return lines


def _status_lines(prefix: str, cells: Iterable[ItemCount], tag: str) -> list[str]:
    """One line a status; the first two always, so that the clinician sees where to write."""
    lines = []
    kept = [cell for cell in cells if _clean(cell.item, tag)]
    for status in STATUSES:
        some = [cell for cell in kept if cell.status == status]
        if some or status in _HAVE:
            line = f'{prefix}{status} = "{" ".join(cell.item for cell in some)}"'
            if some and status in _HAVE:
                line += "   # " + ", ".join(f"{cell.item} {_numbers(cell)}" for cell in some)
            lines.append(line)
    return lines


def _left_out(cells: Iterable[ItemCount], tag: str) -> list[str]:
    """Sounds that a child file cannot hold as they stand: shown in a remark, never dropped."""
    odd = [f"{cell.item} {_numbers(cell)}" for cell in cells if cell.tokens and not _clean(cell.item, tag)]
    return _wrapped("heard too, to be entered by hand: ", odd)


def _clean(sound: str, tag: str) -> bool:
    return _reads_back(sound, (sound,), tag)


def _reads_back(typed: str, sounds: tuple[str, ...], tag: str) -> bool:
    """True if the text is read as just these sounds, without doubt or change."""
    reading = read(typed, tag)
    return (
        not reading.problems
        and len(reading.words) == 1
        and reading.words[0].phones == sounds
        and not reading.words[0].doubtful
        and all(change.typed == change.read for change in reading.changes)
    )


def _numbers(cell: ItemCount) -> str:
    doubt = f" and {cell.doubtful} in doubt" if cell.doubtful else ""
    return f"{cell.tokens}/{cell.words}{doubt}"


def _joined(cell: ItemCount) -> str:
    return "".join(cell.item.split())


def _wrapped(title: str, items: list[str]) -> list[str]:
    """Remark lines, none where there is nothing to say."""
    lines: list[str] = []
    line = "# " + title
    for number, item in enumerate(items):
        piece = item + (", " if number + 1 < len(items) else "")
        if len(line) + len(piece) > _LINE:
            lines.append(line.rstrip())
            line = "#   "
        line += piece
    return [*lines, line.rstrip()] if items else []


def _quoted(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"')


PROFILE_TEMPLATE = """\
# What one child can say today. Text after # is a remark. Sounds are IPA, set apart by blanks.
code     = "{code}"          # a code of your own, never a name
age      = "3;0"          # years;months
language = "{language}"        # language tag (BCP 47)
languages = []            # other languages of this child, such as ["es-MX"]
interests = []            # words and categories this child loves, such as ["truck", "animals"]
accent   = []             # rule files in rules/accents/ whose forms count as right

[consonants]              # status by position: established, emerging, absent or untested
all.established     = "{consonants}"   # "all" fills the positions that have no line of their own
all.emerging        = ""
final.established   = ""                # initial, medial and final can be named
clusters            = []                # such as ["sp initial", "nd final"]

[vowels]
established = "{vowels}"
emerging    = ""

[syllables]
established   = ["V", "CV"]             # C consonant, V vowel or diphthong: "VC", "CVC", "CCV", ...
emerging      = []
max_syllables = 2
variety       = "any"     # "same" (mama), "same consonant" (mommy, baby) or "any"

[chosen]                  # your own decisions; they win over every suggestion
# spoon = "pun"

[heard]                   # what this child was heard to say for a word; the date may be left away
# soup = {{ form = "tup", date = 2026-03-02 }}

[changes]                 # what this child says for a sound, commonest first; ∅ where it is left off
# "s initial" = "h t"     # initial, medial, final; without a position: everywhere
# "sp initial" = "p"      # a cluster: what stays of it; "f" for two said as one, "səp" with a vowel put in
# "weak initial" = "∅"    # a weak syllable: before the stress, medial, final; "again": the stressed one in its place

[readings]                # how this family says a word, where it is not the first reading
# read = "ɹid"

[people]                  # who is in this child's life, and what each is called by: she, he or they
# Bo = "they"
"""


_FIRST_SOUNDS = {"en": ("m b p n d h w", "i ɪ ɛ æ ɑ ɔ ʌ ə u oʊ eɪ aɪ"), "": ("m b p n d t", "i e a o u")}
"""Consonants and vowels a template lists, to be changed: by language, "" for every other (common practice, no source)."""


def template(code: str = "X01", language: str = "en-US") -> str:
    """The text of a new child file; it reads without a problem as it stands."""
    consonants, vowels = _FIRST_SOUNDS.get(language[:2].lower(), _FIRST_SOUNDS[""])
    return PROFILE_TEMPLATE.format(code=code, language=language, consonants=consonants, vowels=vowels)


_BARE = re.compile(r"[A-Za-z0-9_-]+")


def heard_lines(heard: Mapping[str, WordHeard], remarks: Mapping[str, str] | None = None) -> list[str]:
    """The section [heard] as lines; `remarks` by word go behind."""
    return ["[heard]", *_lines({word: heard_value(each) for word, each in heard.items()}, remarks or {})]


def change_lines(
    changes: Mapping[tuple[str, str], Sequence[str]], times: Mapping[tuple[str, str], Sequence[int]] | None = None
) -> list[str]:
    """The section [changes] as lines; `times`: in how many words each form was heard, where that is known."""
    values = {
        " ".join(filter(None, key)): json.dumps(said_value(said, (times or {}).get(key, ())), ensure_ascii=False)
        for key, said in changes.items()
    }
    return ["[changes]", *_lines(values, {})]


def said_value(said: Sequence[str], times: Sequence[int] = ()) -> str:
    """What is said for a sound as it stands in [changes]: `h t`, or `h 4, t 2` with the number of words of each."""
    return ", ".join(f"{form} {number}" for form, number in zip(said, times)) if times else " ".join(said)


def heard_value(heard: WordHeard) -> str:
    """What was heard as an inline table."""
    day = f", date = {heard.date}" if heard.date else ""
    return f"{{ form = {json.dumps(heard.form, ensure_ascii=False)}{day} }}"


def _lines(values: Mapping[str, str], remarks: Mapping[str, str]) -> list[str]:
    return [
        f"{_key(key)} = {value}" + (f"   # {remarks[key]}" if key in remarks else "") for key, value in values.items()
    ]


def _key(label: str) -> str:
    return label if _BARE.fullmatch(label) else json.dumps(label, ensure_ascii=False)
