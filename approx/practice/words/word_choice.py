"""Everything a clinician sees when choosing words for a child: words by what is new, both orders, a set, contrast pairs,
what would open most words, and family words that are out of reach with the nearest thing that can be said.

What is typed about the words wanted is read into options first; what cannot be read is named.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from approx.child.profile import Limits, Profile
from approx.child.search_limits import limits
from approx.datafiles import data_hash, rules_path
from approx.practice.suggest.input_targets import ListRow
from approx.practice.suggest.suggest import Suggester, SuggestOptions
from approx.practice.words.contrasts import ContrastPair, contrast_pairs
from approx.practice.words.openers import FirstStep, Opener, first_steps, in_reach, number_different, openers
from approx.practice.words.rank_words import bank_for, candidates, in_order, ranked
from approx.practice.words.word_bank import (
    BankWord,
    RankedWord,
    WordSet,
    bank_of,
    for_this_child,
    load_bank,
    offered_unasked,
    with_own_list,
    with_own_rows,
)
from approx.practice.words.word_facts import said_today
from approx.practice.words.word_filters import NO_FILTERS, Candidate, Filters, known_values, shapes_typed, why_empty
from approx.practice.words.word_goals import WordGoal, read_goals
from approx.practice.words.word_set import set_from
from approx.practice.words.word_weights import Order, set_weights, sound_orders
from approx.problems import Problem
from approx.wording import enumerated, worded

SPARSE = 20
"""With fewer words than this in the inventory or one thing away, first steps are shown: what to bring in so that words open."""
_SHORT = 6
"""Words named for each of the two orders."""


@dataclass(frozen=True, slots=True)
class ChoiceOptions:
    """What a clinician may ask for. `count`: words shown of each kind; `set_size` 0: no set; `order`: "", early, harder.
    `in_inventory`: share of the set with nothing new (None: the default of words.toml).

    `own`: file of the clinician's own words; `own_rows`: such words as typed. `interests`: words and everyday categories
    this child loves, beside those of the child's file.
    """

    count: int = 12
    set_size: int = 0
    seed: int = 1
    order: str = ""
    filters: Filters = NO_FILTERS
    goals: tuple[WordGoal, ...] = ()
    in_inventory: float | None = None
    own: str = ""
    own_rows: tuple[ListRow, ...] = ()
    interests: tuple[str, ...] = ()
    contrast: bool = False
    language: str = ""
    emerging: bool = False
    rules: Path | None = None


@dataclass(frozen=True, slots=True)
class OrderShown:
    """One of the two orders and the words with something new that it puts first."""

    order: Order
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WordChoice:
    """The answer. `words` stand by how many new things they have, `count` of each; `passing`: how many there are of each.

    `in_hand`, `one_new`: words of the whole bank, before any filter. `out_of_reach`: words of the own list that ask for
    more than was allowed, with the form that can be said today.
    """

    child: str
    language: str
    signature: str
    bank_size: int
    in_hand: int
    one_new: int
    most_new: int
    order: str
    orders: tuple[OrderShown, ...]
    words: tuple[RankedWord, ...]
    passing: tuple[tuple[int, int], ...]
    chosen_set: WordSet | None
    contrasts: tuple[ContrastPair, ...]
    contrasts_found: int
    would_open: tuple[Opener, ...]
    steps: tuple[FirstStep, ...]
    out_of_reach: tuple[RankedWord, ...]
    problems: tuple[Problem, ...]


def suggester_options(options: ChoiceOptions) -> SuggestOptions:
    """What the suggester of a choice is asked for."""
    return SuggestOptions(language=options.language, emerging=options.emerging, rules=options.rules)


def _in_own_variety(bank: Sequence[BankWord], suggester: Suggester) -> tuple[BankWord, ...]:
    """The words as the child's own people say them, where the child has the sounds for that."""
    own = [suggester.in_own_variety(word.adult) for word in bank]
    return tuple(
        [word if word.adult is said else replace(word, adult=said) for word, said in zip(bank, own, strict=True)]
    )


def choose_words(profile: Profile, options: ChoiceOptions, suggester: Suggester | None = None) -> WordChoice:
    """Words for this child. Problems: no bank for the language, filters that leave nothing, words that cannot be read.

    `suggester`: one of `suggester_options` that has been used before, which is quicker; the answer is the same.
    """
    language = options.language or profile.language
    problems: list[Problem] = []
    bank = bank_for(profile, language)
    if not bank:
        hint = "banks: en, es; your own list is enough: --own FILE"
        fatal = not (options.own or options.own_rows)
        problems.append(
            Problem(
                "words.no-bank",
                worded("there is no word bank for '{language}'", language=language),
                hint,
                symbol=language,
                fatal=fatal,
            )
        )
    bank, found = for_this_child(bank, profile, (*options.interests, *profile.interests), language)
    problems += found
    if options.own:
        bank, found = with_own_list(bank, options.own, profile, language)
        problems += found
    if options.own_rows:
        bank, found = with_own_rows(bank, options.own_rows, profile, language)
        problems += found
    bank = offered_unasked(bank, profile, language, options.filters.categories)
    limit = limits(profile, options.emerging)
    suggester = suggester or Suggester(profile, suggester_options(options))
    everything = candidates(_in_own_variety(bank, suggester), limit)
    problems += suggester.rules.problems
    passed = ranked(everything, limit, options.filters, options.goals, options.order)
    if bank and not passed:
        problems.append(why_empty(everything, options.filters))
    chosen = None
    if options.set_size and passed:
        for_set, found = _for_the_goal(passed, everything, limit, options)
        for_set = (*for_set, *_heard_for_the_goal(for_set, everything, limit, options, profile))
        problems += found
        chosen = set_from(for_set, options.set_size, options.seed, suggester, options.order, options.in_inventory)
        if len(chosen.words) < options.set_size:
            problems.append(_small_set(options.set_size, len(chosen.words), len(passed)))
    pairs: tuple[ContrastPair, ...] = ()
    if options.contrast:
        pairs = contrast_pairs(options.filters.keep(everything), everything, suggester)
        if not pairs:
            message = "no contrast pair: no word with something new sounds like another one today"
            problems.append(Problem("words.no-pair", message, "allow more that is new: --new 2", fatal=False))
    shown, said = said_today(chosen.words if chosen else _of_each(passed, options.count), suggester)
    wishes, more = said_today(_out_of_reach(everything, passed, options, profile), suggester)
    problems += [*said, *more]
    in_hand, one_new = in_reach(everything)
    return WordChoice(
        profile.code, language, _signature(suggester, options, language), number_different(everything), in_hand, one_new,
        options.filters.most_new, options.order, _both_orders(passed),
        tuple(_with_pairs(word, pairs) for word in shown), _passing(passed),
        replace(chosen, words=shown) if chosen else None,
        pairs[: options.count], len(pairs), openers(everything),
        first_steps(everything) if in_hand + one_new < SPARSE else (), wishes, tuple(problems),
    )  # fmt: skip


def _for_the_goal(
    passed: tuple[RankedWord, ...], everything: Sequence[Candidate], limit: Limits, options: ChoiceOptions
) -> tuple[tuple[RankedWord, ...], tuple[Problem, ...]]:
    """The words a set is chosen from: where too few of those that passed work on the goals, words for them with one thing more
    that is new as well, and a line that says so."""
    share = set_weights().in_inventory if options.in_inventory is None else options.in_inventory
    wanted = options.set_size - round(options.set_size * share)
    have = sum(bool(word.goals) for word in passed)
    if not options.goals or have >= wanted:
        return passed, ()
    wider = replace(options.filters, most_new=options.filters.most_new + 1)
    more = [word for word in ranked(everything, limit, wider, options.goals, options.order) if word.goals]
    more = [word for word in more if len(word.things) == wider.most_new]
    goals = enumerated(", ", (goal.text for goal in options.goals))
    pattern = "only {have} {have:word|words} with at most {new} new {new:element|elements} {have:works|work} on {goals}: words with {more} new {more:element|elements} are in the set as well"
    message = worded(pattern, have=have, new=options.filters.most_new, goals=goals, more=wider.most_new)
    if not more:
        message = worded(
            "only {have} {have:word|words} in the bank {have:works|work} on {goals} for this child",
            have=have,
            goals=goals,
        )
    hint = "add words of your own, or choose another goal"
    return (*passed, *more), (Problem("words.goal-few", message, hint, fatal=False),)


def _heard_for_the_goal(
    passed: Sequence[RankedWord],
    everything: Sequence[Candidate],
    limit: Limits,
    options: ChoiceOptions,
    profile: Profile,
) -> tuple[RankedWord, ...]:
    """Words for the goals that this child is heard to say, however much of them is new: they are the child's own already."""
    if not options.goals or not profile.heard:
        return ()
    there = {word.word for word in passed}
    own = [candidate for candidate in everything if candidate.bank.word.lower() in profile.heard]
    wide = ranked(own, limit, replace(options.filters, most_new=99), options.goals, options.order)
    return tuple(word for word in wide if word.goals and word.word not in there)


def _small_set(asked: int, found: int, passed: int) -> Problem:
    pattern = "only {found} of the {asked} {asked:word|words} requested {found:is|are} available"
    if passed > found:
        pattern = (
            "only {found} of the {asked} {asked:word|words} requested {found:is|are} available: the other {others} would "
            "sound like one of these today, or add nothing"
        )
    message = worded(pattern, asked=asked, found=found, others=passed - found)
    return Problem("words.few", message, "allow more that is new (--new 2) or drop a filter", fatal=False)


def _of_each(words: Sequence[RankedWord], count: int) -> list[RankedWord]:
    """The first `count` with nothing new, with one new thing, and so on."""
    seen: dict[int, int] = {}
    out = []
    for word in words:
        seen[len(word.things)] = seen.get(len(word.things), 0) + 1
        if seen[len(word.things)] <= count:
            out.append(word)
    return out


def _passing(words: Sequence[RankedWord]) -> tuple[tuple[int, int], ...]:
    counts: dict[int, int] = {}
    for word in words:
        counts[len(word.things)] = counts.get(len(word.things), 0) + 1
    return tuple(sorted(counts.items()))


def _out_of_reach(
    everything: Sequence[Candidate], passed: Sequence[RankedWord], options: ChoiceOptions, profile: Profile
) -> tuple[RankedWord, ...]:
    """Words of the own list that ask for more new things than were allowed."""
    own = [
        candidate for candidate in everything if candidate.bank.own and len(candidate.things) > options.filters.most_new
    ]
    return ranked(own, limits(profile, options.emerging), Filters(most_new=99), options.goals)


def _both_orders(passed: Sequence[RankedWord]) -> tuple[OrderShown, ...]:
    """The first words of each order, of those with something new; nothing to order, nothing shown."""
    least = min((len(word.things) for word in passed if word.things), default=0)
    new = [word for word in passed if len(word.things) == least]
    if not least:
        return ()
    return tuple(
        OrderShown(order, tuple(word.word for word in in_order(new, order.name)[:_SHORT])) for order in sound_orders()
    )


def _with_pairs(word: RankedWord, pairs: Sequence[ContrastPair]) -> RankedWord:
    """The word with its partners in contrast pairs named."""
    others = [
        pair.other if pair.word == word.word else pair.word for pair in pairs if word.word in (pair.word, pair.other)
    ]
    if not others:
        return word
    partners = tuple(dict.fromkeys(others))
    reason = worded("contrast with {words}", words=enumerated(", ", partners[:3]))
    return replace(word, contrasts=partners, reasons=(*word.reasons, reason))


def _signature(suggester: Suggester, options: ChoiceOptions, language: str) -> str:
    """What the answer depends on, in one line."""
    names = ["words.toml", "climb.toml", "lexicon/bank_frequency.tsv"]
    bank = bank_of(language)
    names += (
        [f"lexicon/{name}_{bank}.tsv" for name in ("later_words", "everyday_words")] + [f"lexicon/{bank}.tsv"]
        if bank
        else []
    )
    words = data_hash([rules_path(name) for name in names])
    order = options.order or "in the inventory"
    seed = f"|set:{options.set_size}|seed:{options.seed}" if options.set_size else ""
    return f"words:{words}|order:{order}|new:{options.filters.most_new}{seed}|{suggester.signature}"


@dataclass(frozen=True, slots=True)
class WordWishes:
    """Filters and goals as typed; several values of one field in one text are separated by commas. `exclude`: words in small letters.

    `own_kinds`: an own list may bring categories that the bank has not.
    """

    category: Sequence[str] = ()
    pos: Sequence[str] = ()
    shape: Sequence[str] = ()
    sound: Sequence[str] = ()
    new_sound: Sequence[str] = ()
    goal: Sequence[str] = ()
    exclude: frozenset[str] = frozenset()
    picturable: bool = False
    most_new: int = 1
    own_kinds: bool = False


def read_wishes(wishes: WordWishes, language: str) -> tuple[ChoiceOptions, list[Problem]]:
    """Options with filters and goals set, all else as it is by default; problems name what is none of the known values."""
    bank = load_bank(language)
    problems: list[Problem] = []
    categories, found = known_values(wishes.category, dict.fromkeys(word.category for word in bank), "--category")
    if wishes.own_kinds:
        categories = tuple(_parts(wishes.category))
        found = ()
    problems += found
    parts, found = known_values(wishes.pos, dict.fromkeys(word.part_of_speech for word in bank), "--pos")
    problems += found
    shapes, found = shapes_typed(wishes.shape)
    problems += found
    sounds, found = read_goals(wishes.sound, language, "--sound")
    problems += found
    new_sounds, found = read_goals(wishes.new_sound, language, "--new-sound")
    problems += found
    goals, found = read_goals(wishes.goal, language)
    problems += [*found, *(() if wishes.own_kinds else _in_no_word(goals, bank))]
    filters = Filters(
        categories, parts, shapes, sounds, new_sounds, wishes.exclude, wishes.picturable, wishes.most_new
    )  # fmt: skip
    return ChoiceOptions(filters=filters, goals=goals), problems


def _in_no_word(goals: Iterable[WordGoal], bank: Sequence[BankWord]) -> Iterable[Problem]:
    """Sounds to work on that no word has: what was typed may have been meant otherwise than it was read."""
    for goal in goals:
        if bank and goal.kind in ("sound", "vowel", "cluster") and not any(goal.works_on(word) for word in bank):
            message = worded(
                "{option}: '{text}' was read as IPA /{ipa}/, which no word has",
                option="--goal",
                text=goal.text,
                ipa="".join(goal.sounds),
            )
            yield Problem("words.goal-none", message, "check the symbol", symbol=goal.text, fatal=False)


def _parts(typed: Iterable[str]) -> Iterable[str]:
    return (part.strip().lower() for text in typed for part in text.split(",") if part.strip())
