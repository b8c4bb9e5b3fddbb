"""Phrases for the terminal: what the child says today beside the sentence of the adult, frames, and grammar ladders."""

from __future__ import annotations

from approx.practice.phrases.phrase_types import Frame, GrammarLadder, GrammarStep, Phrase, PhraseAnswer
from approx.reports.text.suggestions import load_text

PHRASE_CAUTION = (
    "Forms come from rules. Check them by ear; the adult always says the full sentence, and the child's step is raised."
)


def phrases_lines(answer: PhraseAnswer) -> list[str]:
    """The whole answer, a block a phrase, frame or ladder."""
    lines = [f"Child {answer.child}"]
    for number, phrase in enumerate(answer.phrases, 1):
        lines += ["", *phrase_lines(phrase, f"{number}. ")]
    for frame in answer.frames:
        lines += ["", *frame_lines(frame)]
    if answer.ladder is not None:
        lines += ["", *ladder_lines(answer.ladder)]
    if not (answer.phrases or answer.frames or answer.ladder):
        return []
    return [*lines, "", PHRASE_CAUTION, f"signature: {answer.signature}"]


def phrase_lines(phrase: Phrase, lead: str = "") -> list[str]:
    """One phrase: telegraphic and adult side by side, today's form, what is new, load, clashes."""
    name = phrase.frame or phrase.relation
    use = f": {phrase.use}" if phrase.use else ""
    lines = [f"{lead}{phrase.telegraphic}  ->  {phrase.adult_sentence}  [{name}{use}]"]
    measure = load_text(phrase.load)
    lines.append(
        f'   today: {phrase.today_ipa}  "{phrase.today_spelled}"  (closeness {phrase.closeness:.2f}; {measure})'
    )
    lines.append(
        f"   new: {'; '.join(phrase.new)}" if phrase.new else "   new: nothing, the adult words are in the inventory"
    )
    if phrase.clashes:
        lines.append(f"   take care: {'; '.join(phrase.clashes)}")
    return lines


def frame_lines(frame: Frame) -> list[str]:
    """One frame with its own cost, then its fillers, a line each."""
    head = f"{frame.text}  ({frame.use})"
    if frame.missing:
        return [f"{head}: not yet, no form of {', '.join(frame.missing)} is sayable"]
    new = f"needs {'; '.join(frame.new)}" if frame.new else "needs nothing new"
    lines = [f'{head}  today "{frame.today_spelled}"; the frame {new} (cost {frame.cost:.2f})']
    if not frame.phrases:
        return [*lines, "   no filler yet"]
    for phrase in frame.phrases:
        care = f"  take care: {'; '.join(phrase.clashes)}" if phrase.clashes else ""
        lines.append(f'   {phrase.telegraphic}  "{phrase.today_spelled}"  {phrase.adult_sentence}{care}')
    return lines


def ladder_lines(ladder: GrammarLadder) -> list[str]:
    """Main rungs in order, then the side steps with the rung each builds on."""
    lines = [f"{ladder.phrase}  ->  {ladder.adult_sentence}", f"order: {ladder.order} ({ladder.order_source})"]
    for step in ladder.steps:
        if step.main:
            lines += step_lines(step, f"{step.number}.")
    sides = [step for step in ladder.steps if not step.main]
    if sides:
        lines.append("side steps:")
        for step in sides:
            lines += step_lines(step, f"{step.number}. (from {step.builds_on})")
    return lines


def step_lines(step: GrammarStep, lead: str) -> list[str]:
    """One rung: the words, what was added, today's form, what it asks of the sounds."""
    adds = f"  + {step.adds}" if step.adds else ""
    lines = [f"{lead} {step.phrase}{adds}", f'     today: {step.today_ipa}  "{step.today_spelled}"']
    if step.new:
        lines.append(f"     sounds: {'; '.join(step.new)}")
    lines += [f"     note: {warning}" for warning in step.warnings]
    return lines
