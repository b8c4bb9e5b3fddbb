"""Now against then: two samples of one child side by side, each number with its n and interval, differences in counts only.

The report on one child, put together of the parts a clinician ticks: each part a document made elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence

from approx.practice.compare_samples import MeasurePair, NowThen, ProcessPair, ScoredSample
from approx.processes.explain.opportunities import OpportunityOptions
from approx.processes.explain.sample_processes import Tally
from approx.records.database.rows import Target
from approx.reports.document import Block, Bullets, Document, Grid, Heading, Paragraph, WritingSpace
from approx.reports.process_names import process_name
from approx.reports.report_words import words
from approx.scoring.measures.catalogue import Score


def child_report(child: str, date: str, parts: Sequence[Document], language: str = "en") -> Document:
    """The parts one after the other, each under its own title, their headings one level down."""
    blocks: list[Block] = []
    for part in parts:
        blocks.append(Heading(part.title))
        blocks += [Heading(each.text, each.level + 1) if isinstance(each, Heading) else each for each in part.blocks]
    return Document(words(language)["report title"].format(child=child, date=date), tuple(blocks), language)


def words_document(targets: Sequence[Target], language: str = "en") -> Document:
    """The words in work with the form aimed at now."""
    say = words(language)
    head = (say["word"], say["adult form"], say["form now"], say["state"], say["since"])
    rows = tuple(
        (each.word, each.adult, each.form + _rung(each, say), say[f"state {each.state}"], each.since or "-")
        for each in targets
    )
    block: Block = Grid(say["words table"], head, rows) if rows else Paragraph(say["no words"])
    return Document(say["words in work"], (block,), language)


def _rung(target: Target, say: dict[str, str]) -> str:
    return "" if target.rung is None else say["rung of"].format(rung=target.rung, of=target.of)


_FEW_WORDS = 50
"""Fewer words than this read as a sketch (Crary 1983, J Commun Disord 16:133-141)."""
_MOST_WORDS = 12


def now_then_document(found: NowThen, language: str = "en") -> Document:
    """The report. Where the samples must not be compared it says why, and nothing else."""
    say = words(language)
    title = say["now then title"].format(
        child=found.now.child or "-", then=found.then.date or "?", now=found.now.date or "?"
    )
    refused = [problem for problem in found.problems if problem.fatal]
    if refused:
        reasons = Bullets(tuple(f"{problem.message}; {problem.hint}" for problem in refused))
        return Document(title, (Heading(say["not compared"]), reasons), language)
    blocks: list[Block] = [Heading(say["samples"]), samples_table(found, language)]
    if found.differ:
        blocks.append(
            Paragraph(say["sampling differs"].format(what=", ".join(say[f"differs {key}"] for key in found.differ)))
        )
    blocks += [Heading(say["scores"]), measures_table(found.measures, found, say["all words"], language)]
    if found.same_words and "words" in found.differ:
        blocks.append(measures_table(found.same_words, found, say["same words"].format(n=len(found.shared)), language))
    if found.processes:
        blocks += [Heading(say["changes"]), processes_table(found, language)]
        blocks.append(Paragraph(standing_rule(found.chances, language), small=True))
    blocks += [Heading(say["what changed"]), Bullets(changed_lines(found, language))]
    blocks += [Heading(say["view"]), WritingSpace(say["view"]), Heading(say["cautions"])]
    blocks.append(Bullets(cautions(found, language), small=True))
    blocks.append(
        Paragraph(say["rules"].format(signature=f"{found.now.signature}; {found.now.process_signature}"), small=True)
    )
    return Document(title, tuple(blocks), language)


def samples_table(found: NowThen, language: str = "en") -> Grid:
    """How each sample was taken."""
    say = words(language)
    rows = [
        (say["date"], found.then.date or "-", found.now.date or "-"),
        (say["tokens scored"], *(f"{each.score.scored} / {each.score.tokens}" for each in (found.then, found.now))),
        (say["different words"], *(str(len(each.words)) for each in (found.then, found.now))),
        (say["words in both"], str(len(found.shared)), str(len(found.shared))),
        (say["contexts"], *(", ".join(each.contexts) or "-" for each in (found.then, found.now))),
        (say["transcribers"], *(", ".join(each.transcribers) or "-" for each in (found.then, found.now))),
        (say["left out"], *(_left_out(each) for each in (found.then, found.now))),
    ]
    return Grid(say["taken"], ("", say["then"], say["now"]), tuple(rows))


def _left_out(sample: ScoredSample) -> str:
    reasons: dict[str, int] = {}
    for _, reason in sample.score.left_out:
        reasons[reason] = reasons.get(reason, 0) + 1
    return ", ".join(f"{reason} {times}" for reason, times in reasons.items()) or "-"


def measures_table(pairs: tuple[MeasurePair, ...], found: NowThen, title: str, language: str = "en") -> Grid:
    """Each measure then and now: value, counts, interval."""
    say = words(language)
    head = (say["measure"], say["then"], say["interval"], say["now"], say["interval"])
    rows = [
        (
            _title(pair, say),
            score_text(pair.then, pair.unit),
            _ends(pair.then, pair.unit),
            score_text(pair.now, pair.unit),
            _ends(pair.now, pair.unit),
        )
        for pair in pairs
    ]
    return Grid(title, head, tuple(rows))


def _title(pair: MeasurePair, say: dict[str, str]) -> str:
    return say.get(f"measure {pair.name}", pair.title)


def score_text(score: Score, unit: str) -> str:
    """Value and counts: `45.0 % (27 / 60)`; the reason where it is undefined."""
    if score.value is None:
        return f"- ({score.reason})"
    return f"{_value(score.value, unit)} ({score.hits} / {score.out_of})"


def _value(value: float, unit: str) -> str:
    return f"{value:.1f} %" if unit == "percent" else f"{value:.2f}"


def _ends(score: Score, unit: str) -> str:
    if score.low is None or score.high is None:
        return "-"
    digits = 0 if unit == "percent" else 2
    return f"{score.low:.{digits}f} - {score.high:.{digits}f}"


def processes_table(found: NowThen, language: str = "en") -> Grid:
    """Each change that was heard in either sample: occurrences of chances, and its standing by the stated criterion."""
    say = words(language)
    head = (say["change"], say["then"], say["now"], say["words now"])
    rows = [
        (
            process_name(pair.name, language),
            _tally(pair.then, found, say),
            _tally(pair.now, found, say),
            _evidence(pair),
        )
        for pair in found.processes
    ]
    return Grid(say["heard as"], head, tuple(rows))


def standing_rule(options: OpportunityOptions, language: str = "en") -> str:
    """From where on a change is called active and frequent, in words."""
    return words(language)[f"standing by {options.criterion}"].format(
        active=f"{options.active_percent:g}", frequent=f"{options.frequent_percent:g}", least=options.least_chances,
        instances=options.instances,
    )  # fmt: skip


def _tally(tally: Tally | None, found: NowThen, say: dict[str, str]) -> str:
    if tally is None:
        return say["no chance"]
    share = "" if tally.percent is None else f" ({tally.percent:.0f} %)"
    standing = tally.standing(found.chances)
    return f"{tally.occurrences} / {tally.chances}{share}, {say[f'standing {standing}']}"


def _evidence(pair: ProcessPair) -> str:
    if pair.now is None or not pair.now.words:
        return "-"
    return _some(tuple(pair.now.words))


def _some(listed: tuple[str, ...]) -> str:
    more = len(listed) - _MOST_WORDS
    return ", ".join(listed[:_MOST_WORDS]) + (f", +{more}" if more > 0 else "")


def changed_lines(found: NowThen, language: str = "en") -> tuple[str, ...]:
    """What is different now, in counts; no word on whether it matters."""
    say = words(language)
    lines = []
    for pair in found.measures:
        if pair.name in ("pcc", "pvc", "pwc") and pair.then.value is not None and pair.now.value is not None:
            lines.append(
                say["counts line"].format(
                    name=_title(pair, say),
                    hits_then=pair.then.hits,
                    of_then=pair.then.out_of,
                    hits_now=pair.now.hits,
                    of_now=pair.now.out_of,
                )
            )
    if found.shared:
        lines.append(
            say["words line"].format(
                n=len(found.shared),
                both=len(found.right_both),
                new=len(found.newly_right),
                lost=len(found.no_longer_right),
            )
        )
    if found.newly_right:
        lines.append(say["newly right"].format(words=", ".join(found.newly_right)))
    if found.no_longer_right:
        lines.append(say["no longer right"].format(words=", ".join(found.no_longer_right)))
    for process in found.processes:
        then, now = process.then or Tally(), process.now
        if now is not None and (now.occurrences, now.chances) != (then.occurrences, then.chances):
            lines.append(
                say["process line"].format(
                    name=process_name(process.name, language),
                    hits_then=then.occurrences,
                    of_then=then.chances,
                    hits_now=now.occurrences,
                    of_now=now.chances,
                )
            )
    return tuple(lines) or (say["nothing changed"],)


def cautions(found: NowThen, language: str = "en") -> tuple[str, ...]:
    """What to beware of; those that fit these samples first."""
    say = words(language)
    out = []
    fewest = min(len(found.then.words), len(found.now.words))
    if fewest < _FEW_WORDS:
        out.append(say["caution few"].format(n=fewest))
    if "transcribers" in found.differ:
        out.append(say["caution transcribers"])
    if "contexts" in found.differ:
        out.append(say["caution contexts"])
    out += [say["caution weeks"], say["caution one listener"], say["caution differences"], say["for trained"]]
    return tuple(out)
