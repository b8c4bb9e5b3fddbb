"""Links that a clinician would draw, against hand judgements; the aligner and its batch form against a slow obvious twin."""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from itertools import pairwise

import pytest
from drawn_examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from places import DATA

import approx
from approx.ipa import Word, read
from approx.scoring.alignment.align import (
    Alignment,
    align_forms,
    as_aimed,
    finished,
    links_of,
    moved,
    one_by_one,
)
from approx.scoring.alignment.costs import NEVER, Costs, Prepared, costs, prepare
from approx.scoring.bulk.fast_align import LONGEST_WALK, PreparedForms, _Arrays, align_many, links_many
from approx.scoring.bulk.word_links import link_words

DATA = DATA / "alignments.tsv"
Links = tuple[tuple[int | None, int | None], ...]

CONSONANTS = ["p", "t", "k", "b", "s", "z", "f", "t͡ʃ", "m", "n", "ŋ", "l", "ɹ", "w", "h", "ʔ", "l̩", "n̩", "C", "*"]
VOWELS = ["i", "ə", "æ", "u", "oʊ", "ɚ", "V"]


def word(text: str, language: str = "en-US") -> Word:
    return read(text, language).words[0]


def judged_rows() -> list[tuple[int, str, str, str, str]]:
    lines = DATA.read_text(encoding="utf-8").splitlines()
    rows = [(number, *line.split("\t")) for number, line in enumerate(lines, 1) if line[0] != "#"]
    return rows[1:]  # type: ignore[return-value]


def expected_links(text: str) -> Links:
    """Links in the notation of the data file."""
    links: list[tuple[int | None, int | None]] = []
    i = j = 0
    for token in text.split():
        if token.startswith("+"):
            links.append((None, j))
            j += 1
        elif token.endswith("-"):
            links.append((i, None))
            i += 1
        elif "&" in token:
            links += [(i, j), (i + 1, j)]
            i, j = i + 2, j + 1
        elif ">" in token and "+" in token:
            links += [(i, j), (i, j + 1)]
            i, j = i + 1, j + 2
        else:
            links.append((i, j))
            i, j = i + 1, j + 1
    return tuple(links)


def drawn(alignment: Alignment) -> str:
    """Links as text, for a message."""
    one, other = ("", *alignment.target), ("", *alignment.produced)
    return " ".join(
        f"{one[-1 if i is None else i + 1] if i is not None else ''}:{other[j + 1] if j is not None else ''}"
        for i, j in alignment.links
    )


def test_links_are_those_drawn_by_hand() -> None:
    wrong: list[str] = []
    for line, target, produced, links, about in judged_rows():
        language = "es" if "Spanish" in about else "en-US"
        found = align_forms(word(target, language), word(produced, language))
        if found.links != expected_links(links):
            wrong.append(f"{DATA.name}:{line}: {target} {produced}: {drawn(found)}, expected {links} ({about})")
    assert len(judged_rows()) >= 150
    assert not wrong, "\n".join(wrong)


# ---- the slow twin ---------------------------------------------------------------------------------------------------


def cheapest(target: Prepared, produced: Prepared) -> tuple[int, str]:
    """Least cost and the walk that the written tie-break takes, by plain recursion over every possible last step."""
    book, one, other = costs(), target.numbers, produced.numbers

    def price(sounds: list[int], prices: list[int], at: int) -> int:
        last_consonant = at == len(sounds) - 1 and not book.is_vowel[sounds[at]]
        return prices[sounds[at]] - (1 if last_consonant else 0)

    def syllable(sounds: list[int], at: int) -> bool:
        return at >= 2 and book.is_vowel[sounds[at - 1]] and not book.is_vowel[sounds[at - 2]]

    @cache
    def best(i: int, j: int) -> tuple[int, str]:
        if i == j == 0:
            return 0, ""
        ways: list[tuple[int, str]] = []  # in the order of the tie-break; min keeps the first of equals
        if i and j:
            cost, walk = best(i - 1, j - 1)
            ways.append((cost + book.link(one[i - 1], other[j - 1]), walk + "L"))
        if j:
            cost, walk = best(i, j - 1)
            ways.append((cost + price(other, book.added, j - 1), walk + "A"))
        if syllable(other, j):
            cost, walk = best(i, j - 2)
            both = price(other, book.added, j - 1) + price(other, book.added, j - 2)
            ways.append((cost + both - 1, walk + "AA"))
        if i:
            cost, walk = best(i - 1, j)
            ways.append((cost + price(one, book.lost, i - 1), walk + "D"))
        if syllable(one, i):
            cost, walk = best(i - 2, j)
            both = price(one, book.lost, i - 1) + price(one, book.lost, i - 2)
            ways.append((cost + both - book.weak[one[i - 1]], walk + "DD"))
        return min(ways, key=lambda way: way[0])

    return best(len(one), len(other))


def every_walk(i: int, j: int) -> list[str]:
    """All orders of links, additions and losses for i target and j said sounds."""
    if i == j == 0:
        return [""]
    out: list[str] = []
    if i and j:
        out += [walk + "L" for walk in every_walk(i - 1, j - 1)]
    if j:
        out += [walk + "A" for walk in every_walk(i, j - 1)]
    if i:
        out += [walk + "D" for walk in every_walk(i - 1, j)]
    return out


sounds = st.lists(st.sampled_from(CONSONANTS + VOWELS), max_size=7)


@st.composite
def words(draw: st.DrawFn) -> Word:
    """Any row of sounds, cut anywhere, stressed anywhere: more than a reader would let through."""
    phones = tuple(draw(sounds))
    if not phones:
        return Word((), (), ())
    cuts = sorted({0, *draw(st.lists(st.integers(0, len(phones) - 1), max_size=2))})
    return Word(phones, tuple(cuts), tuple(draw(st.lists(st.integers(0, 2), min_size=len(cuts), max_size=len(cuts)))))


@examples(400)
@given(words(), words())
def test_aligner_and_batch_agree_with_the_slow_twin(target: Word, produced: Word) -> None:
    one, other = prepare(target), prepare(produced)
    links = finished(one, other, links_of(cheapest(one, other)[1]))
    assert align_forms(target, produced).links == links
    assert links_many(PreparedForms([one]), PreparedForms([other])) == [links]


def cost_of_walk(walk: str, target: list[int], said: list[int]) -> int:
    """What a walk costs by the written rules, added up step by step."""
    book, total = costs(), 0
    links = links_of(walk)
    for step, before, (i, j) in zip(walk, " " + walk, links):
        if i is not None and j is not None:
            total += book.link(target[i], said[j])
            continue
        sounds, prices, at = (target, book.lost, i) if i is not None else (said, book.added, j)
        assert at is not None
        total += prices[sounds[at]] - (at == len(sounds) - 1 and not book.is_vowel[sounds[at]])
        if step == before and book.is_vowel[sounds[at]] and not book.is_vowel[sounds[at - 1]]:
            total -= book.weak[sounds[at]] if step == "D" else 1
    return total


few = st.lists(st.sampled_from(CONSONANTS + VOWELS), max_size=4)


@examples(80)
@given(few, few)
def test_no_other_walk_is_cheaper(target: list[str], produced: list[str]) -> None:
    one, other = prepare(target), prepare(produced)
    meant, said = one.numbers, other.numbers
    least = min(cost_of_walk(walk, meant, said) for walk in every_walk(len(meant), len(said)))
    assert cheapest(one, other)[0] == least


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(words(), words()), max_size=12))
def test_batch_gives_what_single_pairs_give(pairs: list[tuple[Word, Word]]) -> None:
    found = align_many([prepare(one) for one, _ in pairs], [prepare(other) for _, other in pairs])
    assert list(found) == [align_forms(one, other) for one, other in pairs]
    assert link_words(pairs) == [align_forms(one, other).links for one, other in pairs]


@given(words(), words())
@examples(200)
def test_every_sound_is_linked_lost_or_added_in_order(target: Word, produced: Word) -> None:
    links = align_forms(target, produced).links
    targets = [i for i, _ in links if i is not None]
    said = [j for _, j in links if j is not None]
    assert sorted(set(targets)) == list(range(len(target.phones)))
    assert sorted(set(said)) == list(range(len(produced.phones)))
    assert all(left <= right for left, right in pairwise(targets))
    assert all(left <= right for left, right in pairwise(said))


@given(words())
@examples(100)
def test_a_form_is_linked_with_itself_sound_by_sound(form: Word) -> None:
    assert align_forms(form, form).links == tuple((at, at) for at in range(len(form.phones)))


def test_long_pairs_are_aligned_alike_alone_and_in_a_batch() -> None:
    target, produced = word("ˌmæs" + "əsu" * 10), word("ˌmæt" + "ətu" * 9)
    assert len(target.phones) + len(produced.phones) > LONGEST_WALK
    assert align_many([prepare(target)], [prepare(produced)])[0] == align_forms(target, produced)


# ---- what may be linked ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("target", "said", "allowed"),
    [
        ("hɛlp", "hɛʊp", True),  # a liquid after a vowel, not before one
        ("pɛɹ", "pɛə", True),
        ("ˈjɛloʊ", "ˈjɛ.ʊoʊ", False),  # before a vowel
        ("lip", "ʊip", False),  # not after a vowel
        ("mun", "mu.ʊ", False),  # not a liquid
    ],
)
def test_only_a_liquid_that_closes_its_syllable_is_linked_with_a_vowel(target: str, said: str, allowed: bool) -> None:
    one, other = word(target), word(said)
    mixed = [
        (i, j)
        for i, j in align_forms(one, other).links
        if i is not None and j is not None and one.segments[i].is_vowel != other.segments[j].is_vowel
    ]
    assert bool(mixed) == allowed


def test_a_stretch_nobody_understood_is_linked_with_nothing() -> None:
    assert costs().link(costs().number("p", 1), costs().number("xxx", 1)) == NEVER


def test_syllabic_and_full_forms_are_linked_alike() -> None:
    assert align_forms(word("ˈbɑtəl"), word("ˈbɑtl̩")).links == ((0, 0), (1, 1), (2, 2), (3, 3), (4, 3))
    assert align_forms(word("ˈbɑtl̩"), word("ˈbɑtəl")).links == ((0, 0), (1, 1), (2, 2), (3, 3), (3, 4))


@pytest.mark.parametrize(
    ("target", "said", "out_of_place"),
    [("spəˈɡɛti", "pəsˈɡɛti", ((0, 2),)), ("æsk", "æks", ((1, 2),)), ("kʌp", "pʌk", ()), ("kæt", "kæ", ())],
)
def test_metathesis_names_the_sound_out_of_place(
    target: str, said: str, out_of_place: tuple[tuple[int, int], ...]
) -> None:
    assert moved(align_forms(word(target), word(said))) == out_of_place


def test_bare_sounds_are_aligned_without_stress() -> None:
    assert align_forms(("s", "p", "u", "n"), ("p", "u", "n")).as_json() == {
        "target": ["s", "p", "u", "n"],
        "produced": ["p", "u", "n"],
        "links": [[0, None], [1, 0], [2, 1], [3, 2]],
    }


# ---- quick reading ---------------------------------------------------------------------------------------------------


def test_many_alignments_are_a_sequence_of_those_of_single_pairs() -> None:
    rows = [(word(row[1]), word(row[2])) for row in judged_rows() if "Spanish" not in row[4]]
    found = align_many([prepare(one) for one, _ in rows], [prepare(other) for _, other in rows])
    assert list(found) == [align_forms(*row) for row in rows]
    assert link_words(rows) == [align_forms(*row).links for row in rows]
    assert found[:2] == [found[0], found[1]]
    assert len(found) == len(rows)


SOME = ("p", "t", "s", "l", "ɹ", "a", "i", "*")
short_words = st.lists(st.sampled_from(SOME), min_size=1, max_size=6).map(
    lambda phones: Word(tuple(phones), (0,), (1,))
)


@pytest.mark.slow
@given(st.lists(st.tuples(short_words, short_words), min_size=1, max_size=8), st.data())
@settings(max_examples=300, deadline=None)
def test_links_that_may_not_be_made_are_not_made(pairs: list[tuple[Word, Word]], data: st.DataObject) -> None:
    """The same links many at once and one by one, and no walk without those links is cheaper."""
    never: list[frozenset[tuple[int, int]]] = []
    for one, other in pairs:
        places = [(i, j) for i in range(len(one.phones)) for j in range(len(other.phones))]
        never.append(frozenset(data.draw(st.lists(st.sampled_from(places), max_size=4))))
    found = link_words(pairs, never=never)
    assert found == one_by_one(pairs, never=never)
    for (one, other), forbidden, links in zip(pairs, never, found, strict=True):
        if not costs().coalesced.isdisjoint(other.phones):
            continue  # two sounds said as one are linked afterwards
        assert forbidden.isdisjoint(links)
        meant, said = prepare(one).numbers, prepare(other).numbers
        if len(meant) + len(said) <= 8:
            walks = [walk for walk in every_walk(len(meant), len(said)) if forbidden.isdisjoint(links_of(walk))]
            least = min(cost_of_walk(walk, meant, said) for walk in walks)
            mine = [cost_of_walk(walk, meant, said) for walk in walks if links_of(walk) == links]
            assert min(mine) == least


def test_sounds_met_side_by_side_have_numbers_of_their_own() -> None:
    """Pages of the desk are worked out in threads."""
    book, phones = Costs(costs().table), [f"s{number}" for number in range(3000)]
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(8) as threads:
            numbers = list(threads.map(lambda _: [book.number(phone, 1) for phone in phones], range(8)))
    finally:
        sys.setswitchinterval(before)
    assert all(each == numbers[0] for each in numbers)
    assert [book.sounds[number] for number in numbers[0]] == [(phone, 1) for phone in phones]
    assert {len(column) for column in (book.ids, book.is_vowel, book.lost, book.added, book.weak, book.rows)} == {3000}


@pytest.mark.parametrize("added", [True, False])
def test_no_step_goes_from_one_form_into_the_next(added: bool) -> None:
    """What stands between two forms has the number of the sound met first. Were that a vowel, the consonant that ends one form
    could go together with it, and a form without sounds beside it would begin with such a step."""
    forms = PreparedForms([prepare(read(text).words[0]) for text in ("bɛd", "kʌp")] + [prepare(Word((), (), ()))])
    arrays = _Arrays(costs())
    arrays.vowel[0] = True
    _, both = forms._gap_costs(arrays, added)
    assert (both[forms.ends] >= 4 * NEVER).all()


@pytest.mark.parametrize(
    ("target", "produced", "sounds"),
    [
        ("maɾiˈposa", "maiˈposa", "m a i p o s a"),  # ɾ lost, both vowels there
        ("ˈlapis", "ˈlais", "l a i s"),
        ("ˈbaile", "ˈbaie", "b ai e"),  # the diphthong that was aimed at
        ("ˈkama", "ˈkai", "k ai"),  # no i was aimed at
        ("ˈpeine", "ˈpeie", "p ei e"),
    ],
)
def test_vowels_that_met_over_a_lost_consonant_are_two(target: str, produced: str, sounds: str) -> None:
    assert as_aimed(word(target, "es-MX"), word(produced, "es-MX")).phones == tuple(sounds.split())


def test_vowels_that_met_are_two_for_one_word_and_for_thousands() -> None:
    met = [(f"ˈ{one}a{other}i", f"ˈ{one}ai") for one in "ptkbdmnlsf" for other in "ptkbdmnlsf"]
    for pairs in (met[:1], met * 40):
        measures = approx.score(pairs, language="es-MX", by="").groups[0].measures
        assert (measures["pvc"].value, measures["pcc"].value) == (100.0, 50.0)
    found = approx.explain("maɾiˈposa", "maiˈposa", language="es-MX")
    assert found.processes == ("medial consonant deletion",)
