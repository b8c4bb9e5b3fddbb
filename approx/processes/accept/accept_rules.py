"""Accents as data: the rules of `rules/accents/` that make another adult form out of an adult form.

A file is one variety, found by its name; `name.part.toml` is read with `name.toml`. Allophones and casual speech are
always on unless switched off. A rule is written as those of `rules/processes/`, with process "accent"; `kind` is what is
shown when a form is accepted. `[[not_written]]` lists features that no sound rule can hold, and why.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path

from approx.datafiles import ALWAYS_RIGHT, data_hash, rules_path, tidy_accent
from approx.problems import Problem
from approx.processes.engine.apply import fits_beside
from approx.processes.rules.rule import Rule
from approx.processes.rules.rule_cache import keep, recall
from approx.processes.rules.ruleset import read_rules
from approx.wording import enumerated, worded

_PROCESS = "accent"


@dataclass(frozen=True, slots=True, eq=False)
class AccentSet:
    """The accents that count as right for one child: rules in a fixed order, a hash of the files, faults found.

    `names`: files by name, those always on included. Two sets of the same names are one object.
    """

    names: tuple[str, ...]
    language: str
    rules: tuple[Rule, ...]
    hash: str
    problems: tuple[Problem, ...] = ()
    _beside: dict[tuple[str, ...], tuple[Rule, ...]] = field(default_factory=dict, repr=False)
    _by_side: dict[tuple[str, str, int], tuple[Rule, ...]] = field(default_factory=dict, repr=False)

    def rules_at(self, sound: str) -> tuple[Rule, ...]:
        """Rules of sounds whose change begins with this sound; insertions are not among them."""
        found = self._beside.get((sound,))
        if found is None:
            starts = (rule for rule in self.rules if rule.change.focus and not rule.change.of_syllables)
            found = self._beside[sound,] = tuple(rule for rule in starts if rule.change.focus[0].fits(sound))
        return found

    def rules_between(self, before: str, sound: str, after: str) -> tuple[Rule, ...]:
        """Those of them that the sounds beside it ("" at an edge of the word) do not rule out."""
        key = before, sound, after
        found = self._beside.get(key)
        if found is None:
            fit = set(map(id, self._rules_by(sound, after, 1)))
            found = tuple([rule for rule in self._rules_by(sound, before, -1) if id(rule) in fit])
            self._beside[key] = found
        return found

    def _rules_by(self, sound: str, neighbour: str, side: int) -> tuple[Rule, ...]:
        """Rules of a sound that one beside it does not rule out: to the left of it (`side` -1) or to the right (1)."""
        key = sound, neighbour, side
        found = self._by_side.get(key)
        if found is None:
            fit = [rule for rule in self.rules_at(sound) if fits_beside(rule.change, 0, neighbour, side)]
            found = self._by_side[key] = tuple(fit)
        return found

    @property
    def insertions(self) -> tuple[Rule, ...]:
        """Rules that put a sound where there was none."""
        return tuple(rule for rule in self.rules if not rule.change.focus)

    def insertions_between(self, before: str, after: str) -> tuple[Rule, ...]:
        """Rules that may put a sound between two others."""
        key = before, after
        found = self._beside.get(key)
        if found is None:
            found = self._beside[key] = tuple(
                rule
                for rule in self.rules
                if not rule.change.focus
                and fits_beside(rule.change, 0, before, -1)
                and fits_beside(rule.change, 0, after, 1)
            )
        return found


def accent_of(rule: Rule) -> str:
    """The accent a rule belongs to: the name of its file without its part."""
    return Path(rule.file).name.split(".")[0]


def load_accents(
    names: Iterable[str] = (), language: str = "en-US", always: Iterable[str] = ALWAYS_RIGHT, own: Path | None = None
) -> AccentSet:
    """The accents of a child (`accent = [...]` in child.toml) with those always on.

    `always=()` switches allophones and casual speech off. `own` is a folder of a clinician's own accent files, one
    of which takes the place of ours with the same name. Order and repetition of names make no difference. An unknown
    name and a faulty rule are problems of the set; the rest is in use.
    """
    tidy = set(map(tidy_accent, names))
    return _load(tuple(sorted(tidy)), language, tuple(sorted(set(always))), own)


@lru_cache(maxsize=64)
def _load(names: tuple[str, ...], language: str, always: tuple[str, ...], own: Path | None) -> AccentSet:
    known, problems, files = _files(own), list[Problem](), list[Path]()
    wanted = tuple(dict.fromkeys((*always, *names)))
    for name in wanted:
        if name in known:
            files += known[name]
        else:
            problems.append(
                Problem(
                    "accents.name",
                    worded("no accent '{name}'", name=name),
                    _hint(name, tuple(each for each in _files(own) if each not in ALWAYS_RIGHT)),
                    symbol=name,
                )
            )
    primary = language.lower().replace("_", "-").split("-")[0]
    found: dict[str, Rule] = {}
    data = data_hash(files)
    for rule in _rules_of(files, data if own is None else "", problems):
        if rule.id in found:
            before = found[rule.id]
            hint = worded(
                "the first is in {file} on line {line}; give each rule its own id",
                file=before.file,
                line=before.line,
            )
            problems.append(
                Problem("rules.id", worded("rule '{id}' is written twice", id=rule.id), hint, rule.file, rule.line)
            )
        elif rule.language in ("", primary):
            found[rule.id] = rule
    rules = tuple(sorted(found.values(), key=lambda rule: (rule.cost, rule.id)))
    in_use = tuple(name for name in wanted if name in known)
    return AccentSet(in_use, language, rules, data, tuple(problems))


def _rules_of(files: Sequence[Path], shipped: str, problems: list[Problem]) -> Sequence[Rule]:
    """The rules of some files in order; every fault is appended to `problems`. `shipped`: the hash of files that ship with the
    program, which are kept from run to run, for reading them is a tenth of the time of a short sample; "" for others."""
    kept = recall(_PROCESS, files, shipped) if shipped else None
    if kept is not None:
        return kept[0]
    read = [_read(path, path.stat().st_mtime_ns) for path in files]
    rules = [rule for there, _ in read for rule in there]
    faults = [fault for _, there in read for fault in there]
    problems += faults
    if shipped and not faults:
        keep(_PROCESS, files, shipped, rules)
    return rules


@lru_cache(maxsize=256)
def _read(path: Path, written: int) -> tuple[tuple[Rule, ...], tuple[Problem, ...]]:
    """The rules of a file as it was written last, and its faults: one file is part of many sets."""
    problems: list[Problem] = []
    return tuple(read_rules(path, (_PROCESS,), problems)), tuple(problems)


def _files(own: Path | None) -> dict[str, list[Path]]:
    """Files of each accent by name."""
    out: dict[str, list[Path]] = {}
    for folder in (rules_path("accents"), own):
        here: dict[str, list[Path]] = {}
        for path in sorted(folder.glob("*.toml")) if folder else ():
            here.setdefault(path.name.split(".")[0].lower(), []).append(path)
        out.update(here)
    return dict(sorted(out.items()))


def _hint(name: str, known: tuple[str, ...]) -> str:
    """The nearest names: those that share a word with the one asked for, then those spelled alike."""
    words = {word for word in name.split("-") if len(word) > 2 and word not in ("english", "spanish", "american")}
    near = [each for each in known if each.startswith(name) or any(word in each for word in words)]
    near += [each for each in get_close_matches(name, known, 3, 0.6) if each not in near]
    if near:
        return worded("did you mean {near}?", near=enumerated(" or ", near[:8]))
    return worded("accents: {known}", known=", ".join(known))
