"""Simulated children made by the package's own rules, at places and with labels that are written down as it goes.

Unlike `simulated_children` this reaches every process there is a rule for. What it shows is the round trip: what the rules
do to a word is found again in a whole sample. All children are invented.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field

from simulated_children import ANY_CONSONANT, target, words

from approx.ipa import read
from approx.ipa.features import is_nucleus
from approx.ipa.word import Word
from approx.processes.engine.apply import apply
from approx.processes.engine.form import Form, form_of
from approx.processes.explain.opportunities import opportunities_in
from approx.processes.rules.rule import Rule
from approx.processes.rules.ruleset import RuleSet

STRUCTURE = ("weak syllable deletion", "cluster reduction", "final consonant deletion", "initial consonant deletion",
             "medial consonant deletion")  # fmt: skip
SOUNDS = (
    "stopping", "velar fronting", "palatal fronting", "deaffrication", "gliding", "vocalization", "denasalization",
    "glottal replacement", "prevocalic voicing", "final devoicing", "labial assimilation", "velar assimilation",
    "nasal assimilation", "backing",
)  # fmt: skip
NEVER_BOTH = (
    # one hides the other, or no listener could tell which of the two it was
    {"velar fronting", "velar assimilation"}, {"velar fronting", "backing"}, {"backing", "velar assimilation"},
    {"denasalization", "nasal assimilation"}, {"stopping", "deaffrication"}, {"palatal fronting", "backing"},
)  # fmt: skip


@dataclass
class Child:
    """Habits, tokens as (adult form, said), and how often each process was carried out, on how many chances."""

    habits: dict[str, float]
    tokens: list[tuple[Word, Word]] = field(default_factory=list)
    uses: Counter[str] = field(default_factory=Counter)
    chances: Counter[str] = field(default_factory=Counter)

    def percent(self, process: str) -> float:
        """Uses in a hundred chances; 0 without a chance."""
        return 100 * self.uses[process] / self.chances[process] if self.chances[process] else 0.0

    def has(self, process: str) -> bool:
        """True if the child did it on at least four chances and a fifth of them."""
        return self.chances[process] >= 4 and self.percent(process) >= 20


def child(seed: int, rules: RuleSet, noise: float = 0.1) -> Child:
    """A child with two to four habits and 60 to 100 words; the same for the same seed."""
    rng = random.Random(seed)
    picked: set[str] = set()
    while len(picked) < rng.randint(2, 4):
        name = rng.choice((*STRUCTURE, *SOUNDS))
        if not any(pair <= {*picked, name} for pair in NEVER_BOTH):
            picked.add(name)
    found = Child({name: round(rng.uniform(0.3, 1.0), 2) for name in sorted(picked)})
    usable = [r for r in rules.rules if {"simplify", "explain"} <= set(r.uses) and r.language in ("", "en")]
    for word in rng.sample(words(), rng.randint(60, 100)):
        adult = read(target(word)).words[0]
        for process, places in opportunities_in(adult).items():
            found.chances[process] += len(places)
        said = say(form_of(adult), found, usable, rng)
        if rng.random() < noise:
            said = slip(said, rng)
        found.tokens.append((adult, read(said.word.ipa).words[0]))
    return found


def say(form: Form, child: Child, rules: list[Rule], rng: random.Random) -> Form:
    """The word after the child's habits: each is asked once at every chance, and carried out by its cheapest rule."""
    adult = form
    for process in (*STRUCTURE, *SOUNDS):
        if process not in child.habits:
            continue
        mine = [rule for rule in rules if rule.process == process]
        for place in opportunities_in(adult.word).get(process, ()):
            offers = [
                (rule.cost, rule.id, after)
                for rule in mine
                for low, high, after in apply(rule.change, form)
                if whole(form, adult, low, high, place)
            ]
            if offers and rng.random() < child.habits[process]:
                child.uses[process] += 1
                form = min(offers)[2]
    return form


def whole(form: Form, adult: Form, low: int, high: int, place: tuple[int, ...]) -> bool:
    """True if a change stands on a chance, and no sound of the chance or beside it has gone or changed before."""
    touched = form.origins[low:high]
    if not touched or not set(touched) & set(place):
        return False
    near = range(max(0, min(*touched, *place) - 1), min(len(adult.phones), max(*touched, *place) + 2))
    return all(at in form.origins and form.phones[form.origins.index(at)] == adult.phones[at] for at in near)


def slip(form: Form, rng: random.Random) -> Form:
    """One consonant said as any other."""
    places = [at for at, phone in enumerate(form.phones) if not is_nucleus(phone)]
    if not places:
        return form
    at = rng.choice(places)
    return form._replace(phones=(*form.phones[:at], rng.choice(ANY_CONSONANT), *form.phones[at + 1 :]))
