"""The sixth judged set (see its README.md): first forms, phrases, orders, ladders, sets, ten phrases, grammar.

Written by one judge before the engine was run. Blind: first form accepted 120 of 125, phrases 21 of 25, orders 27 of 30,
ladders 42 of 50, ten phrases 36 of 50. After general rules were mended: forms 124, phrases 24, orders 29. Left: the l that closes
a syllable of dulce (Q52), a d for the tap of quiero (Q63), sol without its n (Q52).
"""

from __future__ import annotations

import re

import pytest
from fast_cases import one_in
from judged_lists import JudgedList, Row, forms, plain

from approx.practice.phrases.child_pronouncer import ChildPronouncer
from approx.practice.phrases.grammar_ladder import grammar_ladder
from approx.practice.phrases.phrases import PhraseRequest, make_phrases
from approx.practice.suggest.clashes import rude_words
from approx.practice.words.word_goals import read_goals
from approx.practice.words.word_set import choose_set

LIST = JudgedList("judged6")
table, child, suggester, said = LIST.table, LIST.child, LIST.suggester, LIST.said
CHILDREN = ("Q21", "Q34", "Q45", "Q52", "Q63")


@pytest.mark.parametrize("name", CHILDREN)
def test_first_forms(name: str) -> None:
    """All of 25 but one of Q52; nothing rude first but what was heard."""
    rows, missed, rude = table("words.tsv", name), [], []
    for row in rows:
        found = said(name, row["word"])
        first = found.approximations[0]
        missed += [] if plain(first.ipa) in forms(row["accept"]) else [f"{row['word']}: {first.ipa}"]
        aim = found.adult.ipa if found.adult else ""
        rude += [row["word"] for _ in rude_words(first.ipa, suggester(name).language, aim) if not first.heard]
    assert len(rows) == 25
    assert len(missed) <= {"Q52": 1}.get(name, 0), missed
    assert not rude


def test_phrases() -> None:
    """A phrase as a whole: one of 25 is not accepted."""
    rows, missed = table("phrases.tsv"), []
    for row in rows:
        found = suggester(row["child"]).phrase(row["phrase"]).phrase_forms[0].ipa
        missed += [] if plain(found) in forms(row["accept"]) else [f"{row['phrase']}: {found}"]
    assert len(rows) == 25 and len(missed) <= 1, missed


def test_a_form_heard_as_no_is_told() -> None:
    """Judged: snow of Q34 is alike with no, to be said; so is a request of Q21 that comes out as a refusal."""
    for name, word in (("Q34", "snow"), ("Q21", "more")):
        first = said(name, word).approximations[0]
        assert plain(first.ipa) == plain(said(name, "no").approximations[0].ipa)
        assert "no" in {clash.word for clash in first.clashes if clash.kind == "target"}
    assert not {clash.word for clash in said("Q21", "no").approximations[0].clashes if clash.kind == "target"}


def test_the_better_form_stands_before_the_worse() -> None:
    """The best of three is offered, the other two after it or not at all; one of 30 is not."""
    rows, missed = table("ordered.tsv"), []
    for row in rows:
        offered = [plain(form.ipa) for form in said(row["child"], row["word"]).approximations]
        best, *others = (plain(row[name]) for name in ("best", "worse", "worst"))
        after = offered[offered.index(best) :] if best in offered else []
        good = best in offered and not (set(others) & set(offered)) - set(after)
        missed += [] if good else [f"{row['word']}: {offered}"]
    assert len(rows) == 30 and len(missed) <= 1, missed


@pytest.mark.parametrize(
    "row", [row for row in table("practice.tsv") if row["kind"] == "ladder"], ids=lambda r: r["child"]
)
def test_ladders_begin_and_end_right(row: Row) -> None:
    """From an accepted form to the adult word, two to five rungs."""
    accepted = {each["word"]: forms(each["accept"]) for each in table("words.tsv", row["child"])}
    words = row["given"].split(" | ")
    assert len(words) == 10
    for word in words:
        found = said(row["child"], word)
        rungs = [plain(rung.ipa) for rung in found.ladder]
        assert found.adult is not None and rungs[-1] == plain(found.adult.ipa)
        assert 2 <= len(rungs) <= 5 and len(set(rungs)) == len(rungs)
        assert rungs[0] in accepted[word], (word, rungs)


@pytest.mark.parametrize(
    ("name", "word", "rungs"),
    [
        ("Q45", "monkey", "ˈmʌmi ˈmʌti ˈmʌŋti ˈmʌŋki"),  # judged: ŋ before two known consonants in one word
        ("Q45", "school", "tu ku kul skul"),  # judged: r, th and clusters of s last
        ("Q21", "banana", "ˈbɑmə ˈbæmə ˈbænə bəˈnænə"),  # judged: no word for the mother
    ],
)
def test_rungs_in_the_order_a_judge_asked_for(name: str, word: str, rungs: str) -> None:
    """From the remarks of the first run: two unlike consonants before a new one, clusters of s after the sounds."""
    assert [rung.ipa for rung in said(name, word).ladder] == rungs.split()


@pytest.mark.parametrize("word", ["banana", "tomato"])
def test_no_other_word_calls_a_parent_where_another_form_is_near(word: str) -> None:
    """No first form of these five children is mama or dada, said of something else."""
    for name in CHILDREN:
        if child(name).language == "en-US":
            assert plain(said(name, word).approximations[0].ipa) not in {"ˈmɑmə", "ˈmɑmʌ", "ˈdɑdə", "ˈdɑdɑ"}, name


def test_a_syllable_comes_back_without_what_it_still_lacks() -> None:
    """Judged: the last rung of spaghetti asked for four things at once with two rungs to spare."""
    rungs = [plain(rung.ipa) for rung in said("Q45", "spaghetti").ladder]
    assert rungs[-1] == "spəˈɡɛti" and len(rungs) == 5
    assert [len(re.findall("[ptbdksɡ]", rung)) for rung in rungs] == [2, 2, 3, 3, 4]


@pytest.mark.parametrize(
    "row", one_in(2, (row for row in table("practice.tsv") if row["kind"] == "set")), ids=lambda r: r["child"]
)
def test_sets(row: Row) -> None:
    """Seven of ten with the goal, no word twice, no last l of a syllable where a medial one was asked for, no two forms alike."""
    name = row["child"]
    goals, _ = read_goals((row["given"],), child(name).language)
    found = choose_set(child(name), 10, goals=goals, suggester=suggester(name)).words
    words = [each.word for each in found]
    assert len(found) == 10 and sum(bool(each.goals) for each in found) >= 7
    assert not {"bye", "bye-bye"} <= set(words) and not {"dulce", "bolsillo", "calcetín"} & set(words), words
    assert len({each.today for each in found}) == 10


NEVER = {
    "pea": "sounds like pee", "Bo toe": "nobody's name", "Dee chew": "nobody's name", "no tent": "no child refuses a tent",
    "ve mamá": "an adult says mira",
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("name", CHILDREN)
def test_ten_phrases(name: str) -> None:
    """None that was judged wrong; at least three relations, no word in more than five."""
    made = make_phrases(suggester(name), PhraseRequest(count=10, length=2)).phrases
    texts = [phrase.telegraphic for phrase in made]
    assert (
        len(texts) >= 9
        and {len(text.split()) for text in texts} == {2}
        and len({phrase.relation for phrase in made}) >= 3
    )
    for text in texts:
        assert text not in NEVER and not set(text.split()) & set(NEVER), texts
        assert sum(bool(set(text.split()) & set(other.split())) for other in texts) <= 6


@pytest.mark.parametrize(
    "row", [row for row in table("practice.tsv") if row["kind"] == "grammar"], ids=lambda r: r["child"]
)
def test_grammar(row: Row) -> None:
    """From the phrase given, one word or ending a step; nobody eats in a tent."""
    made, problems = grammar_ladder(row["given"], ChildPronouncer(suggester(row["child"])))
    assert made is not None, problems
    steps = [step for step in made.steps if step.main]
    assert steps[0].phrase.lower() == row["given"]
    for below, above in zip(steps, steps[1:]):
        assert len(above.phrase.split()) - len(below.phrase.split()) in (0, 1, 2)
        kept = above.phrase.lower().split()
        assert all(any(word.startswith(part[:3]) for word in kept) for part in below.phrase.lower().split())
    assert "tent" not in steps[-1].phrase
