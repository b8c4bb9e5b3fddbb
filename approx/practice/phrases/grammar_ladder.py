"""A grammar ladder for one child: from two words up, one addition a step, each with what it asks of the child's sounds.

Steps and their orders are data (`rules/phrases/grammar_*.toml`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache

from approx.datafiles import read_toml, rules_path
from approx.ipa.features import is_nucleus
from approx.lexicon.spelling import base_language
from approx.practice.grammar.en.nouns import SentenceWord
from approx.practice.grammar.moves import Easiest, Ladder, Move
from approx.practice.grammar.phrase_grammar import adult_sentence, grammar_of
from approx.practice.grammar.phrase_words import SceneWord, Vocabulary
from approx.practice.grammar.recipes import WholeLadder, action_phrase, in_frame, set_phrase
from approx.practice.phrases.child_pronouncer import Ask, ChildPronouncer, adult_word, described
from approx.practice.phrases.phrase_maker import clashes_within, rude_in
from approx.practice.phrases.phrase_types import GrammarLadder, GrammarStep, PhraseWord
from approx.problems import Problem
from approx.wording import enumerated, worded


@dataclass(frozen=True, slots=True)
class StepKind:
    """One step: its id, what it adds in plain words, its source. `main` is False for a side step."""

    id: str
    adds: str
    source: str
    main: bool


@dataclass(frozen=True, slots=True)
class StepOrder:
    """An order of steps; an empty one means the cheapest for the child's sounds first. `describing`: goes on to a describing
    word that the phrase does not have."""

    id: str
    about: str
    source: str
    steps: tuple[str, ...]
    describing: bool = True


def step_kinds(language: str) -> dict[str, StepKind]:
    """Every step by id, in file order."""
    return _steps(base_language(language))


def step_orders(language: str) -> dict[str, StepOrder]:
    """Every order by id."""
    return _orders(base_language(language))


@cache
def _steps(language: str) -> dict[str, StepKind]:
    rows = read_toml(rules_path(f"phrases/grammar_{language}.toml"))["step"]
    return {row["id"]: StepKind(row["id"], row["adds"], row["source"], row.get("main", True)) for row in rows}


@cache
def _orders(language: str) -> dict[str, StepOrder]:
    table = read_toml(rules_path(f"phrases/grammar_{language}.toml"))["orders"]
    return {
        name: StepOrder(name, row["about"], row["source"], tuple(row["steps"]), row.get("describing", True))
        for name, row in table.items()
    }


DEFAULT_ORDER = "development"
_MOST = 20
"""More rungs than any clause known here has: a guard against data that never ends."""

_NOT_GRAMMAR = "where it is omitted, that says nothing about grammar yet"
_HELPERS = frozenset({"copula", "auxiliary", "preposition", "place", "question", "negative", "stand-in", "pronoun"})
"""Steps that add a small word whose last sound may be out of reach."""


@dataclass(slots=True)
class _Climb:
    """What was said on the rungs so far."""

    ladder: Ladder
    pronouncer: ChildPronouncer
    language: str
    steps: list[GrammarStep] = field(default_factory=list)
    rungs: list[object] = field(default_factory=list)
    parts: list[tuple[PhraseWord, ...]] = field(default_factory=list)

    def asks(
        self, rung: object, base: int
    ) -> tuple[tuple[PhraseWord, ...], list[tuple[SentenceWord, tuple[Ask, ...]]]]:
        """Words of a rung, and of the changed ones what they ask beyond the rung they build on (by its index; -1 none)."""
        words = self.ladder.words(rung)
        parts = self.pronouncer.say_all(words)
        below = self.parts[base] if base >= 0 else ()
        had = {ask for part in below for ask in part.ask}
        known = {(part.word.lower(), part.adult_ipa) for part in below}
        changed = [
            (word, tuple(ask for ask in part.ask if ask not in had))
            for word, part in zip(words, parts)
            if (part.word.lower(), part.adult_ipa) not in known
        ]
        return parts, changed

    def add(self, move: Move, base: int, main: bool) -> None:
        parts, changed = self.asks(move.rung, base)
        below = clashes_within(self.parts[base]) if base >= 0 else ()
        kinds = step_kinds(self.language)
        kind = kinds.get(move.step)
        new = tuple(
            dict.fromkeys(
                worded("{ask} in '{text}'", ask=described(ask), text=word.text)
                for word, asks in changed
                for ask in asks
            )
        )
        step = GrammarStep(
            number=len(self.steps) + 1,
            builds_on=base + 1,
            step=move.step,
            phrase=self.ladder.written(move.rung),
            adds=move.adds,
            adult_ipa=" ".join(part.adult_ipa for part in parts if part.adult_ipa),
            today_ipa=" ".join(part.today_ipa for part in parts if part.today_ipa),
            today_spelled=" ".join(part.today_spelled for part in parts if part.today_ipa),
            new=new,
            warnings=(
                *_unsayable(parts),
                *(said for said in clashes_within(parts) if said not in below),
                *_rude(parts, self.language),
                *self.endings([w for w, _ in changed], move.step),
            ),
            source=kind.source if kind else "",
            main=main,
        )
        self.steps.append(step)
        self.rungs.append(move.rung)
        self.parts.append(parts)

    def endings(self, changed: Sequence[SentenceWord], step: str) -> tuple[str, ...]:
        """Endings and helper words that ask for a last sound or cluster the child lacks; endings lost in today's form."""
        out = []
        for word in changed:
            stem = self.pronouncer.say(word.stem).ask if word.stem else ()
            said = self.pronouncer.say(word.text, word.ipa)
            closed = bool(said.adult_ipa) and not is_nucleus(adult_word(said.adult_ipa, self.language).phones[-1])
            final = [ask for ask in said.ask if closed and _at_the_end(ask) and ask not in stem]
            what = enumerated(", ", (described(ask) for ask in final))
            if word.ending and final:
                out.append(
                    worded(
                        "the ending of '{text}' sounds {ending}: it needs {what}; {not_grammar}",
                        text=word.text,
                        ending=word.ending,
                        what=what,
                        not_grammar=_NOT_GRAMMAR,
                    )
                )
            elif final and step in _HELPERS and not word.ipa:
                out.append(
                    worded("'{text}' needs {what}; {not_grammar}", text=word.text, what=what, not_grammar=_NOT_GRAMMAR)
                )
            if word.ending and word.stem and self.same_today(word):
                out.append(
                    worded(
                        "today '{text}' sounds like '{stem}': the ending is not heard", text=word.text, stem=word.stem
                    )
                )
        return tuple(dict.fromkeys(out))

    def same_today(self, word: SentenceWord) -> bool:
        with_it = self.pronouncer.say(word.text, word.ipa).today_ipa
        return bool(with_it) and with_it == self.pronouncer.say(word.stem).today_ipa


def grammar_ladder(
    text: str, pronouncer: ChildPronouncer, order: str = DEFAULT_ORDER, vocabulary: Vocabulary | None = None
) -> tuple[GrammarLadder | None, tuple[Problem, ...]]:
    """The ladder of a phrase, or None and a problem where the phrase or the order is not known.

    The first rung has two words; each further main rung adds one thing, in the given order, up to the adult sentence
    and, where they fit, a describing word and a place. Side steps (past, question, pronoun, not) follow.
    """
    table = step_orders(pronouncer.language)
    if order not in table:
        message = worded("{option} cannot be {value}", option="--order", value=f"'{order[:30]}'")
        return None, (
            Problem("use.order", message, worded("one of: {known}", known=", ".join(table)), symbol=order[:30]),
        )
    ladder, problems = ladder_of(text, pronouncer.language, vocabulary, _easiest(pronouncer), table[order])
    if ladder is None:
        return None, problems
    climb = _Climb(ladder, pronouncer, pronouncer.language)
    climb.add(Move("start", "", ladder.start), -1, True)
    while len(climb.rungs) < _MOST:
        moves = ladder.moves(climb.rungs[-1])
        if not moves:
            break
        climb.add(_next(moves, table[order], climb), len(climb.rungs) - 1, True)
    for base, move in ladder.sides(list(climb.rungs)):
        climb.add(move, base, False)
    made = GrammarLadder(text, ladder.sentence, order, table[order].source, tuple(climb.steps))
    return made, problems


def _next(moves: list[Move], order: StepOrder, climb: _Climb) -> Move:
    """The first move by the order; by sounds, the one that asks least, subject first."""
    if order.steps:
        return min(
            moves, key=lambda move: order.steps.index(move.step) if move.step in order.steps else len(order.steps)
        )

    def weight(move: Move) -> tuple[bool, int]:
        _, changed = climb.asks(move.rung, len(climb.rungs) - 1)
        return move.step != "subject", sum(len(asks) for _, asks in changed)

    return min(moves, key=weight)


def _easiest(pronouncer: ChildPronouncer) -> Easiest:
    def pick(words: Sequence[SceneWord]) -> SceneWord | None:
        """The word with the least new in it; of equal ones the first."""
        asked = sorted(words, key=lambda word: sum(len(pronouncer.asks(ipa)) for ipa in word.ipa.split()))[:6]
        said = [(pronouncer.say_word(word, ""), word) for word in asked]
        ready = [
            (sum(part.cost for part in parts), word) for parts, word in said if all(part.today_ipa for part in parts)
        ]
        return min(ready, key=lambda pair: pair[0])[1] if ready else asked[0] if asked else None

    return pick


def _unsayable(parts: Sequence[PhraseWord]) -> tuple[str, ...]:
    return tuple(worded("no form of '{word}' is sayable yet", word=part.word) for part in parts if not part.today_ipa)


def _rude(parts: Sequence[PhraseWord], language: str) -> tuple[str, ...]:
    said = [part for part in parts if part.today_ipa]
    found = rude_in(said, language)
    return tuple(worded("careful: today it sounds like {words}", words=name) for name, _ in found)


def _at_the_end(ask: Ask) -> bool:
    kind, item = ask
    return kind in ("consonant", "cluster") and item[-1] == "final" or kind == "shape" and item[0].endswith("C")


def ladder_of(
    text: str, language: str, vocabulary: Vocabulary | None, easiest: Easiest, order: StepOrder
) -> tuple[Ladder | None, tuple[Problem, ...]]:
    """The ladder of a phrase in its language; None with a problem where the phrase cannot be read.

    A set phrase ("all done") goes by its own rungs, and so does a phrase in a frame that has rungs ("no juice"). A phrase
    that makes no clause but fills another frame ("where ball") goes to the sentence of that; one that is its own sentence
    ("hi Mama") has none.
    """
    whole = set_phrase(text, language) or action_phrase(text, language)
    if whole is not None:
        return WholeLadder(text, whole.rungs, whole.adult), ()
    framed = in_frame(text, language, vocabulary)
    ladder, problems = None, tuple[Problem, ...]()
    if framed is None or not framed[0].rungs:
        ladder, problems = _of_clause(text, language, vocabulary, easiest, order)
    if ladder is None and framed is not None:
        recipe, filler = framed
        sentence, _ = adult_sentence(text, language, vocabulary)
        between = [grammar_of(language).filled(rung, filler) for rung in recipe.rungs]
        start = between.pop(0) if recipe.plural else text  # "dos gato" begins as "dos gatos"
        climb = WholeLadder(start, between, sentence)
        if climb.is_flat:
            message = worded(
                "'{text}' takes no further steps here; its full sentence is: {sentence}",
                text=text[:60],
                sentence=sentence,
            )
            return None, (Problem("phrases.steps", message, "give a phrase with an action, a thing or a place"),)
        return climb, ()
    return ladder, problems


def _of_clause(
    text: str, language: str, vocabulary: Vocabulary | None, easiest: Easiest, order: StepOrder
) -> tuple[Ladder | None, tuple[Problem, ...]]:
    if base_language(language) == "es":
        from approx.practice.grammar.es.steps import spanish_ladder

        return spanish_ladder(text, vocabulary, easiest, describing=order.describing)
    from approx.practice.grammar.en.steps import english_ladder

    return english_ladder(text, vocabulary, easiest, describing=order.describing)
