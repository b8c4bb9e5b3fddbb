"""What was found in one sample as blocks, for the analysis and for the section of an evaluation: sounds, processes, measures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from approx.child.inventory import Inventory, ItemCount
from approx.child.profile import POSITIONS
from approx.processes.explain.opportunities import OpportunityOptions, ProcessTally
from approx.processes.explain.sample_processes import GroupProcesses
from approx.reports.charts.counts_svg import Bar, GridCell, bars_svg, grid_svg
from approx.reports.document import Block, Bullets, Grid, Paragraph, Picture
from approx.reports.messages import said_in
from approx.reports.regions import number, percent_text
from approx.reports.report_words import process_name, report_words
from approx.reports.tables.processes import accepted_texts, cautions_of
from approx.reports.tables.scores import accepted_words
from approx.scoring.measures.breakdown import ADDED, LEFT_OFF, SoundRow
from approx.scoring.measures.catalogue import MEASURES, Score
from approx.scoring.sample_score import GroupScore
from approx.wording import fill_pattern

MOST_LISTED_WORDS = 12
_MOST_BARS = 10


@dataclass(frozen=True, slots=True)
class SamplePart:
    """Everything that is shown of one group of tokens. `words`: how many different ones were said, of those with a gloss.
    `alike`: different words that had one form, with the form. `age`: of the child, as "4;5"; `contexts`, `transcribers`: of
    its tokens."""

    score: GroupScore
    processes: GroupProcesses
    inventory: Inventory
    words: int = 0
    alike: tuple[tuple[tuple[str, ...], str], ...] = ()
    age: str = ""
    contexts: tuple[str, ...] = ()
    transcribers: tuple[str, ...] = ()


def settings_of(part: SamplePart, options: OpportunityOptions) -> str:
    """The counting rules of scores and processes of one group, in its own language."""
    return f"{part.score.measures['pcc'].signature}; {options.signature}"


def told(text: str, language: str) -> str:
    """What a lower package says, in the language of the page where it is listed, else as it is."""
    return said_in(text, language) or text


def some(listed: Iterable[str], most: int = MOST_LISTED_WORDS) -> str:
    """The first words of a list, and how many more there are."""
    found = list(listed)
    more = len(found) - most
    return ", ".join(found[:most]) + (f", +{more}" if more > 0 else "")


# -- sounds ---------------------------------------------------------------------------------------------------------


def substitutes_blocks(group: GroupScore, language: str) -> list[Block]:
    """A row a sound, a column a position: right of tried, and what was said instead; most errors first. Then the sounds that
    were right every time in every position."""
    say = report_words(language)
    by_sound: dict[str, dict[str, SoundRow]] = {}
    for row in group.sounds:
        by_sound.setdefault(row.sound, {})[row.position] = row

    def errors(sound: str) -> int:
        return sum(row.out_of - row.right for row in by_sound[sound].values())

    wrong = sorted((sound for sound in by_sound if errors(sound)), key=lambda sound: -errors(sound))
    right = [
        f"{sound} {say[row.position]} {row.out_of}"
        for sound, found in by_sound.items() if not errors(sound) for row in found.values()
    ]  # fmt: skip
    blocks: list[Block] = []
    if wrong:
        head = (say["sound"], *(say[place] for place in POSITIONS))
        rows = [(sound, *(_said_for(by_sound[sound].get(place), say) for place in POSITIONS)) for sound in wrong]
        blocks.append(Grid(say["substitutes"], head, tuple(rows)))
    if right:
        blocks.append(Paragraph(fill_pattern(say["always right"], sounds=", ".join(right))))
    return blocks


def _said_for(row: SoundRow | None, say: Mapping[str, str]) -> str:
    if row is None:
        return "-"
    instead = f": {instead_words(row, say)}" if row.instead else ""
    return f"{row.right} / {row.out_of}{instead}"


def instead_words(row: SoundRow, say: Mapping[str, str]) -> str:
    """What was said for a sound, and how often each: "t 4, left off 1"."""
    named = {LEFT_OFF: say["left off"], ADDED: say["sound added"]}
    return ", ".join(f"{named.get(said, said)} {times}" for said, times in row.instead)


def consonants_picture(group: GroupScore, language: str) -> Picture | None:
    """Right of tried of every adult consonant in each position; None where none was tried."""
    say = report_words(language)
    rows = {(row.sound, row.position): row for row in group.sounds if not row.vowel}
    sounds = sorted({sound for sound, _ in rows}, key=lambda sound: _order(sound, rows))
    if not sounds:
        return None
    cells = [[_accuracy(rows.get((sound, place))) for sound in sounds] for place in POSITIONS]
    about = say["about consonants"]
    return Picture(grid_svg(say["consonants right"], about, sounds, [say[place] for place in POSITIONS], cells), about)


def _order(sound: str, rows: Mapping[tuple[str, str], SoundRow]) -> tuple[float, str]:
    mine = [row for (name, _), row in rows.items() if name == sound]
    return -sum(row.right for row in mine) / sum(row.out_of for row in mine), sound


def _accuracy(row: SoundRow | None) -> GridCell:
    return ("", None) if row is None else (f"{row.right}/{row.out_of}", row.right / row.out_of)


def inventory_blocks(found: Inventory, language: str) -> list[Block]:
    """Consonants by position, then clusters, vowels and shapes, each with the number of different words it was heard in."""
    say = report_words(language)
    places = [(say[place], [cell for cell in found.consonants if cell.place == place]) for place in POSITIONS]
    kinds = [(say["clusters"], found.clusters), (say["vowels"], found.vowels), (say["shapes"], found.shapes)]
    rows = [
        (
            name,
            _cells(cells, "established"),
            _cells(cells, "emerging"),
            ", ".join(_item(cell) for cell in cells if cell.status == "absent") or "-",
        )
        for name, cells in [*places, *kinds]
    ]
    head = ("", say["in the inventory"], say["heard less"], say["tried never heard"])
    return [
        Grid(say["inventory table"], head, tuple(rows)),
        Paragraph(fill_pattern(say["longest word"], n=found.max_syllables)),
        Paragraph(inventory_criterion(found, language), small=True),
    ]


def inventory_criterion(found: Inventory, language: str) -> str:
    """From when on a sound is in the inventory, in words."""
    say = report_words(language)
    rule = found.criterion
    return fill_pattern(say[f"inventory by {rule.by}"], n=rule.least)


def _cells(cells: Sequence[ItemCount], status: str) -> str:
    return ", ".join(f"{_item(cell)} {cell.words}" for cell in cells if cell.status == status) or "-"


_SIDES = {"initial": "{}-", "medial": "-{}-", "final": "-{}"}
"""How a cluster is written in its place; a single sound stands in the row of its place."""


def _item(cell: ItemCount) -> str:
    sounds = cell.item.split(" ")
    return _SIDES.get(cell.place, "{}").format("".join(sounds)) if len(sounds) > 1 else cell.item


# -- processes ------------------------------------------------------------------------------------------------------


def processes_heard(tallies: Mapping[str, ProcessTally]) -> list[tuple[str, ProcessTally]]:
    """The processes that were heard, most often first."""
    return sorted(
        ((name, tally) for name, tally in tallies.items() if tally.occurrences),
        key=lambda item: (-item[1].occurrences, item[0]),
    )


def processes_table(tallies: Mapping[str, ProcessTally], options: OpportunityOptions, language: str) -> Grid | None:
    """Times heard of opportunities, standing, in which words and in which not; None where no process was heard."""
    say = report_words(language)
    rows = [
        (
            process_name(name, language),
            f"{tally.occurrences} / {tally.chances}",
            "-" if tally.percent is None else number(tally.percent, 0, language),
            say[f"standing {tally.standing(options)}"],
            some(tally.words, 8),
            some(tally.not_in, 5) or "-",
        )
        for name, tally in processes_heard(tallies)
    ]
    head = (say["change"], say["of opportunities"], "%", say["standing"], say["in words"], say["not in words"])
    return Grid(say["heard as"], head, tuple(rows)) if rows else None


def processes_picture(
    tallies: Mapping[str, ProcessTally], options: OpportunityOptions, language: str
) -> Picture | None:
    """Bars of the processes heard most, with the criteria as broken lines; None where none was heard."""
    say = report_words(language)
    rows: list[tuple[str, Sequence[Bar]]] = [
        (process_name(name, language), [("", tally.occurrences, tally.chances)])
        for name, tally in processes_heard(tallies)[:_MOST_BARS]
    ]
    if not rows:
        return None
    about = say["about processes"] + marks_text(options, say)
    return Picture(bars_svg(say["changes"], about, rows, say["x of y"], language, marks_of(options)), about)


def marks_of(options: OpportunityOptions) -> tuple[float, ...]:
    """Percentages of the criterion, where it is one by percent."""
    return (options.active_percent, options.frequent_percent) if options.criterion == "percent" else ()


def marks_text(options: OpportunityOptions, say: Mapping[str, str]) -> str:
    """What the broken lines mean."""
    if options.criterion != "percent":
        return ""
    return " " + fill_pattern(
        say["about marks"], active=f"{options.active_percent:g}", frequent=f"{options.frequent_percent:g}"
    )


def standing_rule(options: OpportunityOptions, language: str = "en") -> str:
    """From where on a change is called active and frequent, in words."""
    return fill_pattern(report_words(language)[f"standing by {options.criterion}"],
        active=f"{options.active_percent:g}", frequent=f"{options.frequent_percent:g}", least=options.least_opportunities,
        instances=options.instances,
    )  # fmt: skip


def loose_lines(part: SamplePart, language: str) -> tuple[str, ...]:
    """Changes without a name, forms accepted as right, and different words said alike: "cup = tub [tʌ]"."""
    say, found = report_words(language), part.processes
    lines = []
    if found.unexplained:
        loose = (
            fill_pattern(say["sound in word"], sound=sound, word=word, row=row)
            for word, sound, row in found.unexplained
        )
        lines.append(fill_pattern(say["without a name"], what="; ".join(loose)))
    if found.accepted:
        lines.append(fill_pattern(say["accepted"], what=", ".join(accepted_texts(found.accepted, language))))
        lines += (told(caution, language) for caution in cautions_of(found.accepted))
    if part.alike:
        alike = (f"{' = '.join(words)} [{form}]" for words, form in part.alike)
        lines.append(fill_pattern(say["said alike"], what="; ".join(alike)))
    return tuple(lines)


# -- measures -------------------------------------------------------------------------------------------------------


def measures_grid(measures: Mapping[str, Score], language: str, names: Iterable[str] = ()) -> Grid:
    """Value, counts, interval and how many words it rests on, of all measures or of those named."""
    say = report_words(language)
    chosen = [name for name in (names or measures) if name in measures]
    rows = [
        (
            measure_title(name, say),
            value_text(measures[name], MEASURES[name].unit, language),
            _counts(measures[name]),
            ends_text(measures[name], MEASURES[name].unit, language),
            str(measures[name].words),
        )
        for name in chosen
    ]
    head = (say["measure"], say["value"], say["counts"], say["interval"], say["n words"])
    return Grid(say["measures table"], head, tuple(rows))


def _counts(score: Score) -> str:
    made = MEASURES[score.name].counted and score.value is not None
    return f"{score.hits} / {score.out_of}" if made else "-"


def measure_title(name: str, say: Mapping[str, str]) -> str:
    """The measure's name in the language of the page."""
    return say.get(f"measure {name}", MEASURES[name].title)


def value_text(score: Score, unit: str, language: str) -> str:
    """The value to the digits the command prints; the reason where it is undefined."""
    if score.value is None:
        return f"- ({told(score.reason, language)})"
    return percent_text(score.value, 1, language) if unit == "percent" else number(score.value, 2, language)


def ends_text(score: Score, unit: str, language: str) -> str:
    """The ends of the interval, to the digits the command prints; why there is none where there is none."""
    if score.low is None or score.high is None:
        return told(score.method, language) if score.method and score.value is not None else "-"
    digits = 1 if unit == "percent" else 2
    return f"{number(score.low, digits, language)} – {number(score.high, digits, language)}"


def band_line(group: GroupScore, language: str) -> str:
    """The band of the PCC with its caution, or every reason why there is none."""
    pcc, say = group.measures["pcc"], report_words(language)
    text = ": ".join(told(part, language) for part in (pcc.band, pcc.caution) if part)
    return fill_pattern(say["band"], text=text) if text else ""


# -- the sample -----------------------------------------------------------------------------------------------------


def taken_lines(part: SamplePart, language: str) -> tuple[str, ...]:
    """How the sample was taken: tokens, words, contexts, transcribers, what was left out."""
    say = report_words(language)
    group = part.score
    lines = [fill_pattern(say["tokens line"], all=group.tokens, scored=group.scored, words=part.words)]
    if part.contexts:
        lines.append(f"{say['contexts']}: {', '.join(say.get(f'context {each}', each) for each in part.contexts)}")
    if part.transcribers:
        lines.append(f"{say['transcribers']}: {', '.join(part.transcribers)}")
    out = "; ".join(
        fill_pattern(say["row reason"], row=row, reason=told(reason, language)) for row, reason in group.left_out
    )
    lines.append(f"{say['left out']}: {out or say['nothing']}")
    if accepted := accepted_words(group):
        lines.append(fill_pattern(say["scored against"], what=accepted))
    return tuple(lines)


def caution_lines(words_in: int, language: str, more: Iterable[str] = ()) -> Bullets:
    """What to beware of; that the sample is small first, where it is."""
    say = report_words(language)
    lines = [fill_pattern(say["caution few"], n=words_in)] if words_in < FEW_WORDS else []
    lines += [*more, say["caution weeks"], say["caution one listener"], say["caution differences"]]
    return Bullets(tuple(lines), small=True)


FEW_WORDS = 50
"""Fewer words than this read as a sketch (Crary 1983, J Commun Disord 16:133-141)."""
