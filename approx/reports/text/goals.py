"""Measurable goal sentences from their parts, in English and Spanish. A part that is missing stays a marked gap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from approx.problems import Problem
from approx.reports.document import BlankLine, Block, Bullets, Document, GoalFacts, Paragraph, WritingSpace
from approx.reports.regions import day
from approx.reports.report_words import report_words
from approx.wording import fill_pattern, worded


@dataclass(frozen=True, slots=True)
class GoalText:
    """The sentence; `gaps` names the parts that are missing in it (fields of `GoalFacts`); `problems` what cannot be."""

    sentence: str
    gaps: tuple[str, ...]
    problems: tuple[Problem, ...] = ()


def goal_text(facts: GoalFacts, language: str = "en") -> GoalText:
    """One goal: who will say what, where, with which help, how well, by when, how it is counted, and the level today with n."""
    say = report_words(language)
    gaps: list[str] = []

    def part(name: str, value: str, key: str, gap: str = "") -> str:
        if value:
            return value
        gaps.append(name)
        return gap or fill_pattern(say["goal gap"], what=say[key])

    def number(name: str, value: int | None) -> str:
        return part(name, "" if value is None else str(value), f"part {name}")

    target = part("target", facts.target.strip(), "part target")
    what = fill_pattern(say["goal form"], target=target, form=facts.form.strip()) if facts.form.strip() else target
    where = fill_pattern(say["goal setting"], setting=facts.setting.strip()) if facts.setting.strip() else ""
    helped = fill_pattern(say["goal help"], help=facts.help.strip()) if facts.help.strip() else ""
    if facts.help.strip().casefold() == "none":
        helped = say["goal no help"]
    sentence = fill_pattern(
        say["goal"],
        who=facts.child.strip() or say["goal who"],
        what=what,
        setting=part("setting", where, "", say["part setting"]),
        help=part("help", helped, "", say["part help"]),
        percent=number("percent", facts.percent),
        trials=number("trials", facts.trials),
        sessions=number("sessions", facts.sessions),
        due=part("due", day(facts.due.strip(), language), "part due"),
        measured=part("measured_by", facts.measured_by.strip(), "part measured"),
        level=part("level", _level(facts, say, language), "part level"),
    )
    return GoalText(sentence[:1].upper() + sentence[1:], tuple(gaps), goal_problems(facts))


def goal_columns(facts: GoalFacts, language: str = "en") -> dict[str, str]:
    """The parts of a goal by the names under which the caseload keeps them; a part that is missing is ""."""
    say = report_words(language)
    numbers = (facts.percent, facts.trials, facts.sessions)
    criterion = ""
    if None not in numbers:
        criterion = fill_pattern(say["goal criterion"], percent=numbers[0], trials=numbers[1], sessions=numbers[2])
    return {
        "baseline": _level(facts, say, language),
        "condition": "; ".join(part for part in (facts.setting.strip(), facts.help.strip()) if part),
        "criterion": criterion,
        "measure": facts.measured_by.strip(),
        "due": facts.due.strip(),
    }


def kept_goals(child: str, goals: Sequence[tuple[str, str]], language: str = "en") -> Document:
    """Goals as they were kept: (sentence, state) each; a sentence with a gap in square brackets is marked."""
    say = report_words(language)
    blocks: list[Block] = []
    for sentence, state in goals:
        text = f"{sentence} ({say[f'goal {state}']})" if f"goal {state}" in say else sentence
        blocks.append(Paragraph(text, gap=True) if "[" in sentence else Bullets((text,)))
    return Document(
        fill_pattern(say["goals title"], child=child or "-"), tuple(blocks) or (Paragraph(say["no goals"]),), language
    )


def _level(facts: GoalFacts, say: dict[str, str], language: str) -> str:
    if facts.right is None or not facts.out_of:
        return ""
    pattern = say["goal level"] if facts.level_date else say["goal level no date"]
    percent = f"{100 * facts.right / facts.out_of:.0f}"
    return fill_pattern(
        pattern, right=facts.right, out_of=facts.out_of, percent=percent, date=day(facts.level_date, language)
    )


def goal_problems(facts: GoalFacts) -> tuple[Problem, ...]:
    """Numbers that cannot be, and a criterion that the present level already meets."""
    out: list[Problem] = []
    if facts.percent is not None and not 1 <= facts.percent <= 100:
        out.append(
            Problem(
                "goal.percent",
                worded("{percent}% cannot be a criterion", percent=facts.percent),
                "give 1 to 100",
                symbol=str(facts.percent),
            )
        )
    for name, value in (("trials", facts.trials), ("sessions", facts.sessions)):
        if value is not None and value < 1:
            out.append(
                Problem(
                    "goal.number",
                    worded("{value} {name} cannot be", value=value, name=name),
                    "give 1 or more",
                    symbol=str(value),
                )
            )
    if facts.right is not None and facts.out_of is not None:
        if not 0 <= facts.right <= facts.out_of or facts.out_of < 1:
            out.append(
                Problem(
                    "goal.level",
                    worded("{right} of {out_of} is impossible", right=facts.right, out_of=facts.out_of),
                    "check both numbers",
                )
            )
        elif not out and facts.percent is not None and 100 * facts.right >= facts.percent * facts.out_of:
            message = worded(
                "the present level ({right} of {out_of}) is at the criterion already",
                right=facts.right,
                out_of=facts.out_of,
            )
            out.append(Problem("goal.met", message, "raise the criterion, or take the next step", fatal=False))
    return tuple(out)


def goals_page(goals: Sequence[GoalFacts], child: str, language: str = "en") -> Document:
    """The goals of one child to print, with room for the clinician's view and a line to sign."""
    say = report_words(language)
    made = goals_document(goals, fill_pattern(say["goals title"], child=child or "-"), language)
    sign = BlankLine((say["signature"], say["date"].capitalize()))
    return Document(made.title, (*made.blocks, WritingSpace(say["view"], 8, grows=True), sign), language)


def goals_document(goals: Sequence[GoalFacts], title: str, language: str = "en") -> Document:
    """Several goals, one a point; a goal with gaps is marked for the clinician."""
    blocks: list[Block] = []
    for facts in goals:
        made = goal_text(facts, language)
        blocks.append(Paragraph(made.sentence, gap=True) if made.gaps else Bullets((made.sentence,)))
        if made.problems:
            blocks.append(Bullets(tuple(f"{problem.message}; {problem.hint}" for problem in made.problems), small=True))
    return Document(title, tuple(blocks), language)
