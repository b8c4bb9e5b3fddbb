"""Words ranked for a child: nothing announced wrongly, over the whole bank and thirty children.

The check of what a word asks for is the slow obvious one of `test_suggest_legal`: it reads the IPA text anew and looks
every sound, cluster, shape, length and repetition up in the child's file.
"""

from __future__ import annotations

from functools import lru_cache

import pytest
from child_profiles import CHILDREN, PLAIN, Invented, table
from fast_cases import one_in, only
from sayable import has
from sayable import needs as needs_of

from approx.child.child_file import read_table
from approx.child.demands import all_demands
from approx.child.profile import Profile
from approx.child.search_limits import limits
from approx.practice.words.rank_words import bank_for, months, rank
from approx.practice.words.word_bank import BankWord, RankedWord, load_bank
from approx.practice.words.word_choice import ChoiceOptions, choose_words
from approx.practice.words.word_filters import Filters

Need = tuple[str, ...]
needs = lru_cache(maxsize=8192)(needs_of)


def profile(name: str) -> Profile:
    found, problems = read_table(table(name))
    assert not [problem for problem in problems if problem.fatal], problems
    return found


def child(**changes: object) -> Profile:
    """One more child, in a line."""
    invented = Invented("p b t d m n w h", "=", "p t", "", PLAIN, "V CV CVC VC", 2)._replace(**changes)  # type: ignore[arg-type]
    CHILDREN["made here"] = invented
    try:
        return profile("made here")
    finally:
        del CHILDREN["made here"]


def announced(word: RankedWord) -> set[Need]:
    """What the list says is new in a word, in the words of the slow check."""
    out: set[Need] = set()
    for thing in word.things:
        for kind, item in thing.keys:
            if kind == "cluster":
                out.add(("cluster", "".join(item[:-1]), item[-1]))
            else:
                out.add((kind, *item))
    return out


def across_syllables(need: Need) -> bool:
    """True for one sound twice across a syllable edge, which the slow check does not look at."""
    return need[0] == "cluster" and need[2] == "medial"


def test_there_are_thirty_children_who_differ() -> None:
    assert len(CHILDREN) == 30
    assert len({str(child) for child in CHILDREN.values()}) == 30


@pytest.mark.parametrize("name", one_in(3, CHILDREN))
def test_what_is_new_is_announced_and_nothing_else(name: str) -> None:
    """Every nineteenth word of the bank; every fourth in the slow set."""
    check_new_things(name, 19)


@pytest.mark.slow
@pytest.mark.parametrize("name", CHILDREN)
def test_what_is_new_is_announced_in_a_quarter_of_the_bank(name: str) -> None:
    check_new_things(name, 4, list(CHILDREN).index(name) % 4)


def check_new_things(name: str, step: int, first: int = 0) -> None:
    """What a word asks beyond the file is what its new things say, no more and no less; granting them, it is sayable."""
    who, in_hand, wrong = profile(name), has(table(name)), []
    limit, bank = limits(who), bank_for(who)[first::step]
    words = rank(who, filters=Filters(most_new=99), bank=bank)
    # words that differ in a capital alone are one word here
    assert len(words) == len({(word.word.lower(), word.adult.phones) for word in bank})
    for word in words:
        asked, said = needs(word.adult.ipa, who.language) - in_hand, announced(word)
        longest = CHILDREN[name].most
        steps = {need for need in said if need[0] == "length" and longest < int(need[1]) < word.bank.syllables}
        more = {need for need in said - asked - steps if not across_syllables(need)}
        if asked - said or more:
            wrong.append(f"{word.word} {word.adult}: asked {sorted(asked - said)}, announced {sorted(more)}")
        granted = {key for thing in word.things for key in thing.keys}
        left = {demand.key for demand in all_demands(word.adult.phones, word.adult.starts, limit)} - granted
        assert not left, (word.word, left)
    assert not wrong, f"{len(wrong)} wrong:\n" + "\n".join(wrong[:20])


@pytest.mark.parametrize(
    "name",
    only(
        ("empty", "repeats", "only finals", "fronts and stops", "Spanish closed", "nearly adult"),
        "empty",
        "repeats",
        "Spanish closed",
    ),
)
def test_listed_forms_are_legal_today(name: str) -> None:
    """Two words of each kind for some of the children; twelve for a third of them in the slow set."""
    check_forms(name, 2)


@pytest.mark.slow
@pytest.mark.parametrize("name", list(CHILDREN)[1::3])
def test_many_listed_forms_are_legal_today(name: str) -> None:
    check_forms(name, 12)


def check_forms(name: str, count: int) -> None:
    """With up to two new things a word: today's form asks for nothing the file has not, and it is there if anything is."""
    who, in_hand = profile(name), has(table(name))
    choice = choose_words(who, ChoiceOptions(count=count, filters=Filters(most_new=2)))
    for word in choice.words:
        if word.today is not None:
            over = needs(word.today, who.language) - in_hand
            assert not over, (word.word, word.today, over)
        assert (word.today == word.adult.ipa) == (not word.things), word.word
    if name not in ("empty", "one vowel", "no consonant"):
        assert choice.words and sum(word.today is None for word in choice.words) < len(choice.words) / 2


def test_the_scene_of_the_invented_example() -> None:
    """Twelve words of the invented kitchen garden hold only b m n d w h and V, CV shapes (its section 6, K07)."""
    scene = "Mama Nana Bo Dee May Addy hoe mow do bee bow honey".lower().split()
    others = "papa eat tie dip water pea pie mud cup more spoon banana open".split()
    in_hand = {word.word.lower() for word in rank(profile("scene level A"), filters=Filters(most_new=0))}
    assert set(scene) <= in_hand
    assert not in_hand & set(others)


@pytest.mark.parametrize(
    ("who", "word", "new"),
    [
        # judged by hand: a child with CVC, p t at the end, no k, no s, no l, no clusters
        ({}, "key", ["k (initial)"]),
        ({}, "soap", ["s (initial)"]),
        ({}, "bed", ["d (final), a known sound in a new place"]),
        ({}, "cake", ["k (initial)", "k (final)"]),
        ({}, "banana", ["3 syllables in a word"]),
        ({}, "stop", ["the cluster st (initial)", "the syllable shape CCVC", "s (initial)"]),
        ({"vowels": "i u"}, "hot", ["the vowel ɑ"]),
        # a new shape made of old sounds is one new thing, with its sounds in their new place
        ({"final": "", "shapes": "V CV"}, "hat", ["the syllable shape CVC, with t (final)"]),
        ({"final": "", "shapes": "V CV"}, "up", ["the syllable shape VC, with p (final)"]),
        ({"final": "p t n"}, "want", ["the cluster nt (final) in the syllable shape CVCC"]),
        # not of old sounds: two things
        ({"final": "", "shapes": "V CV"}, "bus", ["the syllable shape CVC", "s (final)"]),
        # the shape's other sounds are new by themselves
        ({"initial": "m", "medial": "m", "final": "p t n"}, "nap", ["n (initial), a known sound in a new place"]),
        ({"most": 1}, "mommy", ["2 syllables in a word"]),
        ({"variety": "same consonant"}, "hat", ["two different consonants in a word"]),
    ],
)
def test_what_is_new_in_a_word_as_a_clinician_would_say_it(who: dict[str, object], word: str, new: list[str]) -> None:
    found = next(
        each for each in rank(child(**who), filters=Filters(most_new=99), bank=_named(word)) if each.word == word
    )
    assert list(found.new) == new


def _named(word: str) -> list[BankWord]:
    return [row for row in load_bank("en-US") if row.word == word]


def test_one_new_thing_unless_asked() -> None:
    who = profile("fronts and stops")
    assert {len(word.things) for word in rank(who)} == {0, 1}
    assert {len(word.things) for word in rank(who, filters=Filters(most_new=3))} == {0, 1, 2, 3}
    assert {len(word.things) for word in rank(who, filters=Filters(most_new=0))} == {0}


def test_emerging_counts_as_in_hand_only_when_asked() -> None:
    who = profile("scene level A")
    without = {word.word: word for word in rank(who)}
    assert without["pea"].new == ("p (initial) (emerging)",)
    assert not {word.word: word for word in rank(who, emerging=True)}["pea"].things


def test_both_orders_and_neither() -> None:
    """Early: what is new never gets older as the list goes down, emerging before the rest; harder: the other way round."""
    who = profile("fronts and stops")
    for order in ("early", "harder"):
        new = [word.things[0] for word in rank(who, order=order) if word.things]
        soft = [thing.emerging for thing in new]
        assert soft == sorted(soft, reverse=order == "early")
        for emerging in (True, False):
            ages = [max(map(months, thing.keys)) for thing in new if thing.emerging is emerging]
            assert ages == sorted(ages, reverse=order == "harder")
    in_hand = [word.word for word in rank(who) if not word.things]
    assert in_hand == [word.word for word in rank(who, order="early") if not word.things]
    assert [word.word for word in rank(who)] != [word.word for word in rank(who, order="early")]


def test_ages_that_order_what_is_new() -> None:
    """Relations every source agrees on: p before k before ɹ; a cluster is as late as its latest sound."""

    def age(sound: str) -> int:
        return months(("consonant", (sound, "initial")))

    assert age("p") <= age("k") < age("ɹ") and age("s") < age("θ")
    assert months(("cluster", ("t", "ɹ", "initial"))) >= age("ɹ")


def test_a_word_listed_twice_with_one_sound_stands_once() -> None:
    words = [
        (word.word.lower(), word.adult.phones) for word in rank(profile("nearly adult"), filters=Filters(most_new=99))
    ]
    assert len(words) == len(set(words))
    assert [word for word, _ in words].count("bow") == 2  # two sounds: of a ribbon, before a king


def test_readings_of_the_childs_file_win() -> None:
    who = read_table({**table("fronts and stops"), "readings": {"water": "ˈwɑtə", "tear": "tɪə"}})[0]
    found = {word.word: word.adult.ipa for word in rank(who, filters=Filters(most_new=99))}
    assert found["water"] == "ˈwɑtə" and found["tear"] == "ˈtɪə"


def test_peninsular_spanish_is_read_with_its_own_sounds() -> None:
    who = read_table({**table("Spanish nearly adult"), "language": "es-ES"})[0]
    found = {word.word: word.adult.ipa for word in rank(who, filters=Filters(most_new=99))}
    assert found["zapato"] == "θaˈpato" and found["casa"] == "ˈkasa"


def test_reasons_say_the_use_and_what_to_take_care_with() -> None:
    who = profile("nearly adult")
    words = {word.word: word for word in rank(who)}
    assert any(reason.startswith("needed all day") for reason in words["more"].reasons)
    assert "take care: r or an r-coloured vowel" in words["more"].reasons
    assert "picturable" in words["ball"].reasons and "picturable" not in words["more"].reasons
    assert "every sound is in the inventory" in words["ball"].reasons


def test_a_needed_word_stands_before_a_common_one_of_no_use_to_a_child() -> None:
    """Hand judgement: with equal parts in hand, mommy, no and up before what only adult text is full of."""
    order = [
        word.word
        for word in rank(child(vowels=PLAIN, final="p t n d", shapes="V CV VC CVC"), filters=Filters(most_new=0))
    ]
    for wanted in ("mommy", "no", "up", "hot"):
        for other in ("mind", "human", "tone", "whom", "of", "an"):
            if other in order:
                assert order.index(wanted) < order.index(other), (wanted, other)
