"""Chosen words for the terminal and as plain lines: what is in the inventory, what is one step away, and why each is there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from approx.lexicon.respelling.respelling import respell_word
from approx.practice.suggest.clashes import Clash
from approx.practice.words.contrasts import ContrastPair
from approx.practice.words.word_bank import RankedWord
from approx.practice.words.word_choice import WordChoice
from approx.practice.words.word_weights import disagreement, word_caution
from approx.reports.text.drawn import Columns, Part
from approx.wording import counted, plural_form

if TYPE_CHECKING:
    pass

WORD_CAUTION = (
    "Choices come from rules and counts; frequencies are of adult text. The clinician and the family decide.",
    "The adult says the full word; today's form is a step, not the aim.",
)
_HEARD = {"target": "also the form of", "word": "sounds like", "rude": "careful: sounds like"}
_NUMBERS = ("no", "one", "two", "three", "four")


def section(new: int) -> str:
    """The heading of the words with so many new things."""
    if new == 0:
        return "Already sayable in adult form"
    number = _NUMBERS[new].capitalize() if new < len(_NUMBERS) else str(new)
    return f"{number} new {plural_form(new, 'sound or shape', 'sounds or shapes')}"


def clash_text(clashes: Sequence[Clash]) -> str:
    """What today's form could be mistaken for, in words."""
    parts: dict[str, list[str]] = {}
    for clash in clashes:
        parts.setdefault(_HEARD[clash.kind], []).append(clash.word)
    return "; ".join(f"{kind} {', '.join(words)}" for kind, words in parts.items())


def today_text(word: RankedWord, language: str) -> str:
    """What to accept today: nothing for a word in the inventory."""
    if word.today is None:
        return "no form of it is sayable yet"
    if word.today == word.adult.ipa:
        return "as the adult"
    return f'{word.today} "{word.today_spelled}"'


def word_line(word: RankedWord, language: str) -> str:
    """One word in one line: adult form, today's form, why."""
    adult = f'{word.word}  {word.adult.ipa} "{respell_word(word.adult, language, word.word)}"'
    parts = [adult, f"today: {today_text(word, language)}"] if word.things or word.today != word.adult.ipa else [adult]
    care = clash_text(word.clashes)
    why = [reason for reason in word.reasons if word.things or reason != "every sound is in the inventory"]
    return "  ".join(
        [*parts, f"({word.part_of_speech}, {word.category})", "; ".join([*why, *([care] if care else [])])]
    )


def pair_line(pair: ContrastPair) -> str:
    """A contrast pair in one line: `key - tea: k against t; today both ti (velar fronting)`."""
    ours, theirs = (sound or "nothing" for sound in pair.differ)
    made = f" ({', '.join(pair.processes)})" if pair.processes else ""
    return f"{pair.word} {pair.adult} - {pair.other} {pair.other_adult}: {ours} against {theirs}; today both {pair.today}{made}"


def _head(choice: WordChoice) -> str:
    return (
        f"Child {choice.child}: of {counted(choice.bank_size, 'word')}, {counted(choice.in_hand, 'is', 'are')} in the inventory, "
        f"{counted(choice.one_new, 'needs', 'need')} one new sound or shape"
    )


def _foot(choice: WordChoice) -> list[str]:
    """What stands below the words: both orders, what would open most, first steps, cautions."""
    lines: list[str] = []
    if choice.orders:
        lines += ["", f"Two orders for what is new; {disagreement()}. Neither is chosen here:"]
        if len({each.words for each in choice.orders}) == 1:
            lines.append("  both put the same words first here")
        for each in choice.orders:
            used = " (used above)" if choice.order == each.order.name else ""
            lines.append(
                f"  --order {each.order.name}{used}: {', '.join(each.words)} ... {each.order.says}; {each.order.source}"
            )
    if choice.would_open and choice.chosen_set is None:
        lines += ["", "Sounds and shapes that would make the most words available:"]
        lines += [f"  {each.text}: {_some(each.words)}" for each in choice.would_open]
    if choice.steps:
        lines += [
            "",
            "Few words are within reach. A start, one step at a time (decide by what the child can copy):",
        ]
        for number, step in enumerate(choice.steps, 1):
            opened = f"makes available {_some(step.words)}" if step.words else "no word by itself"
            lines.append(f"  {number}. {step.thing.text}: {opened}")
    flagged = any(reason.startswith("take care") for word in choice.words for reason in word.reasons)
    if flagged:
        lines += ["", f"'take care' follows {word_caution().source}: flagged, not forbidden."]
    return [*lines, "", *WORD_CAUTION, f"signature: {choice.signature}"]


def _some(words: Sequence[str], most: int = 6) -> str:
    more = f" and {len(words) - most} more" if len(words) > most else ""
    return f"{counted(len(words), 'word')} ({', '.join(words[:most])}{more})"


def _set_head(choice: WordChoice) -> str:
    return f"A set of {counted(len(choice.words), 'word')} chosen together"


def _set_lines(choice: WordChoice) -> list[str]:
    found = choice.chosen_set
    if found is None:
        return []
    lines = [f"  {reason}" for reason in found.reasons]
    plain = f"taking the best next word each time gives {found.greedy_value:.2f}"
    return [*lines, f"  balance {found.value:.2f} by rules/words.toml ({plain}); --seed {found.seed}"]


def _wish_lines(choice: WordChoice) -> list[str]:
    lines = []
    for word in choice.out_of_reach:
        nearest = f"today {today_text(word, choice.language)}"
        care = clash_text(word.clashes)
        asks = "; ".join(word.new)
        lines.append(f"  {word.word}  {word.adult.ipa}: {nearest}{'; ' + care if care else ''}; needs {asks}")
    return ["", "On your list but not within reach; the nearest form that can be said:", *lines] if lines else []


def choice_lines(choice: WordChoice) -> list[str]:
    """Plain lines, for a pipe or a file."""
    lines = [_head(choice)]
    if choice.chosen_set is not None:
        lines += ["", _set_head(choice), *_set_lines(choice)]
    for heading, words in _sections(choice):
        lines += ["", heading, *(f"  {word_line(word, choice.language)}" for word in words)]
    lines += _pair_lines(choice) + _wish_lines(choice)
    return [*lines, *_foot(choice)]


def _pair_lines(choice: WordChoice) -> list[str]:
    if not choice.contrasts:
        return []
    head = f"Contrast pairs, homophones for this child today ({len(choice.contrasts)} of {choice.contrasts_found})"
    return ["", head, *(f"  {pair_line(pair)}" for pair in choice.contrasts)]


def _sections(choice: WordChoice) -> list[tuple[str, list[RankedWord]]]:
    groups: dict[int, list[RankedWord]] = {}
    for word in choice.words:
        groups.setdefault(len(word.things), []).append(word)
    all_of = dict(choice.passing)
    out = []
    for new, words in sorted(groups.items()):
        count = f" ({len(words)} of {all_of[new]})" if choice.chosen_set is None else ""
        out.append((section(new) + count, words))
    return out


def choice_parts(choice: WordChoice) -> list[Part]:
    """The chosen words as tables, for a terminal."""
    parts: list[Part] = [_head(choice)]
    if choice.chosen_set is not None:
        parts += [_set_head(choice), *_set_lines(choice)]
    for heading, words in _sections(choice):
        rows = []
        for word in words:
            adult = f"{word.adult.ipa}\n{respell_word(word.adult, choice.language, word.word)}"
            why = "\n".join(reason for reason in word.reasons if not reason.startswith("take care"))
            care = [reason.removeprefix("take care: ") for reason in word.reasons if reason.startswith("take care")]
            care += [clash_text(word.clashes)] if word.clashes else []
            kind = f"{word.part_of_speech}\n{word.category}"
            rows.append((word.word, adult, today_text(word, choice.language), kind, why, "\n".join(care)))
        headers = ("word", "adult says", "accept today", "kind", "why", "take care")
        parts.append(Columns(headers, tuple(rows), heading))
    return [*parts, *_pair_lines(choice), *_wish_lines(choice), *_foot(choice)]
