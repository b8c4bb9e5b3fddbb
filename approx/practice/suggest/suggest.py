"""Suggest: for a phrase or a list of words, what this child can be asked to say today and the way back up.

A telegraphic phrase leaves small words out; which ones stands in `rules/phrases/*.toml`.
"""

from __future__ import annotations

from collections.abc import MutableSequence, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property, lru_cache
from itertools import islice, product
from pathlib import Path

from approx.child.demands import Demand, all_demands, demands, describe, sayable
from approx.child.profile import NOTHING_IN_HAND, Profile, WordHeard
from approx.child.search_limits import limits, untested_demands
from approx.datafiles import read_toml, rules_path
from approx.ipa import read
from approx.ipa.features import distance, is_nucleus
from approx.ipa.word import Word
from approx.lexicon.respelling.respelling import respell_word
from approx.lexicon.spelling import base_language
from approx.practice.suggest import clashes
from approx.practice.suggest.another_word import another_word
from approx.practice.suggest.answer import (
    Answer,
    AppliedRule,
    Approximation,
    NearForm,
    PhraseForm,
    PhraseKind,
    ShownRung,
    Suggestion,
    load_of,
)
from approx.practice.suggest.input_targets import InputTarget, targets_in_list, targets_in_phrase
from approx.problems import Problem
from approx.processes.accept.accept import variants_of
from approx.processes.accept.accept_rules import AccentSet, accent_of, load_accents
from approx.processes.accept.rule_uses import RuleUse
from approx.processes.engine.cost_bounds import closeness
from approx.processes.engine.form import Form
from approx.processes.engine.search import Found
from approx.processes.rules.ruleset import RuleSet, load_rules
from approx.processes.simplify.ladder import Rung, ladder
from approx.processes.simplify.nearness import apart, as_a_listener_hears, as_heard, sounds_like_it
from approx.processes.simplify.simplify import Simplifier
from approx.scoring.judging.complexity import ipc, wcm
from approx.wording import enumerated, worded


@cache
def _drops(primary: str) -> frozenset[str]:
    name = {"en": "en-us", "es": "es"}.get(primary)
    return (
        frozenset(read_toml(rules_path(f"phrases/{name}.toml"))["telegraphic_drops"].split()) if name else frozenset()
    )


def is_dropped(word: str, language: str) -> bool:
    """True for an article, auxiliary or other small word that early talk leaves out."""
    return word.lower().replace("’", "'") in _drops(language.lower().split("-")[0])


_WIDER, _MANY = 12, 40
"""Forms among which a clean one is looked for where the nearest is rude: so many of those near it; then so many."""
_KEPT = 20_000
"""Words kept ready for one child."""


@dataclass(frozen=True, slots=True)
class SuggestOptions:
    """What a clinician may set. `top`: how many forms a word; `emerging`: let emerging sounds in; `short`: telegraphic."""

    top: int = 3
    language: str = ""
    emerging: bool = False
    short: bool = False
    rules: Path | None = None
    notation: str = "ipa"
    clash_words: bool = True


class Suggester:
    """One child and one rule set, ready for many phrases."""

    def __init__(self, profile: Profile, options: SuggestOptions = SuggestOptions(), page: str = "") -> None:
        """`page`: the language today's forms are spelled in, where that is another than the language of the words."""
        self.profile, self.options = profile, options
        self.language = options.language or profile.language
        self.page = page or self.language
        self._others: dict[str, Suggester] = {}
        self.rules: RuleSet = load_rules(options.rules)
        self.limits = limits(profile, options.emerging)
        self._atypical = frozenset(rule.id for rule in self.rules.rules if rule.atypical)
        self.untested = untested_demands(profile)
        shapes = any(kind == "shape" for kind, _ in self.untested)
        self._untested_sounds = None if shapes else frozenset(item[0] for _, item in self.untested)
        """Sounds one of which a word must have to ask for what is untested; None where any word may."""
        self._known: dict[InputTarget, tuple[Suggestion, tuple[Problem, ...]]] = {}
        self.simplifier = Simplifier(self.rules, self.limits, self.language)

    @property
    def signature(self) -> str:
        """What the answer depends on, in one line."""
        from approx.version import __version__

        emerging = "in" if self.options.emerging else "out"
        accent = f"|accents:{'+'.join(self.profile.accent)}" if self.profile.accent else ""
        return f"rules:{self.rules.hash}|emerging:{emerging}{accent}|lang:{self.language}|v:{__version__}"

    def phrase(self, text: str) -> Answer:
        """A phrase as typed: words between blanks; a word between slashes is IPA."""
        targets, problems = targets_in_phrase(text, self.language, self.profile, self.options.notation)
        if not targets and not problems:
            hint = 'write words, or IPA between slashes, such as "more tea" or /spun/'
            problems = (Problem("suggest.empty", "no word in the phrase", hint),)
        if self.options.short:
            dropped = [target.typed for target in targets if is_dropped(target.typed, self.language)]
            targets = tuple(target for target in targets if not is_dropped(target.typed, self.language))
            if dropped:
                said = worded("left out of the telegraphic phrase: {words}", words=enumerated(", ", dropped))
                problems = (*problems, Problem("suggest.short", said, "without --short they are kept", fatal=False))
        words, more = self.suggestions(targets)
        forms = self.phrase_forms(words)
        adult = [word.adult for word in words if word.adult is not None]
        found = (*problems, *more)
        return Answer(text, self.profile.code, self.signature, words, forms, found, load_of(adult) if adult else None)

    def list(self, rows: Sequence[tuple[str, str, int]], file: str = "") -> Answer:
        """Words with optional IPA and their line: (word, ipa or "", line)."""
        targets, problems = targets_in_list(rows, self.language, self.profile, file, self.options.notation)
        words, more = self.suggestions(targets)
        return Answer(None, self.profile.code, self.signature, words, (), (*problems, *more))

    def suggestions(self, targets: Sequence[InputTarget]) -> tuple[tuple[Suggestion, ...], tuple[Problem, ...]]:
        """Every target by itself, then set apart from the others."""
        problems: MutableSequence[Problem] = []
        of = [self.in_language(target.language) for target in targets]
        words = [each.one(target, problems) for each, target in zip(of, targets)]
        pairs = [[(as_a_listener_hears(form.word), form.cost) for form in _movable(word)] for word in words]
        adults = [word.adult.ipa if word.adult else "" for word in words]

        def is_worse(number: int, at: int) -> bool:
            form = words[number].approximations[at].ipa
            return clashes.is_worse_than_alike(form, of[number].language, adults[number])

        for number, at in enumerate(clashes.keep_apart(pairs, adults, is_worse)):
            if at:
                words[number] = of[number].moved_first(words[number], at)
        firsts = [as_a_listener_hears(word.approximations[0].word) if word.approximations else "" for word in words]
        shared = clashes.with_targets(firsts, [word.word for word in words], adults)
        shared = [
            self._with_refusal(found, first, adult) for found, first, adult in zip(shared, firsts, adults, strict=True)
        ]
        marked = tuple(_with_targets(word, found) for word, found in zip(words, shared))
        return marked, tuple(problems)

    @cached_property
    def _refusal(self) -> tuple[str, str]:
        """The adult form of "no" and how this child says it today, by ear; "" where it is not said or read."""
        if base_language(self.language) not in ("en", "es"):
            return "", ""
        (no, *_), _ = targets_in_list([("no", "", 1)], self.language, self.profile, "")
        form = self.first_form("no", no.adult) if no.adult is not None else None
        return (no.adult.ipa, as_a_listener_hears(form.word)) if no.adult is not None and form is not None else ("", "")

    def _refuses(self, word: Word, typed: str) -> bool:
        """Whether a form of another word than "no" is heard as this child's "no"."""
        return typed.lower() != "no" and as_a_listener_hears(word) == self._refusal[1]

    def _with_refusal(self, found: tuple[clashes.Clash, ...], first: str, adult: str) -> tuple[clashes.Clash, ...]:
        """What a form is shared with, and "no" where it is heard as that: whoever asks for more must not be heard to refuse."""
        no, said = self._refusal
        named = {clash.word.lower() for clash in found}
        if not first or first != said or adult in ("", no) or "no" in named:
            return found
        return (*found, clashes.Clash("no", "target"))

    def in_language(self, language: str) -> Suggester:
        """The suggester of a word of the child's other language: its rules, its rude forms; "" for this one's."""
        if not language or language == self.language:
            return self
        if language not in self._others:
            self._others[language] = Suggester(self.profile, replace(self.options, language=language), self.page)
        return self._others[language]

    def one(self, target: InputTarget, problems: MutableSequence[Problem]) -> Suggestion:
        """One word, without regard to the others; kept, for a phrase is often asked again with one word changed."""
        known = self._known.get(target)
        if known is None:
            if len(self._known) >= _KEPT:
                self._known.clear()
            remarks: MutableSequence[Problem] = []
            known = self._known[target] = (self._one(target, remarks), tuple(remarks))
        problems += known[1]
        return known[0]

    @cached_property
    def _variety(self) -> AccentSet:
        """What is as right as the word list in this child: the accents of the child's file; in Spanish also what all of its
        varieties share (j for ʝ). What English shares, flaps above all, is nothing that a child's file lists."""
        shared = ("allophones",) if base_language(self.language) == "es" else ()
        return load_accents(self.profile.accent, self.language, shared)

    def in_own_variety(self, adult: Word) -> Word:
        """The adult form as the child's own people say it, where the child has the sounds for that and not for the form of the word
        list: yo is [ʃo] in Buenos Aires, and a child who says [ʃo] there says it right."""
        if not self._variety.rules:
            return adult
        lacks = self._lacks(adult)
        if not lacks:
            return adult
        found = variants_of(adult, self._variety)
        chosen: list[RuleUse] = []
        # of one sound what the child's own accent has, before what all varieties share
        for place in sorted(found.places, key=lambda each: (each.start, accent_of(each.rule) == "allophones")):
            done = chosen and chosen[-1].start == place.start
            if done or not _one_for_one(place, adult) or not self._has(place.phones[0]):
                continue
            fewer = self._lacks(found.form([*chosen, place]))
            if fewer < lacks:
                chosen, lacks = [*chosen, place], fewer
        return found.form(chosen) if chosen else adult

    def _has(self, sound: str) -> bool:
        """True if the child has a sound somewhere; how a vowel is coloured by its neighbours is in no child's file."""
        return sound in self.limits.vowels or any(sound in known for known in self.limits.consonants.values())

    def _lacks(self, word: Word) -> int:
        """How many things a form asks for that the child does not have."""
        return sum(1 for _ in demands(word.phones, word.starts, self.limits, stress=word.stress))

    def _one(self, target: InputTarget, problems: MutableSequence[Problem]) -> Suggestion:
        if target.adult is None:
            return Suggestion(target.typed, None, "", "", False, target.note, 0, 0, (), ())
        adult = self.in_own_variety(target.adult)
        longest = self.simplifier.w.longest_word
        if len(adult.starts) > longest or len(adult.phones) > 4 * longest:
            hint = "give it as several words"
            size = worded(
                "{starts} {starts:syllable|syllables}, {phones} {phones:sound|sounds}",
                starts=len(adult.starts),
                phones=len(adult.phones),
            )
            message = worded(
                "'{typed}' has {size}: too long to be simplified as one word", typed=target.typed[:40], size=size
            )
            problems.append(Problem("suggest.too-long", message, hint, symbol=target.typed[:40]))
            return Suggestion(
                target.typed, adult, "", target.read_from, target.sure, message, *_complexity(adult), (), ()
            )
        forms, start = self.forms(target, adult, self.options.top, problems)
        note = target.note
        if not forms:
            note = "no form of this word is sayable yet with the sounds and shapes in the inventory"
            problems.append(
                Problem(
                    "suggest.nothing",
                    worded("'{typed}': {note}", typed=target.typed, note=note),
                    symbol=target.typed,
                    fatal=False,
                )
            )
        rungs = self.rungs(adult, start)
        shown = self.steps(rungs, target.typed, adult)
        # the adult word of the child's other language is spelled as that is; today's forms as the page is
        spelled = respell_word(target.adult, target.language or self.language, target.typed)
        instead = ""
        if forms and forms[0].atypical:
            instead = another_word(target.typed, adult, self.limits, self.language)
        return Suggestion(
            target.typed, adult, spelled, target.read_from, target.sure, note, *_complexity(adult),
            forms, shown, target.other_readings, is_dropped(target.typed, self.language),
            self.near(rungs, target.typed), self.never_tried(adult), instead,
            target.adult.ipa if adult.phones != target.adult.phones else "",
        )  # fmt: skip

    def forms(
        self, target: InputTarget, adult: Word, most: int, problems: MutableSequence[Problem]
    ) -> tuple[tuple[Approximation, ...], Word | None]:
        """Up to `most` forms of one word in the order they are offered, and the form its ladder begins at, None for the first."""
        nearest = self.simplifier.run(adult, most)
        found, start = self.clean_first(nearest, adult, most)
        by_ear: dict[str, Found] = {}  # one of those no ear tells apart
        for each in found:
            by_ear.setdefault(as_heard(each.form), each)
        found = self._clean_last([*by_ear.values()], adult.ipa)
        forms = tuple([self.approximation(each, adult, target.typed) for each in found])
        chosen, heard = self.profile.chosen.get(target.typed.lower()), self.profile.heard.get(target.typed.lower())
        if heard is not None:
            forms = self.with_heard(heard, adult, forms, target.typed, nearest[0].form if nearest else None)
            start = forms[0].word if forms else None
        if chosen:
            forms, start = self.chosen_first(chosen, adult, forms, target.typed, problems)
        return forms, start

    def _clean_last(self, found: Sequence[Found], aim: str) -> Sequence[Found]:
        """The first form, then the others without those heard as what nobody offers beside another form, rude ones later."""
        others = []
        for each in found[1:]:
            rude = clashes.rude_words(each.form.ipa, self.language, aim)
            if not any(strength == "never" for _, strength in rude):
                others.append((each.cost + clashes.first_offer().rude * bool(rude), each))
        others.sort(key=lambda other: other[0])
        return [*found[:1], *(each for _, each in others)]

    def _never_said(self, form: Form, adult: Word) -> bool:
        """Whether a form is heard as what nobody offers beside another form."""
        rude = clashes.rude_words(form.ipa, self.language, adult.ipa)
        return any(strength == "never" for _, strength in rude)

    def is_rude(self, form: Form | Word, adult: Word) -> bool:
        """Whether a form is heard as a rude word that is not the one aimed at."""
        return bool(clashes.rude_words(form.ipa, self.language, adult.ipa))

    def first_form(self, typed: str, adult: Word) -> Approximation | None:
        """The form that is offered first for a word by itself; None where nothing of it is sayable."""
        own = self.in_own_variety(adult)
        forms, _ = self.forms(InputTarget(typed, own, "", True), own, 1, [])
        return forms[0] if forms else None

    def near(self, rungs: Sequence[Rung], typed: str) -> NearForm | None:
        """The highest rung of a word for which all that is needed is emerging."""
        needs: dict[str, None] = {}
        near: Rung | None = None
        for rung in rungs[1:]:
            if not rung.demands or set(rung.demands) - self.limits.emerging:
                break
            near = rung
            sounds = (
                key[1][0] if key[0] in ("consonant", "vowel") else describe(Demand(*key, 0, 0)) for key in rung.demands
            )
            needs |= dict.fromkeys(sounds)
        return NearForm(near.word.ipa, self.spell(near.word, typed), tuple(needs)) if near is not None else None

    def never_tried(self, adult: Word) -> tuple[str, ...]:
        """What the adult word asks for that stands under untested in the child's file."""
        if not self.untested or self._untested_sounds is not None and self._untested_sounds.isdisjoint(adult.phones):
            return ()
        asked = all_demands(adult.phones, adult.starts, NOTHING_IN_HAND)
        return tuple(dict.fromkeys(describe(demand) for demand in asked if demand.key in self.untested))

    def clean_first(self, found: Sequence[Found], adult: Word, most: int) -> tuple[Sequence[Found], Word | None]:
        """The forms, a near clean one before a rude first one or one that calls a parent; and the form the ladder begins at, None
        for the first."""
        if found and clashes.calls_a_parent(found[0].form.ipa, self.language, adult.ipa):
            return self._no_parent_first(found, adult, most)
        if not found or not clashes.rude_words(found[0].form.ipa, self.language, adult.ipa):
            return found, None
        wide = self.simplifier.run(adult, _WIDER)
        if self._never_said(found[0].form, adult):
            beside = list(self.simplifier.with_another_end(found[0]))
            wide, found = [*wide, *beside], [*found, *(each for each in beside if not self.is_rude(each.form, adult))]
        at = self._clean(wide, adult, 0.0)
        if not at:
            own = self.simplifier.rests_on_own_change(found[0], adult)
            spread = clashes.first_offer().rude_own if own else clashes.first_offer().rude
            wide = self.simplifier.farther(adult, found[0], _MANY, spread)
            at = self._clean(wide, adult, self.simplifier.w.not_own if own else 0.0)
        if not at:
            return found, None
        rest = [each for each in found if each.form.phones != wide[at].form.phones]
        return [wide[at], *rest][: max(most, 1)], wide[at].form.word

    def _no_parent_first(self, found: Sequence[Found], adult: Word, most: int) -> tuple[Sequence[Found], Word | None]:
        """The nearest clean form that does not call a parent, before the others: as long and with the same stressed vowel, by
        changes that children commonly make; else all stay."""
        first = found[0].form.word
        for other in self.simplifier.farther(adult, found[0], _MANY, clashes.first_offer().parent):
            form = other.form.word
            unlike = len(form.phones) != len(first.phones) or _stressed_vowel(form) != _stressed_vowel(first)
            odd = any(step.rule in self._atypical or step.rule.startswith("nearest-sound") for step in other.steps)
            calls = clashes.calls_a_parent(form.ipa, self.language, adult.ipa)
            if not (calls or odd or unlike or self.is_rude(other.form, adult)):
                rest = [each for each in found if each.form.phones != other.form.phones]
                return [other, *rest][: max(most, 1)], form
        return found, None

    def _clean(self, forms: Sequence[Found], adult: Word, more: float) -> int:
        """Index of the clean form to go before a rude first one, which may be so much dearer; 0 where there is none."""
        costs = [(each.form.word, each.cost - more * (at > 0), each.form.origins[0]) for at, each in enumerate(forms)]
        return clashes.clean_first(costs, self.language, adult.ipa)

    def approximation(self, found: Found, adult: Word, typed: str) -> Approximation:
        """A form that was found of a word, as it is shown."""
        word = found.form.word
        aimed = typed if not found.steps or len(found.steps[0].before.phones) == len(word.phones) else ""
        texts = [*[step.before.ipa for step in found.steps], found.form.ipa]
        changes = zip(found.steps, texts, texts[1:])
        steps = tuple([AppliedRule(step.rule, step.process, before, after) for step, before, after in changes])
        atypical = tuple(dict.fromkeys([step.process for step in found.steps if step.rule in self._atypical]))
        return self.shown(word, adult, typed, aimed, found.cost, steps, atypical)

    def shown(
        self,
        word: Word,
        adult: Word,
        typed: str,
        aimed: str,
        cost: float,
        steps: tuple[AppliedRule, ...] = (),
        atypical: tuple[str, ...] = (),
    ) -> Approximation:
        """A form with its spelling, its complexity and the words it could be mistaken for. `aimed`: the word typed, where the
        form may be spelled as it."""
        heard: tuple[clashes.Clash, ...] = ()
        if self.options.clash_words and round(cost, 2) > 0:
            heard = _sounds_like(word.ipa, typed, self.language, adult.ipa)
        return Approximation(
            word, self.spell(word, aimed), round(cost, 2), round(closeness(cost), 2), steps, *_complexity(word),
            heard, atypical=atypical,
        )  # fmt: skip

    def chosen_first(
        self, form: str, adult: Word, forms: tuple[Approximation, ...], typed: str, problems: MutableSequence[Problem]
    ) -> tuple[tuple[Approximation, ...], Word]:
        """The clinician's own form, before all others, with its derivation if the rules know one."""
        word = read(form, self.language).words[0]
        if not sayable(word, self.limits):
            asks = ", ".join(
                dict.fromkeys(
                    " ".join(d.item) for d in demands(word.phones, word.starts, self.limits, stress=word.stress)
                )
            )
            message = worded(
                "the chosen form '{ipa}' for '{typed}' needs more than the profile has: {asks}",
                ipa=word.ipa,
                typed=typed,
                asks=asks,
            )
            problems.append(Problem("suggest.chosen", message, "it is used all the same", symbol=typed, fatal=False))
        known = self.derived(word, adult, forms, typed)
        rest = tuple(each for each in forms if each.word.phones != word.phones)
        return (replace(known, chosen=True), *rest)[: max(self.options.top, 1)], word

    def with_heard(
        self, heard: WordHeard, adult: Word, forms: tuple[Approximation, ...], typed: str, nearest: Form | None
    ) -> tuple[Approximation, ...]:
        """The form heard among the others: first where it is as near to the adult word as the rules' first, or is `nearest`, which
        that goes round, or where that is this child's "no"; nothing farther from it beside it; the adult form alone where it was
        heard right."""
        word = read(heard.form, self.language).words[0]
        if sounds_like_it(word, adult):
            said = self.shown(adult, adult, typed, typed, 0.0)
            return (replace(said, heard=True, heard_on=heard.date),)
        far = apart(adult, word)
        said = replace(self.derived(word, adult, forms, typed), heard=True, heard_on=heard.date)
        kept = [form for form in forms if form.word.phones != word.phones and apart(adult, form.word) <= far]
        first = not forms or far <= apart(adult, forms[0].word) or nearest is not None and word.phones == nearest.phones
        first = first or self._refuses(forms[0].word, typed) and not self._refuses(word, typed)
        most = max(self.options.top, 1) - 1
        return (said, *kept[:most]) if first else (*kept[:most], said) if most else (kept[0],)

    def derived(self, word: Word, adult: Word, forms: tuple[Approximation, ...], typed: str) -> Approximation:
        """A form that was given, with its derivation if the rules know one."""
        known = next((each for each in forms if each.word.phones == word.phones), None)
        if known is None:
            granted = frozenset(
                demand.key for demand in demands(word.phones, word.starts, self.limits, stress=word.stress)
            )
            wider = (f for f in self.simplifier.run(adult, 12, granted) if f.form.phones == word.phones)
            match = next(wider, None)
            known = self.approximation(match, adult, typed) if match else self.bare(word, adult, typed)
        return known

    def bare(self, word: Word, adult: Word, typed: str) -> Approximation:
        """A form no rule derives: its cost is a plain count of what differs, weighed as nearest sounds are."""
        pairs = zip(word.phones, adult.phones)
        cost = 0.5 * abs(len(word.phones) - len(adult.phones)) + sum(0.13 * distance(a, b) for a, b in pairs)
        return self.shown(word, adult, typed, typed, cost)

    def moved_first(self, word: Suggestion, at: int) -> Suggestion:
        """A word's suggestion with another of its forms in front, and the ladder from there."""
        forms = word.approximations
        ordered = (forms[at], *forms[:at], *forms[at + 1 :])
        if word.adult is None:
            return replace(word, approximations=ordered)
        shown = self.steps(self.rungs(word.adult, forms[at].word), word.word, word.adult)
        return replace(word, approximations=ordered, ladder=shown)

    def rungs(self, adult: Word, start: Word | None) -> tuple[Rung, ...]:
        """The ladder of a word, by an order without rude rungs where there is one."""
        aim = adult.ipa
        return ladder(
            self.simplifier, adult, start, lambda form: bool(clashes.rude_words(form.ipa, self.language, aim))
        )

    def steps(self, rungs: Sequence[Rung], typed: str, adult: Word) -> tuple[ShownRung, ...]:
        """Rungs of a word as they are shown."""
        count = len(rungs[-1].word.phones) if rungs else 0  # a shorter form is not heard as the word itself
        aim, shown = adult.ipa, []
        for rung in rungs:
            ipa, spelled = rung.word.ipa, self.spell(rung.word, typed if len(rung.word.phones) == count else "")
            rude = clashes.rude_words(ipa, self.language, aim)
            shown.append(ShownRung(ipa, spelled, rung.adds, tuple([name for name, _ in rude])))
        return tuple(shown)

    def phrase_forms(self, words: Sequence[Suggestion]) -> tuple[PhraseForm, ...]:
        """The phrase as a whole: the best combination, its telegraphic form, and up to two others."""
        sayable_words = [word for word in words if word.approximations]
        if not sayable_words:
            return ()
        ranked = self.combinations(sayable_words)
        adults = [(word.adult.ipa if word.adult else "", word.word) for word in sayable_words]
        out = [self.phrase_form("full", ranked[0], adults)]
        kept = [number for number, word in enumerate(sayable_words) if not word.dropped]
        if 0 < len(kept) < len(sayable_words):
            short = [ranked[0][number] for number in kept]
            out.append(self.phrase_form("telegraphic", short, [adults[number] for number in kept]))
        return (*out, *(self.phrase_form("other", forms, adults) for forms in ranked[1:3]))

    def combinations(self, words: Sequence[Suggestion]) -> Sequence[Sequence[Word]]:
        """Ways to combine word forms, best first: nearness of each word, and a little for every jump of place."""
        choices = [
            [(form.word, 0.0 if form.chosen else form.cost) for form in word.approximations[:2]] for word in words
        ]
        scored = []
        for combination in islice(product(*choices), 64):
            forms = [word for word, _ in combination]
            moved = sum(word is not options[0][0] for (word, _), options in zip(combination, choices))
            scored.append((sum(cost for _, cost in combination) + 0.02 * load_of(forms).jumps, moved, forms))
        scored.sort(key=lambda item: item[:2])
        first = [options[0][0] for options in choices]
        rest = [forms for _, _, forms in scored if forms != first]
        return [first, *rest]

    def phrase_form(self, kind: PhraseKind, words: Sequence[Word], adults: Sequence[tuple[str, str]]) -> PhraseForm:
        """One way to say the phrase; what the words run together are heard as is marked as a word's own clashes are.

        `adults`: the adult form of each word, and how it was typed.
        """
        ipa, adult = " ".join(word.ipa for word in words), " ".join(ipa for ipa, _ in adults)
        spoken = (self.language, *self._others)
        rude = dict.fromkeys(found for tag in spoken for found in clashes.rude_words(ipa, tag, adult))
        found = tuple(clashes.Clash(name, "rude", strength) for name, strength in rude)
        spelled = (self.spell(word, typed if word.ipa == own else "") for word, (own, typed) in zip(words, adults))
        return PhraseForm(kind, ipa, " ".join(spelled), load_of(words), found)

    def spell(self, word: Word, aimed: str = "") -> str:
        """Plain spelling of a form; `aimed`: the word it stands for."""
        return respell_word(word, self.page, aimed)


def _one_for_one(place: RuleUse, adult: Word) -> bool:
    """Whether one consonant stands for one consonant there, or a vowel for a vowel: a word of other syllables is no form to aim at."""
    if not place.end - place.start == len(place.phones) == 1:
        return False
    return is_nucleus(place.phones[0]) == is_nucleus(adult.phones[place.start])


def _movable(word: Suggestion) -> tuple[Approximation, ...]:
    """The forms of a word that may be put first: what was chosen or heard stays."""
    forms = word.approximations
    return forms[:1] if forms and (forms[0].chosen or forms[0].heard) else forms


def _with_targets(word: Suggestion, targets: tuple[clashes.Clash, ...]) -> Suggestion:
    """A suggestion whose first form says which other targets it is shared with, before other words it sounds like."""
    if not targets:
        return word
    first, *others = word.approximations
    named = {clash.word.lower() for clash in targets}
    found = (*targets, *(clash for clash in first.clashes if clash.word not in named))
    return replace(word, approximations=(replace(first, clashes=found), *others))


def _complexity(word: Word) -> tuple[int, int]:
    """Word Complexity Measure and Index of Phonetic Complexity of a form."""
    return _points(word.phones, word.starts, word.stress)


@lru_cache(maxsize=16384)
def _points(phones: tuple[str, ...], starts: tuple[int, ...], stress: tuple[int, ...]) -> tuple[int, int]:
    """Kept, for many words have the same forms."""
    word = Word(phones, starts, stress)
    return wcm(word), ipc(word)


@lru_cache(maxsize=65536)
def _sounds_like(ipa: str, typed: str, language: str, adult: str) -> tuple[clashes.Clash, ...]:
    return clashes.with_words(ipa, typed, language, adult)


def _stressed_vowel(word: Word) -> str:
    """The vowel of the main stress; "" where no syllable has it."""
    start = word.starts[word.stress.index(1)] if 1 in word.stress else len(word.phones)
    return next((phone for phone in word.phones[start:] if is_nucleus(phone)), "")
