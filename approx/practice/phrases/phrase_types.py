"""What `phrases` answers: phrases with their adult sentences, frames with one open slot, and steps of grammar."""

from __future__ import annotations

from dataclasses import dataclass

from approx.practice.suggest.answer import ArticulatoryLoad
from approx.problems import Problem


@dataclass(frozen=True, slots=True)
class PhraseWord:
    """One word of a phrase: as spelled, the adult form, what the child says today, and what the adult form asks anew.

    `role`: agent, action, object, place, attribute, possessor, entity, compound, or "fixed" for a word of the frame.
    `new`: what the adult form asks beyond what is in the inventory, in plain words; () where the adult form is in the inventory.
    """

    word: str
    role: str
    adult_ipa: str
    today_ipa: str
    today_spelled: str
    cost: float
    new: tuple[str, ...]
    ask: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """What is in `new`, as keys of `approx.child.demands`."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """One phrase to practise. Every word's form of today is legal for the child; what is not in the inventory is named in `new`.

    `words`: the telegraphic phrase word by word; `telegraphic`: the same as one text; `adult_sentence`: the full
    sentence the adult says. `relation`: id of the relation or frame; `use`: what it is for. `clashes`: words of this
    phrase, or other phrases of the list, that sound alike today.
    """

    words: tuple[str, ...]
    telegraphic: str
    adult_sentence: str
    today_ipa: str
    today_spelled: str
    relation: str
    new: tuple[str, ...]
    use: str = ""
    adult_ipa: str = ""
    frame: str = ""
    parts: tuple[PhraseWord, ...] = ()
    load: ArticulatoryLoad = ArticulatoryLoad(0, (), 0)
    closeness: float = 1.0
    cost: float = 0.0
    clashes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Frame:
    """A phrase with one open slot, costed for the child: what its fixed words ask, before any filler.

    `text`: "more ___". `fixed`: the fixed words as the child can say them today. `new`: what they ask anew.
    `missing`: fixed words nothing of which is sayable yet; the frame then has no phrases.
    """

    id: str
    text: str
    use: str
    relation: str
    source: str
    fixed: tuple[PhraseWord, ...]
    today_spelled: str
    new: tuple[str, ...]
    cost: float
    phrases: tuple[Phrase, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GrammarStep:
    """One rung of a grammar ladder: one addition to the rung `builds_on` (its number; 0 for the first rung).

    `phrase`: the words now; `adds`: the addition in plain words; `step`: its id in `rules/phrases/grammar_*.toml`.
    `new`: what the changed words ask of the child anew; `warnings`: endings that need a sound or a final cluster the
    child lacks. `main` is False for a side step (past, question, pronoun) that is no rung of the way to the sentence.
    """

    number: int
    builds_on: int
    step: str
    phrase: str
    adds: str
    adult_ipa: str
    today_ipa: str
    today_spelled: str
    new: tuple[str, ...]
    warnings: tuple[str, ...]
    source: str
    main: bool = True


@dataclass(frozen=True, slots=True)
class GrammarLadder:
    """A phrase of two words or more on its way to the adult sentence, and the side steps from there."""

    phrase: str
    adult_sentence: str
    order: str
    order_source: str
    steps: tuple[GrammarStep, ...]


@dataclass(frozen=True, slots=True)
class PhraseAnswer:
    """Everything `phrases` found for one child, with what stood in the way."""

    child: str
    language: str
    signature: str
    phrases: tuple[Phrase, ...] = ()
    frames: tuple[Frame, ...] = ()
    ladder: GrammarLadder | None = None
    problems: tuple[Problem, ...] = ()
