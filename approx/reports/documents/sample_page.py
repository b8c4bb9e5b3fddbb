"""One printable page a sample: what the child has, what changes, scores with n and rules, evidence beside each claim."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from approx.child.inventory import Cell, Inventory
from approx.child.profile import POSITIONS
from approx.ipa.language import language
from approx.processes.explain.opportunities import OpportunityOptions
from approx.processes.explain.sample_processes import SampleProcesses
from approx.reports.charts.grid_svg import grid_svg, grid_table
from approx.reports.plurals import often
from approx.reports.tables.processes import accepted_texts, cautions_of
from approx.reports.tables.scores import accepted_words, instead_text, shown
from approx.samples.token import CellChange
from approx.scoring.measures.breakdown import said_for
from approx.scoring.measures.catalogue import MEASURES
from approx.scoring.sample_score import GroupScore

STYLE = """
:root{--ink:#111;--line:#777;--paper:#fff}
@media (prefers-color-scheme:dark){@media screen{:root{--ink:#eee;--line:#999;--paper:#181818}svg{background:#fff}}}
*{box-sizing:border-box}body{font:15px/1.4 'DejaVu Sans','Noto Sans','Charis SIL','Doulos SIL',sans-serif;color:var(--ink);
background:var(--paper);max-width:60rem;margin:1rem auto;padding:0 1rem}
h1{font-size:1.4rem;margin:.2rem 0}h2{font-size:1.1rem;border-bottom:1px solid var(--line);margin:1.2rem 0 .4rem}
table{border-collapse:collapse;margin:.3rem 0}th,td{border:1px solid var(--line);padding:.15rem .45rem;text-align:left;vertical-align:top}
.ipa{font-size:1.05em}.two{display:grid;grid-template-columns:2fr 3fr;gap:1rem}.two>*{min-width:0}.box{border:1px solid var(--line);min-height:7rem}
.small{font-size:.85rem}svg{max-width:100%;height:auto}p{overflow-wrap:anywhere}svg text{font-size:12px;fill:#111}svg text.h{font-size:14px}
@media (max-width:50rem){.two{display:block}}
@media print{body{max-width:none;margin:0;font-size:10.5pt}.sample{break-after:page}h2{break-after:avoid}tr,svg{break-inside:avoid}
details{display:none}@page{margin:14mm}}
""".strip()
CAUTIONS = (
    "Counts describe this sample only. They are not a diagnosis.",
    "Fewer than 50 words (75 for running speech): read as a sketch.",
    "Young children's scores move from week to week; look at several before calling it change.",
    "Transcription by one listener: expect disagreement, more with fine detail.",
    "Accent and second-language forms are differences, not errors, when listed so.",
    "For trained clinicians. Not a test, no norms, not for eligibility on its own.",
)


@dataclass(frozen=True, slots=True)
class SamplePart:
    """Everything one page shows of one group."""

    score: GroupScore
    processes: SampleProcesses
    inventory: Inventory


def sample_page(
    parts: Sequence[SamplePart], changes: Iterable[CellChange], options: OpportunityOptions, signature: str
) -> str:
    """The whole page; nothing in it is loaded from elsewhere."""
    noted = list(changes)
    body = "".join(_part(part, options) for part in parts)
    read = "".join(
        f"<li>{escape(c.column)}: {escape(c.typed)} read as {escape(c.read)}, {escape(c.why)} ({often(c.times)}, first in row {c.row})</li>"
        for c in noted
    )
    changed = f"<h2>What was read otherwise than typed</h2><ul class=small>{read}</ul>" if noted else ""
    cautions = "".join(f"<li>{escape(text)}</li>" for text in CAUTIONS)
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        f"<title>Speech sample</title><style>{STYLE}</style></head><body>{body}{changed}"
        f"<h2>Cautions</h2><ul>{cautions}</ul><p class=small>Counting rules: {escape(signature)}; processes: {escape(options.signature)}</p>"
        "</body></html>\n"
    )


def _part(part: SamplePart, options: OpportunityOptions) -> str:
    labels = part.score.labels
    child, date = labels.get("child", ""), labels.get("session_date", "")
    other = ", ".join(f"{k} {v}" for k, v in labels.items() if k not in ("child", "session_date") and v)
    title = " · ".join(text for text in (child, date, other) if text) or "Sample"
    return (
        f'<section class="sample"><h1>{escape(title)}</h1>'
        f"<p>{part.score.tokens} tokens, {part.score.scored} scored.</p>"
        f"{_sounds(part.score)}"
        f'<div class="two"><div>{_has(part.inventory)}</div><div>{_changes(part, options)}</div></div>'
        f"{_scores(part.score)}{_matrix(part.score)}{_left_out(part)}"
        '<h2>Clinician’s view</h2><div class="box" role="note" aria-label="empty box to write in"></div></section>'
    )


def _sounds(group: GroupScore) -> str:
    """What was said for each sound in each position, most errors first: what a clinician writes down first."""
    wrong = [row for row in group.sounds if row.instead]
    right = ", ".join(f"{row.sound} {row.position} {row.out_of}" for row in group.sounds if not row.instead)
    rows = "".join(
        f"<tr><th scope=row class=ipa>{escape(row.sound)}</th><td>{row.position}</td>"
        f"<td class=ipa>{escape(instead_text(row))}</td></tr>"
        for row in wrong
    )
    head = (
        "<tr><th scope=col>sound</th><th scope=col>position</th><th scope=col>said instead, times of trials</th></tr>"
    )
    table = f"<table><thead>{head}</thead><tbody>{rows}</tbody></table>" if rows else ""
    rest = f"<p>Right every time: {escape(right)}</p>" if right else ""
    return f"<h2>Sounds by position</h2>{table}{rest}" if table or rest else ""


def _has(found: Inventory) -> str:
    """Heat map of consonants by position, then vowels, clusters and shapes with their counts."""
    known = language(found.language).consonants
    sounds = list(dict.fromkeys([*known, *(cell.item for cell in found.consonants)]))
    by_place = {(cell.item, cell.place): cell for cell in found.consonants}
    most = max((cell.words for cell in found.consonants), default=1) or 1
    cells = [[_heat(by_place.get((sound, place)), most) for place in POSITIONS] for sound in sounds]
    about = "Number of different words in which each consonant was heard; dash: tried, never heard; empty: no word asked for it."
    picture = grid_svg("Consonants by position", about, ("first", "mid", "last"), sounds, cells)
    table = grid_table("Consonants by position", ("first", "mid", "last"), sounds, cells)
    return (
        "<h2>What the child has</h2>"
        f"<p class=small>In hand: {escape(str(found.criterion))}. Number: different words. {escape(about)}</p>{picture}{table}"
        f"<p>Vowels: {_list(found.vowels)}</p><p>Clusters: {_list(found.clusters)}</p>"
        f"<p>Syllables: {_list(found.shapes)}</p><p>Words up to {found.max_syllables} syllables.</p>"
    )


def _heat(cell: Cell | None, most: int) -> tuple[str, float | None]:
    if cell is None or (not cell.tokens and not cell.tried_tokens):
        return "", None
    return (str(cell.words), cell.words / most) if cell.tokens else ("–", 0.0)


def _list(cells: Iterable[Cell]) -> str:
    heard = [cell for cell in cells if cell.tokens]
    texts = (
        f"<span class=ipa>{escape(cell.item.replace(' ', ''))}</span> {cell.words}"
        + (f" ({escape(cell.examples[0][1])})" if cell.examples else "")
        for cell in heard
    )
    return ", ".join(texts) or "none heard"


def _changes(part: SamplePart, options: OpportunityOptions) -> str:
    rows = []
    tallies = sorted(part.processes.tallies.items(), key=lambda item: (-item[1].occurrences, item[0]))
    for name, tally in tallies:
        if not tally.occurrences:
            continue
        share = "" if tally.percent is None else f"{tally.percent:.0f} %"
        words = ", ".join(list(tally.words)[:8])
        missing = ", ".join(list(tally.not_in)[:5])
        rows.append(
            f"<tr><th scope=row>{escape(name)}</th><td>{tally.occurrences} of {tally.chances}</td><td>{share}</td>"
            f"<td>{escape(tally.standing(options))}</td><td>{escape(words)}{'; not in ' + escape(missing) if missing else ''}</td></tr>"
        )
    head = "<tr><th scope=col>change</th><th scope=col>times of opportunities</th><th scope=col>share</th><th scope=col>standing</th><th scope=col>words</th></tr>"
    table = f"<table><thead>{head}</thead><tbody>{''.join(rows)}</tbody></table>" if rows else "<p>No change found.</p>"
    loose = ", ".join(
        f"{escape(sound)} in {escape(word)} (row {row})" for word, sound, row in part.processes.unexplained
    )
    rest = f"<p>Without a name: {loose}</p>" if loose else ""
    accepted = escape(", ".join(accepted_texts(part.processes.accepted)))
    right = f"<p>Accepted as right, and no change: {accepted}</p>" if accepted else ""
    right += "".join(f"<p>{escape(caution)}</p>" for caution in cautions_of(part.processes.accepted))
    same = _same_forms(part.processes)
    return f"<h2>What changes</h2>{table}{rest}{right}{same}"


def _same_forms(found: SampleProcesses) -> str:
    """Different words said alike."""
    by_form: dict[str, dict[str, None]] = {}
    for told in found.told:
        if told.pair.word:
            by_form.setdefault(told.pair.produced.ipa, {})[told.pair.word] = None
    alike = [f"{escape(' = '.join(words))} [{escape(form)}]" for form, words in by_form.items() if len(words) > 1]
    return f"<p>Words said alike: {'; '.join(alike)}</p>" if alike else ""


def _scores(group: GroupScore) -> str:
    rows = "".join(
        f"<tr><th scope=row>{escape(MEASURES[name].title)}</th><td>{escape(shown(name, score))}</td></tr>"
        for name, score in group.measures.items()
    )
    accepted = escape(accepted_words(group))
    more = f"<p>Scored against another adult form that is as right: {accepted}</p>" if accepted else ""
    head = "<tr><th scope=col>measure</th><th scope=col>value (what it was counted from), interval</th></tr>"
    return f"<h2>Scores</h2><table><thead>{head}</thead><tbody>{rows}</tbody></table>{more}"


def _matrix(group: GroupScore) -> str:
    """Target consonant by what was said for it."""
    said = said_for(group.counts)
    if not said:
        return ""
    targets = list(said)
    columns = list(dict.fromkeys(sound or "left off" for found in said.values() for sound in found))
    names = [name if name != "left off" else "∅" for name in columns]
    cells = []
    for target in targets:
        total = sum(said[target].values())
        line: list[tuple[str, float | None]] = []
        for name in columns:
            times = said[target].get("" if name == "left off" else name, 0)
            line.append((str(times), times / total) if times else ("", None))
        cells.append(line)
    about = "Rows: adult consonants. Columns: what the child said for them; ∅: left off. Numbers are tokens."
    picture = grid_svg("Adult consonants and what was said for them", about, names, targets, cells)
    table = grid_table("Adult consonants and what was said", names, targets, cells)
    return f"<h2>Each consonant and what was said for it</h2><p class=small>{escape(about)}</p>{picture}{table}"


def _left_out(part: SamplePart) -> str:
    rows = "; ".join(f"row {row}: {escape(reason)}" for row, reason in part.score.left_out)
    return f"<h2>What was left out</h2><p>{rows or 'Nothing.'}</p>"
