"""The tables under `rules/` that a clinician may change: rows whole, keys once, every form readable IPA."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from approx.datafiles import rules_folder
from approx.ipa import features as ft
from approx.ipa import read
from approx.problems import Problem

PROVENANCE = ("text", "text, secondary", "from memory", "common practice, no source", "computed")
"""How a published value came into a table of norms."""

_CITED = re.compile(r"source|\b(19|20)\d\d\b", re.IGNORECASE)
"""What a remark above a table says where the table is from: the word source, or a year."""


@dataclass(frozen=True, slots=True)
class TableRule:
    """What one table must hold: columns that name a row together, columns of IPA (forms parted by |)."""

    key: tuple[str, ...]
    ipa: tuple[str, ...] = ()
    language: str = "en-US"


_SHAPES = {
    "ipa/features.tsv": TableRule(("symbol",), ("symbol",), "und"),
    "ipa/marks.tsv": TableRule(("mark",)),
    "ipa/lookalikes.tsv": TableRule(("typed", "language"), ("read",), "und"),
    "ipa/xsampa.tsv": TableRule(("xsampa",), ("ipa",), "und"),
    "lexicon/arpabet.tsv": TableRule(("arpabet",), ("ipa",)),
    "lexicon/en.tsv": TableRule(("word", "part_of_speech", "category", "ipa"), ("ipa",)),
    "lexicon/es.tsv": TableRule(("word", "part_of_speech", "category", "ipa"), ("ipa",), "es"),
    "lexicon/english_list.tsv": TableRule(("word",), ("ipa",)),
    "lexicon/endings.tsv": TableRule(("ending", "undo"), ("sounds",)),
    "lexicon/frequency.tsv": TableRule(("word",)),
    "lexicon/function_words.tsv": TableRule(("word",), ("strong", "weak")),
    "lexicon/letters.tsv": TableRule(("letters", "before", "after"), ("sounds",)),
    "lexicon/signs.tsv": TableRule(("sign",)),
    "norms/consonant_ages.tsv": TableRule(
        ("language", "variety", "sound", "position", "sex", "source"), ("sound",), "und"
    ),
    "norms/process_ages.tsv": TableRule(("language", "process", "named", "detail", "source")),
}


def table_files() -> list[Path]:
    """Every table of `rules/` that is checked, in a fixed order."""
    folder = rules_folder()
    return [
        *sorted(folder.glob("*/*.tsv")),
        *sorted(folder.glob("languages/*.toml")),
        folder / "ipa" / "classes.toml",
    ]


def table_faults(processes: frozenset[str] = frozenset()) -> Iterator[Problem]:
    """Every fault in the tables of `rules/`; `processes` are the names that a table of norms may use."""
    folder = rules_folder()
    for path in table_files():
        name = path.relative_to(folder).as_posix()
        if path.suffix == ".tsv":
            yield from tsv_faults(path, _SHAPES.get(name, TableRule(())), processes)
        elif name == "ipa/classes.toml":
            yield from _toml_faults(path, _class_faults)
        else:
            yield from _toml_faults(path, _language_faults)


def tsv_faults(path: Path, shape: TableRule, processes: frozenset[str] = frozenset()) -> Iterator[Problem]:
    """Faults of one table parted by tabs: rows, source, doubled keys, IPA; ages and provenance in norms."""
    fault = partial(Problem, file=str(path))
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        yield fault("data.file", f"cannot read: {getattr(error, 'strerror', None) or 'not UTF-8 text'}")
        return
    rows = [(number, line.split("\t")) for number, line in enumerate(lines, 1) if line and line[0] != "#"]
    if not rows:
        yield fault("data.empty", "no header row", "the first line without # names the columns", line=1)
        return
    head_line, header = rows[0]
    missing = [column for column in (*shape.key, *shape.ipa) if column not in header]
    if missing:
        yield fault("data.column", f"no column {', '.join(missing)}", "columns are parted by tabs", line=head_line)
        return
    if not {"source", "remark", "why"} & {*header} and not _CITED.search(" ".join(lines[: head_line - 1])):
        hint = "say in a line with # above it, or in a column `source`, where the table is from"
        yield fault("data.source", "no source", hint, line=head_line)
    key_at = [header.index(column) for column in shape.key]
    ipa_at = [header.index(column) for column in shape.ipa]
    seen: dict[tuple[str, ...], int] = {}
    norms, symbols = path.parent.name == "norms", path.parent.name == "ipa"
    for line, cells in rows[1:]:
        if len(cells) != len(header):
            yield fault(
                "data.row",
                f"{len(cells)} cells, the header has {len(header)}",
                "cells are parted by tabs",
                line=line,
            )
            continue
        key = tuple(cells[at] for at in key_at)
        if key and seen.setdefault(key, line) != line:
            said = " ".join(filter(None, key))
            yield fault("data.twice", f"'{said}' is written twice", f"the first is on line {seen[key]}", line=line)
        for at in ipa_at:
            yield from (problem.at(str(path), line) for problem in ipa_faults(cells[at], shape.language, symbols))
        if norms:
            for message, hint in _norm_faults(dict(zip(header, cells, strict=True)), processes):
                yield fault("data.norm", message, hint, line=line)


def panphon_remarks() -> Iterator[Problem]:
    """Where our table of features departs from that of the panphon that is installed: a remark a segment, none where it is not."""
    from approx.ipa.panphon_table import panphon_segments, panphon_version

    file = str(rules_folder() / "ipa" / "features.tsv")
    for segment, theirs in panphon_segments().items():
        ours = ft.features(segment)
        apart = [name for name, value in zip(ft.FEATURES, ours or ()) if theirs[name] != value]
        if apart or ours is None:
            said = f"differs in {', '.join(apart)}" if apart else "is not in our table"
            message = f"'{segment}' {said} from the table of panphon {panphon_version()}"
            hint = "our table is of panphon 0.22.2; take over its row, or say above the table why not"
            yield Problem("data.panphon", message, hint, file, symbol=segment, fatal=False)


def ipa_faults(cell: str, language: str, symbols: bool = False) -> Iterator[Problem]:
    """What cannot be read in a cell of IPA. An empty cell and a dash are no forms and pass.

    `symbols`: the cell holds one symbol, which may be a mark that only means something beside a sound.
    """
    for form in cell.split("|"):
        lone_mark = symbols and not any(unicodedata.category(char) in ("Ll", "Lo", "Lu") for char in form)
        if form in ("", "-") or lone_mark:
            continue
        for problem in read(form, language).problems:
            yield Problem("data.ipa", problem.message, problem.hint, symbol=problem.symbol)


def _norm_faults(row: dict[str, str], processes: frozenset[str]) -> Iterator[tuple[str, str]]:
    if not row.get("source", "").strip():
        yield "no source", "every published value has author, year and place beside it"
    if row.get("provenance") not in PROVENANCE:
        yield f"provenance '{row.get('provenance', '')}'", "one of: " + "; ".join(PROVENANCE)
    for column, cell in row.items():
        if column.endswith("_months") and cell and not (cell.isdecimal() and int(cell) <= 216):
            yield f"{column} is '{cell}'", "whole months up to 216 (3;6 is 42), or nothing"
    low, high = row.get("band_low_months", ""), row.get("band_high_months", "")
    if low.isdecimal() and high.isdecimal() and int(low) > int(high):
        yield f"the band runs from {low} to {high} months", "write the lower age first"
    for name in filter(None, row.get("process", "").split("|")):
        if processes and name not in processes:
            yield f"'{name}' is not a process", "`approx list processes` prints the names"


def _toml_faults(path: Path, check: Callable[[dict[str, Any]], Iterator[tuple[str, str]]]) -> Iterator[Problem]:
    import tomllib

    try:
        text = path.read_text(encoding="utf-8")
        table = tomllib.loads(text)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        yield Problem("data.file", f"cannot read: {error}", "the file is TOML in UTF-8", str(path))
        return
    if not str(table.get("source", "")).strip():
        yield Problem("data.source", "no source", 'add a line: source = "..."', str(path), 1)
    lines = text.splitlines()
    for key, message in check(table):
        at = next((number for number, line in enumerate(lines, 1) if key in line.replace('"', " ").split()), 1)
        yield Problem("data.sound", message, "rules/ipa/features.tsv and marks.tsv hold the sounds", str(path), at)


def _class_faults(table: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for name, spec in table.get("classes", {}).items():
        if spec.startswith("["):
            try:
                ft.parse_bundle(spec)
            except KeyError as error:
                yield name, f"class '{name}': {error} is not a feature with its sign"
        else:
            yield from ((name, f"class '{name}': '{s}' is not a sound") for s in spec.split() if ft.features(s) is None)


def _language_faults(table: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """A language's sounds must be known, and its onsets must be made of its own consonants."""
    sounds: dict[str, list[str]] = {}
    for key in ("consonants", "vowels", "diphthongs", "affricates"):
        if not isinstance(table.get(key), str):
            yield key, f"no {key}"
            continue
        sounds[key] = table[key].split()
        yield from ((key, f"'{sound}' is not a sound") for sound in sounds[key] if ft.features(sound) is None)
        yield from ((key, f"'{s}' is written twice") for s in set(sounds[key]) if sounds[key].count(s) > 1)
    own = {*sounds.get("consonants", ()), *sounds.get("affricates", ())}
    for onset in table.get("onsets", "").split() if sounds.get("consonants") else ():
        strange = [sound for word in read(onset, "und").words for sound in word.phones if sound not in own]
        yield from ((onset, f"onset '{onset}': '{sound}' is not a consonant of this language") for sound in strange)
    for typed, meant in table.get("respelled", {}).items():
        if meant not in sounds.get("diphthongs", ()):
            yield typed, f"'{typed}' is read as '{meant}', which is not a diphthong of this language"
