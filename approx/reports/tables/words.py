"""Chosen words as JSON (the keys are a promise) and as rows for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from approx.lexicon.respelling.respelling import respell_word
from approx.practice.words.contrasts import ContrastPair
from approx.practice.words.openers import Opener
from approx.practice.words.word_bank import NewElement, RankedWord, WordSet
from approx.practice.words.word_choice import WordChoice
from approx.reports.tables.suggestions import clash_objects

WORD_COLUMNS = (
    "word", "adult", "adult_spelled", "today", "today_spelled", "new_things", "new", "in_hand_of", "asked", "part_of_speech",
    "category", "picturable", "zipf", "shape", "syllables", "wcm", "ipc", "goals", "clashes", "contrasts", "score", "why",
)  # fmt: skip


def choice_json(choice: WordChoice) -> dict[str, Any]:
    """The whole answer. `words` are the set's words where a set was asked for."""
    return {
        "child": choice.child,
        "language": choice.language,
        "signature": choice.signature,
        "problems": [problem.as_json() for problem in choice.problems],
        "bank": {"words": choice.bank_size, "in_hand": choice.in_hand, "one_new": choice.one_new},
        "most_new": choice.most_new,
        "order": choice.order or "in the inventory",
        "orders": [
            {"order": each.order.name, "says": each.order.says, "source": each.order.source, "words": list(each.words)}
            for each in choice.orders
        ],
        "passing": [{"new_things": new, "words": count} for new, count in choice.passing],
        "words": [word_json(word, choice.language) for word in choice.words],
        "set": _set(choice.chosen_set) if choice.chosen_set else None,
        "contrasts": [_pair(pair) for pair in choice.contrasts],
        "would_open": [_opener(opener) for opener in choice.would_open],
        "first_steps": [{"thing": step.thing.text, "words": list(step.words)} for step in choice.steps],
        "out_of_reach": [word_json(word, choice.language) for word in choice.out_of_reach],
    }


def word_json(word: RankedWord, language: str) -> dict[str, Any]:
    """One word: what it is, what is new, what the child says today, and why it is here."""
    bank = word.bank
    return {
        "word": word.word,
        "adult": word.adult.ipa,
        "adult_spelled": respell_word(word.adult, language, word.word),
        "today": word.today,
        "today_spelled": word.today_spelled,
        "in_hand": {"have": word.have, "asks": word.asks, "share": round(word.in_hand, 3)},
        "new": [_thing(thing) for thing in word.things],
        "part_of_speech": word.part_of_speech,
        "category": word.category,
        "picturable": bank.picturable,
        "frequency": bank.frequency,
        "shape": bank.shape,
        "syllables": bank.syllables,
        "complexity": {"wcm": bank.wcm, "ipc": bank.ipc},
        "own": bank.own,
        "goals": list(word.goals),
        "clashes": clash_objects(word.clashes),
        "contrasts": list(word.contrasts),
        "score": word.score,
        "reasons": list(word.reasons),
    }


def _thing(thing: NewElement) -> dict[str, Any]:
    demands = [{"kind": kind, "item": list(item)} for kind, item in thing.keys]
    return {"kind": thing.kind, "text": thing.text, "emerging": thing.emerging, "demands": demands}


def _set(found: WordSet) -> dict[str, Any]:
    return {
        "words": [word.word for word in found.words],
        "seed": found.seed,
        "value": found.value,
        "greedy_value": found.greedy_value,
        "parts": dict(found.parts),
        "reasons": list(found.reasons),
    }


def _pair(pair: ContrastPair) -> dict[str, Any]:
    return {
        "word": pair.word,
        "other": pair.other,
        "adult": pair.adult,
        "other_adult": pair.other_adult,
        "today": pair.today,
        "differ": list(pair.differ),
        "kind": pair.kind,
        "processes": list(pair.processes),
        "new": list(pair.new),
    }


def _opener(opener: Opener) -> dict[str, Any]:
    return {
        "things": [thing.text for thing in opener.things],
        "opens": len(opener.words),
        "words": list(opener.words[:12]),
    }


def choice_rows(choice: WordChoice) -> Iterator[tuple[str | int | float | None, ...]]:
    """A row a word, in the order shown, those out of reach last; columns: `WORD_COLUMNS`."""
    for word in (*choice.words, *choice.out_of_reach):
        bank = word.bank
        yield (
            word.word, word.adult.ipa, respell_word(word.adult, choice.language, word.word), word.today, word.today_spelled,
            len(word.things), "; ".join(word.new), word.have, word.asks, word.part_of_speech, word.category,
            "yes" if bank.picturable else "no", bank.frequency, bank.shape, bank.syllables, bank.wcm, bank.ipc,
            "; ".join(word.goals), "; ".join(f"{clash.word} ({clash.kind})" for clash in word.clashes), "; ".join(word.contrasts),
            word.score, "; ".join(word.reasons),
        )  # fmt: skip
