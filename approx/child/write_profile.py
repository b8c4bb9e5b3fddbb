"""An inventory as `child.toml`: a profile the clinician checks and changes, that the reader takes as it stands.

What the sample cannot tell is said in remarks, and untested is kept apart from absent.
"""

from __future__ import annotations

from collections.abc import Iterable

from approx.child.inventory import Cell, Inventory
from approx.child.profile import POSITIONS, STATUSES
from approx.ipa import read

_HAVE = ("established", "emerging")
_MOST_SYLLABLES = 9
_LINE = 116


def write_profile(inventory: Inventory, code: str = "X01", age: str = "", language: str = "") -> str:
    """The text of a child file. `age` as years;months, "" to leave it open; `language` by default the sample's.

    Behind each established or emerging item stand its tokens and different words (7/3).
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
        ]
    )


def _head(found: Inventory, code: str, age: str, tag: str) -> list[str]:
    lines = [
        f"# What this child was heard to say: {found.forms} forms of {found.words} different words"
        + (f", {found.without_word} of them without a known word." if found.without_word else "."),
        f"# Established: {found.criterion}. Heard less often: emerging.",
        f"# Source of the criterion: {found.criterion.source or 'set by hand'}.",
        "# Numbers behind # are tokens/different words. Tried and never heard: absent. No adult word asked for it: untested.",
    ]
    if found.unidentified:
        lines.append(f"# Sounds heard, not identified: {found.unidentified}; they count in shapes only.")
    lines += [f'code     = "{_quoted(code)}"', f'age      = "{_quoted(age)}"', f'language = "{tag}"', "accent   = []", ""]
    return lines


def _consonants(found: Inventory, tag: str) -> list[str]:
    lines = ["[consonants]"]
    for position in POSITIONS:
        cells = [cell for cell in found.consonants if cell.place == position]
        lines += [*_status_lines(f"{position}.", cells, tag), *_left_out(cells, tag)]
    have = [cell for cell in _clusters(found, tag) if cell.status in _HAVE]
    entries = [
        f'"{cell.item.replace(" ", "")} {cell.place}{" emerging" if cell.status == "emerging" else ""}"' for cell in have
    ]
    remark = "   # " + ", ".join(f"{_joined(cell)} {_numbers(cell)}" for cell in have) if have else ""
    lines.append(f"clusters = [{', '.join(entries)}]{remark}")
    never = [f"{_joined(cell)} {cell.place}" for cell in found.clusters if cell.status == "absent"]
    return lines + _wrapped("clusters tried, never heard: ", never)


def _clusters(found: Inventory, tag: str) -> list[Cell]:
    """Clusters that can be written: read back as the same sounds, all of which can be written too."""
    return [cell for cell in found.clusters if _reads_back("".join(cell.item.split()), tuple(cell.item.split()), tag)
            and all(_clean(sound, tag) for sound in cell.item.split())]  # fmt: skip


def _syllables(found: Inventory, tag: str) -> list[str]:
    cells = [cell for cell in found.shapes if "V" in cell.item]
    clusters = [cell for cell in _clusters(found, tag) if cell.status in _HAVE]
    known: list[Cell] = []
    unsure: list[Cell] = []
    for cell in cells:
        (known if cell.status not in _HAVE or _has_cluster(cell.item, clusters) else unsure).append(cell)
    lines = ["[syllables]"]
    for status in STATUSES:
        some = [cell for cell in known if cell.status == status]
        if some or status in _HAVE:
            items = ", ".join(f'"{cell.item}"' for cell in some)
            remark = "   # " + ", ".join(f"{cell.item} {_numbers(cell)}" for cell in some) if some and status in _HAVE else ""
            lines.append(f"{status} = [{items}]{remark}")
    if unsure:
        lines += _wrapped("heard, but none of its clusters for certain: ", [f"{c.item} {_numbers(c)}" for c in unsure])
    lengths = ", ".join(f"{cell.item} {_numbers(cell)}" for cell in sorted(found.lengths, key=lambda c: int(c.item)))
    lines.append(f"max_syllables = {min(found.max_syllables, _MOST_SYLLABLES)}" + (f"   # by length: {lengths}" if lengths else ""))
    kinds = ", ".join(f"{name} {words}" for name, words in found.variety_words)
    judged = f"different words of two or more syllables: {kinds}" if kinds else "untested: no word of two or more syllables"
    lines.append(f'variety = "{found.variety}"   # {judged}')
    return lines


def _has_cluster(shape: str, clusters: Iterable[Cell]) -> bool:
    """True if the runs of a shape are each as long as some cluster the profile names, or single."""
    start, end = len(shape) - len(shape.lstrip("C")), len(shape) - len(shape.rstrip("C"))
    sizes = {
        side: {len(cell.item.split()) for cell in clusters if cell.place in (side, "medial")} for side in ("initial", "final")
    }
    return (start < 2 or start in sizes["initial"]) and (end < 2 or end in sizes["final"])


def _status_lines(prefix: str, cells: Iterable[Cell], tag: str) -> list[str]:
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


def _left_out(cells: Iterable[Cell], tag: str) -> list[str]:
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


def _numbers(cell: Cell) -> str:
    doubt = f" and {cell.doubtful} in doubt" if cell.doubtful else ""
    return f"{cell.tokens}/{cell.words}{doubt}"


def _joined(cell: Cell) -> str:
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
