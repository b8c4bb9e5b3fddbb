"""How often `predict` foretells the form a simulated child says next, and whether its probabilities are true.

    python tests/bench/bench_predict.py [CHILDREN] [--from SEED] [--only NAME] [--bins] [--probe]

Three groups of invented children: `simulated_children` (English), `reference_children` (English and Spanish). Each child
says 25, 50 and 100 words once; then 40 other words are asked. Every word is said 300 times by the simulator: the share of
each form is its true chance (the noise of single tokens in it), so that nothing hangs on one draw. Printed, each with the
95 % interval of a bootstrap over children: top-1 and top-3 (the chance that the child says the likeliest form, one of the
three likeliest), the same for an oracle that knows the child (likeliest forms of 150 sayings, judged on the other 150), and
the calibration error (ten bins of the probability of the first form; mean gap between it and the hits). --probe: from 25
words, ten more that the probe list names beside ten, twenty and thirty taken at random: top-1, and the mean log-likelihood of
what is said. Nothing is asserted.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from math import log
from pathlib import Path
from time import perf_counter

import numpy as np

sys.path[:0] = [str(Path(__file__).resolve().parents[1] / each) for each in ("support", "support/children")]

import reference_children  # noqa: E402
import simulated_children  # noqa: E402

from approx.ipa import Word, read  # noqa: E402
from approx.processes.explain.explain import Explainer, Explanation  # noqa: E402
from approx.processes.predict.predict import Predictor, probe_next, rates  # noqa: E402
from approx.processes.rules.ruleset import load_rules  # noqa: E402

SIZES = (25, 50, 100)
ASKED = 40
SAYINGS = 300
BINS = 10
Form = tuple[str, ...]
"""Sounds of a form: how its syllables are cut is no matter here."""


@dataclass(frozen=True)
class Group:
    """Simulated children: their words, and how a child of a seed says one."""

    tag: str
    words: tuple[str, ...]
    pronouncer: Callable[[int], Callable[[str, random.Random], str]]


def simulated(seed: int) -> Callable[[str, random.Random], str]:
    """A child of `simulated_children`; in a tenth of the tokens one thing more is changed."""
    found = simulated_children.Child(simulated_children.child(seed).habits)

    def say(word: str, rng: random.Random) -> str:
        saying = simulated_children.Saying(word)
        simulated_children.say(saying, found, rng)
        if rng.random() < 0.1:
            simulated_children.slip(saying, rng)
        return saying.text()

    return say


def by_reference(language: str, seed: int) -> Callable[[str, random.Random], str]:
    """A child of `reference_children`."""
    return partial(_said, reference_children.child(seed, language))


def _said(who: reference_children.Child, word: str, rng: random.Random) -> str:
    return reference_children.say(word, who, rng)


GROUPS = {
    "simulated en": Group("en-US", tuple(simulated_children.words()), simulated),
    "reference en": Group("en-US", reference_children.words("en"), partial(by_reference, "en")),
    "reference es": Group("es", reference_children.words("es"), partial(by_reference, "es")),
}


@cache
def word(ipa: str, tag: str) -> Word:
    return read(ipa, tag).words[0]


def adult(form: str) -> str:
    """An adult form as it is typed: a dot before a mark says nothing."""
    return form.replace(".ˈ", "ˈ").replace(".ˌ", "ˌ")


@dataclass
class Asked:
    """One word asked of one child: the true chances, what an oracle would say, and what was foretold."""

    true: dict[Form, float]
    oracle: tuple[float, float]
    named: list[tuple[Form, float]]

    @property
    def hits(self) -> tuple[float, float]:
        """The chances that the first form, and one of the first three, is said."""
        chances = [self.true.get(form, 0.0) for form, _ in self.named[:3]]
        return chances[0], sum(chances)


Try = tuple[Word, dict[Form, float], tuple[float, float]]
"""A word to foretell, the true chances of its forms, and what an oracle would hit with one form and with three."""


def sayings(group: Group, seed: int) -> tuple[list[Explanation], list[Try]]:
    """One child: a hundred words said once and explained, and the words to foretell."""
    rng = random.Random(f"{group.tag} {seed}")
    say, talker = group.pronouncer(seed), explainer(group.tag)
    order = rng.sample(group.words, SIZES[-1] + ASKED)
    pairs = [(word(adult(w), group.tag), word(say(w, rng), group.tag)) for w in order[: SIZES[-1]]]
    tries: list[Try] = []
    for w in order[SIZES[-1] :]:
        forms = [word(say(w, rng), group.tag).phones for _ in range(SAYINGS)]
        first, second = Counter(forms[::2]), Counter(forms[1::2])
        best = [form for form, _ in first.most_common(3)]
        one, three = (sum(second[form] for form in best[:n]) / second.total() for n in (1, 3))
        tries.append((word(adult(w), group.tag), {f: n / SAYINGS for f, n in Counter(forms).items()}, (one, three)))
    return [talker.explain(target, produced) for target, produced in pairs], tries


def foretold(told: Sequence[Explanation], tries: Sequence[Try], tag: str) -> list[Asked]:
    """The words to foretell, from these pairs."""
    predictor = Predictor(rates(told, load_rules(), tag), load_rules(), tag)
    return [Asked(true, oracle, merged(predictor, target, tag)) for target, true, oracle in tries]


def asked_of(group: Group, seed: int) -> dict[int, list[Asked]]:
    """One child: the answers after each size of sample."""
    told, tries = sayings(group, seed)
    return {size: foretold(told[:size], tries, group.tag) for size in SIZES}


def probing(group: Group, seeds: range) -> None:
    """Ten words that the probe list names, beside words at random."""
    rows: dict[str, list[tuple[float, float]]] = {}
    for seed in seeds:
        told, tries = sayings(group, seed)
        base, rest = told[:25], told[25:]
        named = [(str(number), each.target) for number, each in enumerate(rest)]
        probes = probe_next(rates(base, load_rules(), group.tag), named, load_rules(), 10, group.tag)
        more = {"ten probes": [rest[int(probe.word)] for probe in probes]}
        more |= {f"{number} at random": rest[:number] for number in (0, 10, 20, 30)}
        for name, added in more.items():
            answers = foretold([*base, *added], tries, group.tag)
            likely = [
                sum(p * log(max(dict(each.named).get(form, 0.0), 1e-3)) for form, p in each.true.items())
                for each in answers
            ]
            hits = float(np.mean([each.hits[0] for each in answers]))
            rows.setdefault(name, []).append((hits, float(np.mean(likely))))
    for name, each in rows.items():
        top, likelihood = np.mean(each, axis=0)
        print(f"  25 words and {name:13} top-1 {top:.3f}  log-likelihood {likelihood:.3f}")


def merged(predictor: Predictor, target: Word, tag: str) -> list[tuple[Form, float]]:
    """The named forms as sounds."""
    return [(word(form.ipa, tag).phones, form.p) for form in predictor.predict(target).forms]


@cache
def explainer(tag: str) -> Explainer:
    return Explainer(load_rules(), tag)


def calibration(answers: list[Asked]) -> float:
    """Expected calibration error of the first form."""
    chance = np.array([each.named[0][1] for each in answers])
    hit = np.array([each.hits[0] for each in answers])
    bins = np.minimum((chance * BINS).astype(int), BINS - 1)
    gaps = [abs((hit[bins == b] - chance[bins == b]).sum()) for b in range(BINS)]
    return float(sum(gaps) / len(answers))


def table(answers: list[Asked]) -> None:
    """Bins of the first form's probability: how many, mean probability, mean hits."""
    chance = np.array([each.named[0][1] for each in answers])
    hit = np.array([each.hits[0] for each in answers])
    bins = np.minimum((chance * BINS).astype(int), BINS - 1)
    print(
        "     ",
        " ".join(
            f"{chance[bins == b].mean():.2f}>{hit[bins == b].mean():.2f}({(bins == b).sum()})"
            for b in range(BINS)
            if (bins == b).any()
        ),
    )


def summary(children: list[list[Asked]]) -> dict[str, tuple[float, float, float]]:
    """Each figure with its interval over children."""
    rng = np.random.default_rng(1)
    figures: dict[str, Callable[[list[list[Asked]]], float]] = {
        "top-1": lambda rows: float(np.mean([each.hits[0] for row in rows for each in row])),
        "top-3": lambda rows: float(np.mean([each.hits[1] for row in rows for each in row])),
        "oracle": lambda rows: float(np.mean([each.oracle[0] for row in rows for each in row])),
        "oracle 3": lambda rows: float(np.mean([each.oracle[1] for row in rows for each in row])),
        "ECE": lambda rows: calibration([each for row in rows for each in row]),
    }
    picks = [rng.integers(0, len(children), len(children)) for _ in range(200)]
    out = {}
    for name, figure in figures.items():
        again = [figure([children[n] for n in pick]) for pick in picks]
        low, high = np.quantile(again, (0.025, 0.975))
        out[name] = (figure(children), float(low), float(high))
    return out


def main() -> None:
    arguments = sys.argv[1:]
    number = int(arguments[0]) if arguments and arguments[0].isdigit() else 60
    begin = int(arguments[arguments.index("--from") + 1]) if "--from" in arguments else 5000
    only = arguments[arguments.index("--only") + 1] if "--only" in arguments else ""
    for name, group in GROUPS.items():
        if only not in name:
            continue
        if "--probe" in arguments:
            print(f"{name}: {number} children")
            probing(group, range(begin, begin + number))
            continue
        clock = perf_counter()
        found = [asked_of(group, seed) for seed in range(begin, begin + number)]
        print(f"{name}: {number} children, {ASKED} words each ({perf_counter() - clock:.0f} s)")
        for size in SIZES:
            row = summary([each[size] for each in found])
            print(
                f"  {size:3} words  " + "  ".join(f"{key} {v:.3f} ({a:.3f}-{b:.3f})" for key, (v, a, b) in row.items())
            )
            if "--bins" in arguments:
                table([each for child in found for each in child[size]])


if __name__ == "__main__":
    main()
