"""Now against then: two samples of one child side by side, each number with its n and interval, differences in counts only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from approx.practice.compare_samples import ComparedSamples, MeasurePair, ProcessPair, ScoredSample
from approx.processes.explain.opportunities import ProcessTally
from approx.reports.charts.counts_svg import Bar, bars_svg
from approx.reports.document import Block, Bullets, Document, Grid, Heading, Picture
from approx.reports.documents.front_page import appendix, front_blocks, report_title, settings_line
from approx.reports.documents.sample_blocks import (
    caution_lines,
    ends_text,
    marks_of,
    marks_text,
    some,
    standing_rule,
    told,
)
from approx.reports.regions import day, number, percent_text
from approx.reports.report_words import process_name, report_words
from approx.scoring.measures.catalogue import Score
from approx.wording import fill_pattern

_MOST_BARS, _MOST_NAMED = 8, 3
_TOLD = ("pcc", "pvc", "pwc")
"""Measures whose counts are said in words."""


def comparison_document(found: ComparedSamples, language: str = "en", age: str = "") -> Document:
    """The report. Where the samples must not be compared it says why, and nothing else. `age`: of the child now."""
    say = report_words(language)
    dates = [found.then.date, found.now.date]
    title = report_title(say["title comparison"], found.now.child, age, dates, language)
    refused = [problem for problem in found.problems if problem.fatal]
    if refused:
        reasons = Bullets(
            tuple(f"{told(problem.message, language)}; {told(problem.hint, language)}" for problem in refused)
        )
        return Document(title, (Heading(say["not compared"]), reasons), language)
    mark = f"{found.now.signature}; {found.now.process_signature}"
    remarks = []
    if found.differ:
        what = ", ".join(say[f"differs {key}"] for key in found.differ)
        remarks.append(fill_pattern(say["sampling differs"], what=what))
    picture = compared_processes_picture(found, language)
    front = front_blocks(
        comparison_answer(found, language), [picture] if picture else [], [standing_rule(found.opportunity_options, language)], mark, language,
        remarks,
    )  # fmt: skip
    more: list[Block] = [Heading(say["samples"], 2), samples_table(found, language), Heading(say["scores"], 2)]
    more.append(measures_table(found.measures, say["all words"], language))
    if found.same_words and "words" in found.differ:
        more.append(measures_table(found.same_words, fill_pattern(say["same words"], n=len(found.shared)), language))
    if found.processes:
        more += [Heading(say["changes"], 2), compared_processes_table(found, language)]
    more += [Heading(say["what changed"], 2), Bullets(changed_lines(found, language)), Heading(say["cautions"], 2)]
    extra = [say[f"caution {key}"] for key in ("transcribers", "contexts") if key in found.differ]
    more.append(caution_lines(min(len(found.then.words), len(found.now.words)), language, extra))
    more.append(settings_line(mark, language))
    return Document(title, (*front, *appendix(more, language)), language)


def comparison_answer(found: ComparedSamples, language: str = "en") -> tuple[str, ...]:
    """Three sentences of counts: consonants, words of both samples, the changes heard most then."""
    say = report_words(language)
    lines = []
    for pair in found.measures:
        if pair.name == "pcc" and pair.then.value is not None and pair.now.value is not None:
            lines.append(
                fill_pattern(say["answer then now"],
                    hits_then=pair.then.hits, of_then=pair.then.out_of, then=number(pair.then.value, 1, language),
                    hits_now=pair.now.hits, of_now=pair.now.out_of, now=number(pair.now.value, 1, language),
                )
            )  # fmt: skip
    lines += _words_line(found, say)
    ordered = sorted(found.processes, key=lambda pair: -(pair.then or ProcessTally()).occurrences)[:_MOST_NAMED]
    named = [
        fill_pattern(say["x of y then now"],
            name=process_name(pair.name, language), hits_then=pair.then.occurrences, of_then=pair.then.chances,
            hits_now=pair.now.occurrences, of_now=pair.now.chances,
        )
        for pair in ordered if pair.then is not None and pair.now is not None
    ]  # fmt: skip
    if named:
        lines.append(fill_pattern(say["answer changes then now"], what="; ".join(named)))
    return tuple(lines)


def compared_processes_picture(found: ComparedSamples, language: str) -> Picture | None:
    """Two bars a process, then and now; None where none was heard."""
    say = report_words(language)

    def bar(name: str, tally: ProcessTally | None) -> Bar:
        return (name, tally.occurrences, tally.chances) if tally is not None else (name, 0, 0)

    ordered = sorted(found.processes, key=lambda pair: -(pair.then or ProcessTally()).occurrences)[:_MOST_BARS]
    rows = [
        (process_name(pair.name, language), [bar(say["then"], pair.then), bar(say["now"], pair.now)])
        for pair in ordered
    ]
    if not rows:
        return None
    about = say["about then now"] + marks_text(found.opportunity_options, say)
    return Picture(
        bars_svg(say["changes"], about, rows, say["x of y"], language, marks_of(found.opportunity_options)), about
    )


def samples_table(found: ComparedSamples, language: str = "en") -> Grid:
    """How each sample was taken."""
    say = report_words(language)
    both = (found.then, found.now)
    rows = [
        (say["date"], *(day(each.date, language) or "-" for each in both)),
        (say["tokens scored"], *(f"{each.score.scored} / {each.score.tokens}" for each in both)),
        (say["different words"], *(str(len(each.words)) for each in both)),
        (say["words in both"], str(len(found.shared)), str(len(found.shared))),
        (
            say["contexts"],
            *(", ".join(say.get(f"context {name}", name) for name in each.contexts) or "-" for each in both),
        ),
        (say["transcribers"], *(", ".join(each.transcribers) or "-" for each in both)),
        (say["left out"], *(_left_out(each, language) for each in both)),
    ]
    return Grid(say["taken"], ("", say["then"], say["now"]), tuple(rows))


def _left_out(sample: ScoredSample, language: str) -> str:
    reasons: dict[str, int] = {}
    for _, reason in sample.score.left_out:
        reasons[reason] = reasons.get(reason, 0) + 1
    return ", ".join(f"{told(reason, language)} {times}" for reason, times in reasons.items()) or "-"


def measures_table(pairs: Sequence[MeasurePair], title: str, language: str = "en") -> Grid:
    """Each measure then and now: value, counts, interval."""
    say = report_words(language)
    head = (say["measure"], say["then"], say["interval"], say["now"], say["interval"])
    rows = [
        (
            _title(pair, say),
            score_text(pair.then, pair.unit, language),
            ends_text(pair.then, pair.unit, language),
            score_text(pair.now, pair.unit, language),
            ends_text(pair.now, pair.unit, language),
        )
        for pair in pairs
    ]
    return Grid(title, head, tuple(rows))


def _title(pair: MeasurePair, say: Mapping[str, str]) -> str:
    return say.get(f"measure {pair.name}", pair.title)


def score_text(score: Score, unit: str, language: str = "en") -> str:
    """Value and counts: `45.0 % (27 / 60)`; the reason where it is undefined."""
    if score.value is None:
        return f"- ({told(score.reason, language)})"
    value = percent_text(score.value, 1, language) if unit == "percent" else number(score.value, 2, language)
    return f"{value} ({score.hits} / {score.out_of})"


def compared_processes_table(found: ComparedSamples, language: str = "en") -> Grid:
    """Each change that was heard in either sample: occurrences of opportunities, and its standing by the stated criterion."""
    say = report_words(language)
    head = (say["change"], say["then"], say["now"], say["words now"])
    rows = [
        (
            process_name(pair.name, language),
            _tally(pair.then, found, language),
            _tally(pair.now, found, language),
            _evidence(pair),
        )
        for pair in found.processes
    ]
    return Grid(say["heard as"], head, tuple(rows))


def _tally(tally: ProcessTally | None, found: ComparedSamples, language: str) -> str:
    say = report_words(language)
    if tally is None:
        return say["no chance"]
    share = "" if tally.percent is None else f" ({percent_text(tally.percent, 0, language)})"
    standing = tally.standing(found.opportunity_options)
    return f"{tally.occurrences} / {tally.chances}{share}, {say[f'standing {standing}']}"


def _evidence(pair: ProcessPair) -> str:
    return "-" if pair.now is None or not pair.now.words else some(pair.now.words)


def changed_lines(found: ComparedSamples, language: str = "en") -> tuple[str, ...]:
    """What is different now, in counts; no word on whether it matters."""
    say = report_words(language)
    lines = []
    for pair in found.measures:
        if pair.name in _TOLD and pair.then.value is not None and pair.now.value is not None:
            lines.append(
                fill_pattern(
                    say["counts line"],
                    name=_title(pair, say),
                    hits_then=pair.then.hits,
                    of_then=pair.then.out_of,
                    hits_now=pair.now.hits,
                    of_now=pair.now.out_of,
                )
            )
    lines += _words_line(found, say)
    if found.newly_right:
        lines.append(fill_pattern(say["newly right"], words=", ".join(found.newly_right)))
    if found.no_longer_right:
        lines.append(fill_pattern(say["no longer right"], words=", ".join(found.no_longer_right)))
    for process in found.processes:
        then, now = process.then or ProcessTally(), process.now
        if now is not None and (now.occurrences, now.chances) != (then.occurrences, then.chances):
            lines.append(
                fill_pattern(
                    say["process line"],
                    name=process_name(process.name, language),
                    hits_then=then.occurrences,
                    of_then=then.chances,
                    hits_now=now.occurrences,
                    of_now=now.chances,
                )
            )
    return tuple(lines) or (say["nothing changed"],)


def _words_line(found: ComparedSamples, say: Mapping[str, str]) -> list[str]:
    if not found.shared:
        return []
    counts = {"n": len(found.shared), "both": len(found.right_both), "new": len(found.newly_right)}
    return [fill_pattern(say["words line"], **counts, lost=len(found.no_longer_right))]
