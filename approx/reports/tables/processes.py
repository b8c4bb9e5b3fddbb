"""Explanations and the processes of a sample as JSON (keys are a promise) and as plain lines, groups and tokens written as they
come: a file may have a million tokens.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from json.encoder import encode_basestring
from typing import Any

from approx.processes.accept.accept import AcceptedForm
from approx.processes.explain.derivation import Derivation, Explanation, GoodReadings, Use
from approx.processes.explain.explained_pairs import ExplainedPair, ExplainedPairs
from approx.processes.explain.opportunities import OpportunityOptions
from approx.processes.explain.sample_processes import GroupProcesses
from approx.processes.rules.norms import NORM_CAUTION, NORM_LANGUAGES, AgeRange, ages_of
from approx.reports.report_words import report_words, variant_name
from approx.reports.tables.streamed_json import BETWEEN
from approx.wording import counted, fill_pattern


def uses_json(reading: Derivation) -> list[dict[str, Any]]:
    """Processes of one reading, each with its rule and adult sounds; a kind only where there is one."""
    return list(map(_use_data, reading.uses))


def _use_data(use: Use) -> dict[str, Any]:
    kind = {"kind": use.kind} if use.kind else {}
    return {"process": use.process, "rule": use.rule, "targets": list(use.targets)} | kind


def explanation_json(found: Explanation, accepted: AcceptedForm | None = None) -> dict[str, Any]:
    """One pair: first reading, its steps, what stays unexplained, other good readings.

    `accepted`: the form from which the child set out, where that is not the adult form as typed; `targets` count its sounds.
    """
    best = found.best
    variety: dict[str, Any] = {"adult": accepted.word, "accepted": list(accepted.says)} if accepted else {}
    if accepted and accepted.cautions:
        variety["cautions"] = list(accepted.cautions)
    return {
        "target": found.target.ipa,
        "produced": found.produced.ipa,
        "processes": uses_json(best),
        "steps": [{"rule": rule, "before": before, "after": after} for rule, before, after in best.steps],
        "unexplained": list(best.unexplained),
        "readings": [{"processes": uses_json(each), "unexplained": list(each.unexplained)} for each in found.readings],
    } | variety


EXPLANATION_COLUMNS = ("reading", "process", "rule", "kind", "sounds", "unexplained")


def explanation_rows(found: Explanation) -> Iterator[tuple[int, str, str, str, str, str]]:
    """A row a process of a reading, the first reading first; a reading without any keeps a row."""
    phones = found.target.phones
    for number, reading in enumerate((found.best, *found.readings), 1):
        left = " ".join(phones[t] for t in reading.unexplained)
        for use in reading.uses:
            yield number, use.process, use.rule, use.kind, " ".join(phones[t] for t in use.targets), left
        if not reading.uses:
            yield number, "", "", "", "", left


def explanation_lines(found: Explanation, accepted: AcceptedForm | None = None) -> list[str]:
    """The readings of a pair as lines for the terminal, always written adult > child."""
    best, phones = found.best, found.target.phones
    lines = [f"{found.target.ipa} > {found.produced.ipa}"]
    if accepted:
        lines.append(
            f"  accepted as right: {accepted.word} as {accepted.form} ({', '.join(dict.fromkeys(accepted.says))})"
        )
        lines += [f"      {caution}" for caution in accepted.cautions]
    if not best.uses and not best.unexplained:
        lines.append("  no change")
    for use in best.uses:
        kind = f", {use.kind}" if use.kind else ""
        lines.append(f"  {use.process}{kind}: {' '.join(phones[t] for t in use.targets)}  ({use.rule})")
    if best.unexplained:
        lines.append("  unexplained: " + " ".join(phones[t] for t in best.unexplained))
    if best.steps:
        lines.append("  " + " > ".join([best.steps[0][1], *(after for _, _, after in best.steps)]))
    lines += [f"  or: {', '.join(each.names)}" for each in found.readings]
    return lines


def group_json(found: GroupProcesses, options: OpportunityOptions) -> dict[str, Any]:
    """One group of a sample: every process with an opportunity, those that happened first.

    `usual_ages`: what each source says of the age by which the process is usually gone, lowest and highest in months;
    sources differ in children, words and criteria, so that none of them is a limit.
    """
    rows = sorted(found.tallies.items(), key=lambda item: (-item[1].occurrences, item[0]))
    return found.labels | {
        "tokens": found.tokens,
        "processes": [
            {
                "process": name,
                "occurrences": tally.occurrences,
                "chances": tally.chances,
                "percent": None if tally.percent is None else round(tally.percent, 1),
                "active": tally.active(options),
                "standing": tally.standing(options),
                "words": list(tally.words),
                "not_in": list(tally.not_in),
                "rules": dict(tally.rules),
                "usual_ages": usual_ages(name, found.language),
            }
            for name, tally in rows
        ],
        "unexplained": [{"word": word, "sound": sound, "row": row} for word, sound, row in found.unexplained],
        "accepted": [
            {"word": form.word, "form": form.form, "says": list(form.says), "times": times}
            | ({"cautions": list(form.cautions)} if form.cautions else {})
            for form, times in found.accepted.items()
        ],
        "left_out": [{"row": row, "reason": reason} for row, reason in found.left_out],
    }


@cache
def _ages(process: str, language: str) -> AgeRange | None:
    """The published ages of a process in a language; None where no source is known."""
    primary = language.lower().replace("_", "-").split("-")[0]
    return next((each for each in ages_of(process) if each.language == NORM_LANGUAGES.get(primary)), None)


def usual_ages(process: str, language: str) -> list[dict[str, Any]]:
    """Every source with an age for the process in this language: {source, low, high}, ages in months."""
    found = _ages(process, language)
    ages: dict[str, list[int]] = {}
    for row in found.rows if found else ():
        if row.counts:
            ages.setdefault(row.short_source, []).extend(row.ages)
    return [{"source": source, "low": min(each), "high": max(each)} for source, each in ages.items()]


def group_lines(found: GroupProcesses, options: OpportunityOptions, title: str = "") -> list[str]:
    """A group for the terminal: counts beside every percentage, evidence words beside every claim.

    The ages of sources stand beside each process as a range; they are no limit, and nothing is compared with them.
    """
    labels = [f"{name} {value}" for name, value in found.labels.items() if value]
    lines = [", ".join(labels) or title]
    shown = [(name, tally) for name, tally in found.tallies.items() if tally.occurrences]
    for name, tally in sorted(shown, key=lambda item: -item[1].occurrences):
        share = f"{tally.percent:.0f}%" if tally.percent is not None else "-"
        words = f"; in {_some(list(tally.words), 8)}" if tally.words else ""
        missing = f"; not in {_some(list(tally.not_in), 6)}" if tally.not_in else ""
        counts = f"{tally.occurrences} of {counted(tally.chances, 'opportunity', 'opportunities')} ({share})"
        lines.append(f"  {name}: {counts}, {tally.standing(options)}{words}{missing}")
        ages = _ages(name, found.language)
        if ages is not None:
            lines.append(f"      {ages.says}")
    if not shown:
        lines.append("  no process found")
    if found.unexplained:
        places = [f"{sound} in {word or 'a word without gloss'} (row {row})" for word, sound, row in found.unexplained]
        lines.append("  unexplained: " + _some(places, 40))
    if found.accepted:
        lines.append("  accepted as right: " + _some(accepted_texts(found.accepted), 40))
        lines += [f"      {caution}" for caution in cautions_of(found.accepted)]
    if found.left_out:
        reasons = Counter(reason for _, reason in found.left_out)
        lines.append("  left out: " + ", ".join(f"{number} {reason}" for reason, number in reasons.items()))
    if any(_ages(name, found.language) for name, _ in shown):
        lines.append(f"  ages: {NORM_CAUTION}")
    return lines


_LOOSE = 4
"""Words in which one thing is accepted, from which on it is said once for all of them."""


def accepted_texts(accepted: Mapping[AcceptedForm, int], language: str = "en") -> list[str]:
    """Each accepted form with what was accepted in it and how often: `bath [bæf] (f for θ, not initial) 2x`.

    What is accepted in many words, such as a symbol used loosely all through a sample (o for every oʊ), is said once:
    `e o for eɪ oʊ in 12 words: boat, go, home ... 14x`.
    """
    of_kind: dict[tuple[str, ...], dict[str, int]] = {}
    for form, times in accepted.items():
        words = of_kind.setdefault(tuple(dict.fromkeys(form.says)), {})
        words[form.word] = words.get(form.word, 0) + times
    out: list[str] = []
    told = set[tuple[str, ...]]()
    for form, times in accepted.items():
        kind = tuple(dict.fromkeys(form.says))
        words = of_kind.get(kind, {})
        if len(words) < _LOOSE:
            says = ", ".join(variant_name(kind, language) for kind in form.says)
            out.append(f"{form.word} [{form.form}] ({says}) {times}x")
        elif kind not in told:
            told.add(kind)
            says = ", ".join(variant_name(each, language) for each in kind)
            pattern = report_words(language)["accepted in words"]
            listed = _some(list(words), 6)
            out.append(fill_pattern(pattern, what=says, n=len(words), words=listed, times=sum(words.values())))
    return out


def cautions_of(accepted: Iterable[AcceptedForm]) -> list[str]:
    """What to think of before the accepted forms are taken as right, each caution once."""
    return list(dict.fromkeys(caution for form in accepted for caution in form.cautions))


PROCESS_COLUMNS = (
    "child", "session_date", "group", "kind", "process", "occurrences", "chances", "percent", "standing", "words",
    "not_in", "signature",
)  # fmt: skip


def process_rows(
    groups: Iterable[GroupProcesses], options: OpportunityOptions, mark: str
) -> Iterator[tuple[str | int | float | None, ...]]:
    """One row a process of a group, and one for each adult form that was accepted (kind "accepted as right"), its times
    as occurrences."""
    for group in groups:
        other = ", ".join(f"{k}={v}" for k, v in group.labels.items() if k not in ("child", "session_date"))
        head = group.labels.get("child", ""), group.labels.get("session_date", ""), other
        for name, tally in sorted(group.tallies.items(), key=lambda item: (-item[1].occurrences, item[0])):
            share = None if tally.percent is None else round(tally.percent, 1)
            words, others = ", ".join(tally.words), ", ".join(tally.not_in)
            yield (*head, "process", name, tally.occurrences, tally.chances, share, tally.standing(options),
                   words, others, mark)  # fmt: skip
        for form, times in group.accepted.items():
            said = f"{form.word} [{form.form}]"
            yield (*head, "accepted as right", ", ".join(form.says), times, None, None, "", said, "", mark)


def _some(items: list[str], most: int) -> str:
    """The first few, and how many more there are."""
    more = f" and {len(items) - most} more" if len(items) > most else ""
    return ", ".join(items[:most]) + more


_text = json.JSONEncoder(ensure_ascii=False).encode


_AT_ONCE = 1024
"""Tokens whose texts are made together."""


class TokenTexts:
    """The tokens of one sample as text: what they have in common is written out once."""

    def __init__(self, pairs: ExplainedPairs) -> None:
        self._pairs = pairs
        self._fronts, self._ends = _Fronts(pairs), _Ends(pairs)

    def json(self, rows: Sequence[int], numbers: Sequence[int], chosen: Mapping[int, Derivation]) -> Iterator[str]:
        """The texts of `token_json`, many at once. `numbers`: of the pair in each row; `chosen`: readings that are not the
        first."""
        others = {number: _reading_json(taken, self._pairs.readings_of(number)) for number, taken in chosen.items()}
        for start in range(0, len(rows), _AT_ONCE):
            stop = start + _AT_ONCE
            yield BETWEEN.join(self._texts(rows[start:stop], numbers[start:stop], others))

    def lines(self, rows: Sequence[int], numbers: Sequence[int], chosen: Mapping[int, Derivation]) -> Iterator[str]:
        """A line for each token: row, word, adult form, what was said, and the processes of its reading."""
        for row, number in zip(rows, numbers):
            heard = self._pairs[number]
            reading = chosen.get(number) or heard.readings[0]
            names = ", ".join((*reading.names, *("unexplained" for _ in reading.unexplained[:1]))) or "no change"
            yield f"  row {row}\t{heard.word}\t{heard.target.ipa}\t{heard.produced}\t{names}"

    def _texts(self, rows: Sequence[int], numbers: Sequence[int], others: Mapping[int, str]) -> list[str]:
        """The texts of some tokens. `others`: their ends where the reading is not the first, by number of the pair."""
        pairs, fronts, ends = self._pairs, self._fronts, self._ends
        places = map(pairs.readings.__getitem__, numbers)
        found = [others.get(number) or ends[place] for number, place in zip(numbers, places)]
        forms = map(fronts.__getitem__, map(pairs.forms.__getitem__, numbers))
        said = map(encode_basestring, pairs.productions(numbers))
        return [f'{{"row": {row}{front}{produced}{end}' for row, front, produced, end in zip(rows, forms, said, found)]


class _Fronts(dict[int, str]):
    """What stands between the row and the production in a token of each form."""

    def __init__(self, pairs: ExplainedPairs) -> None:
        super().__init__()
        self._pairs = pairs

    def __missing__(self, form: int) -> str:
        word, target = self._pairs.glosses[form], self._pairs.adults[form].ipa
        front = f', "word": {encode_basestring(word)}, "target": {encode_basestring(target)}, "produced": '
        self[form] = front
        return front


class _Ends(dict[int, str]):
    """What stands after it where the first of the readings is taken."""

    def __init__(self, pairs: ExplainedPairs) -> None:
        super().__init__()
        self._pairs = pairs

    def __missing__(self, number: int) -> str:
        readings = self._pairs.counted.all[number]
        end = self[number] = _reading_json(readings[0], readings)
        return end


def _reading_json(taken: Derivation, readings: GoodReadings) -> str:
    """The reading taken of a token, what it leaves unexplained, and the others: the end of an object."""
    uses = ", ".join(map(_use_json, taken.uses))
    left = ", ".join(map(str, taken.unexplained)) if taken.unexplained else ""
    others = ", ".join([_names_json(each.names) for each in readings if each is not taken])
    return f', "processes": [{uses}], "unexplained": [{left}], "readings": [{others}]}}'


@lru_cache(maxsize=16384)
def _use_json(use: Use) -> str:
    return _text(_use_data(use))


@lru_cache(maxsize=16384)
def _names_json(names: tuple[str, ...]) -> str:
    return _text(names)


def token_json(row: int, heard: ExplainedPair, reading: Derivation) -> dict[str, Any]:
    """One token: its row, forms, processes, and other readings by name."""
    return {
        "row": row,
        "word": heard.word,
        "target": heard.target.ipa,
        "produced": heard.produced,
        "processes": uses_json(reading),
        "unexplained": list(reading.unexplained),
        "readings": [list(other.names) for other in heard.readings if other is not reading],
    }


def group_text(found: GroupProcesses, options: OpportunityOptions) -> str:
    """`group_json` as text, with a line for each key, and for each member of a list."""
    data = group_json(replace(found, unexplained=()), options)
    texts = {
        key: _members(map(_text, value)) if isinstance(value, list) else _text(value) for key, value in data.items()
    }
    # of a long group there are thousands
    texts["unexplained"] = _members([f"{_sound_json(word, sound)}{row}}}" for word, sound, row in found.unexplained])
    return "{\n   " + ",\n   ".join([f"{_text(key)}: {text}" for key, text in texts.items()]) + "\n  }"


@lru_cache(maxsize=16384)
def _sound_json(word: str, sound: str) -> str:
    """What stands before the row of a sound that no rule explains."""
    return f'{{"word": {encode_basestring(word)}, "sound": {encode_basestring(sound)}, "row": '


def _members(texts: Iterable[str]) -> str:
    together = ",\n    ".join(texts)
    return f"[\n    {together}\n   ]" if together else "[]"
