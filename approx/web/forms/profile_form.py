"""A profile as a form of taps and lines, and the form as the text of a child file; with the varieties (`rules/accents/`) to choose
from. Sounds and shapes are tapped; clusters, own changes and forms heard are typed.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import cache
from io import StringIO

from approx.api.options import accents
from approx.api.practice.children import read_child, write_template
from approx.child.profile import POSITIONS, STATUSES, VARIETIES, Profile, Status, WordHeard
from approx.child.write_profile import heard_value, said_value
from approx.ipa.language import language
from approx.problems import Problem
from approx.records.database.rows import StoredChild
from approx.reports.text.profile import manner_of, place_column
from approx.web.server.posted import Posted
from approx.wording import worded

_SIGN = re.compile(r"\s*[:=→]\s*")
_DAY = re.compile(r"(.*\S)\s+(\d{4}-\d{2}-\d{2})")


@cache
def accents_by_language() -> dict[str, tuple[str, ...]]:
    """Names of the varieties of each language, by its primary tag."""
    found: dict[str, tuple[str, ...]] = {}
    for name, tag in accents().items():
        found[tag] = (*found.get(tag, ()), name)
    return found


def accents_for(child: StoredChild) -> tuple[str, ...]:
    """What can be chosen: the varieties of the child's languages, and what was chosen before."""
    tags = dict.fromkeys(tag.partition("-")[0] for tag in child.languages)
    listed = [name for tag in tags for name in accents_by_language().get(tag, ())]
    return tuple(dict.fromkeys((*listed, *child.accents)))


def accents_chosen(ticked: Iterable[str], child: StoredChild) -> Sequence[str]:
    """Those ticked of what could be ticked, in the order of the page."""
    wanted = set(ticked)
    return tuple(name for name in accents_for(child) if name in wanted)


SHAPES = ("V", "CV", "VC", "CVC", "CCV", "CCVC", "VCC", "CVCC", "CCVCC")
"""Syllable shapes that can be tapped, simple ones first (common practice, no source); others of a profile follow."""

_PLACES = ("labial", "dental", "alveolar", "palatal", "velar", "glottal", "other")
MANNERS = ("stop", "affricate", "fricative", "nasal", "liquid", "glide", "other")
_LISTED: tuple[Status, ...] = ("established", "emerging", "untested")


@dataclass(frozen=True, slots=True)
class Tap:
    """One thing that can be tapped: its field in the form, what it shows, its status now."""

    field: str
    shown: str
    status: Status


@dataclass(frozen=True, slots=True)
class Chart:
    """Consonants of one position: places in order, and a row for each manner with the taps of each place."""

    position: str
    places: tuple[str, ...]
    rows: tuple[tuple[str, tuple[tuple[Tap, ...], ...]], ...]


def profile_of(text: str) -> Profile:
    """The profile in a stored text, which was checked when it was saved."""
    profile = read_child(StringIO(text)).profile
    if profile is None:
        raise ValueError("a stored text is no child file")
    return profile


def untested_profile(code: str, age: str, tag: str) -> Profile:
    """A profile to begin with: nothing tested yet."""
    known = language(tag)
    consonants: dict[str, Mapping[str, Status]] = {
        position: dict.fromkeys(known.consonants_at(position), "untested") for position in POSITIONS
    }
    return Profile(
        code=code, age=age, language=tag, consonants=consonants,
        vowels=dict.fromkeys(known.vowels, "untested"), shapes=dict.fromkeys(SHAPES, "untested"), max_syllables=2,
    )  # fmt: skip


def common_start(code: str, tag: str) -> Profile:
    """A profile with the sounds that the template of a child file lists, to be checked."""
    text = StringIO()
    write_template(text, code=code, language=tag)
    return profile_of(text.getvalue())


def charts(profile: Profile) -> list[Chart]:
    """The consonants by position, place and manner: those that words have there, and what the child has beyond them."""
    out = []
    for position in POSITIONS:
        have = profile.consonants.get(position, {})
        cells: dict[tuple[str, str], list[Tap]] = {}
        for sound in dict.fromkeys((*language(profile.language).consonants_at(position), *have)):
            tap = Tap(f"consonant {position} {sound}", sound, have.get(sound, "absent"))
            cells.setdefault((manner_of(sound), place_column(sound)), []).append(tap)
        places = tuple(place for place in _PLACES if any(at == place for _, at in cells))
        manners = [manner for manner in MANNERS if any(at == manner for at, _ in cells)]
        rows = [(manner, tuple(tuple(cells.get((manner, place), ())) for place in places)) for manner in manners]
        out.append(Chart(position, places, tuple(rows)))
    return out


def vowel_taps(profile: Profile) -> list[Tap]:
    """The vowels of the language, and those that the child has beyond it."""
    return _taps("vowel", dict.fromkeys((*language(profile.language).vowels, *profile.vowels)), profile.vowels)


def shape_taps(profile: Profile) -> list[Tap]:
    """The shapes that can be tapped."""
    return _taps("shape", dict.fromkeys((*SHAPES, *profile.shapes)), profile.shapes)


def with_taps(old: Profile, form: Posted) -> Profile:
    """The profile as it was tapped; what the form does not show stays as it was."""
    consonants: dict[str, Mapping[str, Status]] = {}
    for chart in charts(old):
        taps = [tap for _, row in chart.rows for cell in row for tap in cell]
        consonants[chart.position] = _statuses(taps, form)
    return replace(
        old, consonants=consonants,
        vowels=_statuses(vowel_taps(old), form), shapes=_statuses(shape_taps(old), form),
        max_syllables=form.number("max_syllables") or old.max_syllables,
        variety=form.text("variety") if form.text("variety") in VARIETIES else old.variety,
    )  # fmt: skip


def profile_toml(profile: Profile, typed: TypedLines | None = None) -> str:
    """The text of a child file; what is absent is left out, as a child file has it.

    `typed`: clusters, own changes and forms heard as they stand in the text fields, those of the profile if it is None.
    """
    typed = typed or typed_lines(profile)
    lines = [
        f"code     = {_quoted(profile.code)}",
        f"age      = {_quoted(profile.age)}",
        f"language = {_quoted(profile.language)}",
        *([f"languages = [{', '.join(map(_quoted, profile.languages))}]"] if profile.languages else []),
        *([f"interests = [{', '.join(map(_quoted, profile.interests))}]"] if profile.interests else []),
        f"accent   = [{', '.join(map(_quoted, profile.accent))}]",
        "",
        "[consonants]",
    ]
    for position in POSITIONS:
        lines += _status_lines(f"{position}.", profile.consonants.get(position, {}))
    lines += [
        f"clusters = [{', '.join(map(_quoted, typed.cluster_entries()))}]",
        "",
        "[vowels]",
        *_status_lines("", profile.vowels),
    ]
    lines += ["", "[syllables]", *_status_lines("", profile.shapes)]
    lines += [f"max_syllables = {profile.max_syllables}", f"variety = {_quoted(profile.variety)}"]
    for section, forms in (("chosen", profile.chosen), ("readings", profile.readings), ("people", profile.people)):
        if section == "people" and not forms:
            continue
        lines += ["", f"[{section}]", *(f"{_quoted(word)} = {_quoted(form)}" for word, form in forms.items())]
    return "\n".join([*lines, "", *typed.sections()]) + "\n"


def in_hand(profile: Profile) -> list[tuple[str, str, str]]:
    """What the child has and what is coming, a line a part: (name of the part, established, emerging)."""
    parts = [(position, dict(profile.consonants.get(position, {}))) for position in POSITIONS]
    parts += [("vowels", dict(profile.vowels)), ("shapes", dict(profile.shapes))]
    parts.append(("clusters", {f"{''.join(run)} {place}": status for (run, place), status in profile.clusters.items()}))
    return [(name, " ".join(_with(table, "established")), " ".join(_with(table, "emerging"))) for name, table in parts]


def _taps(kind: str, items: Iterable[str], have: Mapping[str, Status]) -> list[Tap]:
    return [Tap(f"{kind} {item}", item, have.get(item, "absent")) for item in items]


def _statuses(taps: Iterable[Tap], form: Posted) -> dict[str, Status]:
    """The status of each tap in the form, as it was where the form says nothing that is known."""
    return {
        tap.shown: next((status for status in STATUSES if status == form.text(tap.field)), tap.status) for tap in taps
    }


def _status_lines(prefix: str, table: Mapping[str, Status]) -> list[str]:
    return [f"{prefix}{status} = {_quoted(' '.join(_with(table, status)))}" for status in _LISTED]


def _with(table: Mapping[str, Status], status: Status) -> list[str]:
    return [item for item, of in table.items() if of == status]


@dataclass(frozen=True, slots=True)
class TypedLines:
    """The three fields as typed. `clusters`: separated by commas; `changes` (s initial: h 4, t 2) and `heard`
    (soup: tup 2026-03-02): a line each."""

    clusters: str
    changes: str
    heard: str

    def cluster_entries(self) -> list[str]:
        """Each cluster as a child file lists it."""
        entries = (" ".join(entry.split()) for entry in self.clusters.replace("\n", ",").split(","))
        return [entry for entry in entries if entry]

    def sections(self) -> list[str]:
        """The sections [heard] and [changes] as lines of a child file. What cannot be read stays in them, to be named there."""
        return [
            "[heard]",
            *(f"{_quoted(word)} = {heard_value(_heard(said))}" for word, said in _entries(self.heard)),
            "",
            "[changes]",
            *(f"{_quoted(sound)} = {_quoted(said)}" for sound, said in _entries(self.changes)),
        ]

    def problems(self) -> tuple[Problem, ...]:
        """Lines without a colon, and what stands on two lines: a child file could not hold them."""
        found: list[Problem] = []
        for text, example in ((self.changes, "s initial: h 4, t 2"), (self.heard, "soup: tup 2026-03-02")):
            hint = worded("one per line, such as {example}", example=example)
            for line in filter(str.strip, text.split("\n")):
                if not all(_parts(line)):
                    found.append(
                        Problem(
                            "child.line", worded("'{line}' has no colon with something on both sides", line=line), hint
                        )
                    )
            times = Counter(" ".join(label.split()) for label, _ in _entries(text))
            found += [
                Problem("child.contradiction", worded("'{label}' is on two lines", label=label), "keep one of the two")
                for label, number in times.items()
                if number > 1
            ]
        return tuple(found)


def typed_lines(profile: Profile) -> TypedLines:
    """The fields as they are filled from a profile."""
    changes = (
        f"{' '.join(filter(None, key))}: {said_value(said, profile.times.get(key, ()))}"
        for key, said in profile.changes.items()
    )
    heard = (f"{word}: {' '.join(filter(None, (each.form, each.date)))}" for word, each in profile.heard.items())
    return TypedLines(", ".join(_clusters(profile)), "\n".join(changes), "\n".join(heard))


def typed_in(form: Posted, before: TypedLines) -> TypedLines:
    """The fields as they came with a form; one that did not come stays as it was before."""
    return replace(before, **{each.name: form.raw(each.name) for each in fields(TypedLines) if form.every(each.name)})


def _clusters(profile: Profile) -> Iterator[str]:
    """The clusters as a child file lists them: `sp initial`, `nd final emerging`."""
    for (run, place), status in profile.clusters.items():
        yield f"{''.join(run)} {place}" + ("" if status == "established" else f" {status}")


def _entries(text: str) -> Iterator[tuple[str, str]]:
    yield from (parts for line in text.split("\n") if all(parts := _parts(line)))


def _parts(line: str) -> tuple[str, str]:
    label, *said = _SIGN.split(line.strip(), maxsplit=1)
    return label, "".join(said)


def _heard(said: str) -> WordHeard:
    found = _DAY.fullmatch(said)
    if found is None:
        return WordHeard(said)
    try:
        date.fromisoformat(found[2])
    except ValueError:
        return WordHeard(said)
    return WordHeard(found[1], found[2])


def _quoted(text: str) -> str:
    """A text in double quotes; JSON writes it as TOML reads it."""
    return json.dumps(text, ensure_ascii=False)
