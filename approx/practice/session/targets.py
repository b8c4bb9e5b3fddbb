"""One child with what is to be practised on a page: words and phrases as named, or eight chosen for this child; each with what a
page needs of it: what the adult says, what to accept today, the next rung, help to start with.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from approx.child.demands import sayable
from approx.lexicon.frequency import everyday_words
from approx.lexicon.spelling import base_language
from approx.practice.listening.frames import frames_for, is_frame
from approx.practice.session.plan import assumed
from approx.practice.suggest.answer import Answer, ShownRung, Suggestion
from approx.practice.suggest.clashes import Clash
from approx.practice.suggest.input_targets import InputTarget, ListRow, targets_in_list
from approx.practice.suggest.suggest import Suggester
from approx.problems import Problem
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from approx.practice.words.contrasts import NearPair
    from approx.practice.words.word_bank import BankWord, RankedWord
    from approx.practice.words.word_filters import Candidate


@dataclass(frozen=True, slots=True)
class PracticeTarget:
    """One word or phrase to practise, ready to be printed.

    `today_ipa` is empty where nothing of it is sayable yet. `rung` of `rungs`: where today's form stands on the ladder
    to the adult form (0 of 0 for a phrase). `next_*`, `adds`: the rung above; empty at the top. `help`: where to begin on
    the scale of help from 0 (none) to 4. `in_hand`: today's form is the adult form. `language`: of the word. `sure`: False
    where the adult form is a guess from the spelling. `alike`: words that today's form is heard as: others of the list, and words
    of a family's day.
    """

    word: str
    adult_ipa: str
    adult_spelled: str
    today_ipa: str
    today_spelled: str
    rung: int
    rungs: int
    next_ipa: str
    next_spelled: str
    adds: str
    help: int
    in_hand: bool
    is_phrase: bool
    language: str
    sure: bool = True
    alike: tuple[str, ...] = ()


def practice_targets(
    suggester: Suggester, rows: Sequence[tuple[str, str, int]], file: str = ""
) -> tuple[tuple[PracticeTarget, ...], tuple[Problem, ...]]:
    """Targets in the order given. A row is (text, IPA or "", line); a text of several words is one phrase.

    A word that cannot be read gives a problem and no target. Words set apart from each other as `approx suggest` does.
    """
    problems: list[Problem] = []
    read: list[tuple[tuple[str, str, int], tuple[InputTarget, ...]]] = []
    for row in rows:
        typed, ipa, _ = row
        if len(typed.split()) > 1 and not ipa:
            read.append((row, ()))
            continue
        found, more = targets_in_list([row], suggester.language, suggester.profile, file, suggester.options.notation)
        problems += more
        read.append((row, found))
    words, more = suggester.suggestions([target for _, found in read for target in found])
    problems += more
    left = iter(words)
    out: list[PracticeTarget] = []
    for (typed, _, line), found in read:
        if found:
            # one typed word is one target, whatever the number of spoken words in it (uh-oh)
            parts = [next(left) for _ in found]
            shown = one_word(suggester, parts[0]) if len(parts) == 1 else joined_target(suggester, typed, parts)
        elif len(typed.split()) > 1:
            answer = suggester.phrase(typed)
            problems += [problem.at(file, line) for problem in answer.problems]
            shown = phrase(suggester, answer, typed)
        else:
            shown = None
        if shown is not None:
            out.append(shown)
        if shown is not None and not shown.sure:
            message = worded(
                "'{typed}' is not in the dictionary; read as {adult_ipa}", typed=typed, adult_ipa=shown.adult_ipa
            )
            hint = "check it, or give it as IPA: word=/ipa/"
            problems.append(Problem("targets.unsure", message, hint, file, line, symbol=typed, fatal=False))
    return tuple(out), tuple(problems)


def one_word(suggester: Suggester, word: Suggestion) -> PracticeTarget | None:
    """A word with its place on the ladder; None if it could not be read."""
    if word.adult is None:
        return None
    form = word.approximations[0] if word.approximations else None
    rungs = word.ladder
    if form is not None and form.chosen:
        rungs = _whole_ladder(suggester, word, form.ipa)
    at = next((number for number, rung in enumerate(rungs) if form is not None and rung.ipa == form.ipa), 0)
    above = rungs[at + 1] if at + 1 < len(rungs) else None
    in_hand = form is not None and form.word.phones == word.adult.phones
    stretch = form is not None and not sayable(form.word, suggester.limits)
    alike = _heard_as(form.clashes if form is not None else (), suggester.language)
    return PracticeTarget(
        word.word, word.adult.ipa, word.spelled, form.ipa if form else "", form.spelled if form else "",
        at + 1 if form else 0, len(rungs), above.ipa if above else "", above.spelled if above else "",
        (above.adds or "") if above else "", _help(form is not None, in_hand, stretch), in_hand, False, suggester.language,
        word.sure, alike,
    )  # fmt: skip


def _heard_as(clashes: Sequence[Clash], language: str) -> tuple[str, ...]:
    """Words that a form is heard as: others of the list, then what a family says in most weeks."""
    everyday = everyday_words(base_language(language))
    targets = [clash.word for clash in clashes if clash.kind == "target"]
    return (*targets, *(clash.word for clash in clashes if clash.kind == "word" and clash.word in everyday))


def joined_target(suggester: Suggester, typed: str, parts: Sequence[Suggestion]) -> PracticeTarget | None:
    """Listing spoken words as one target."""
    if any(part.adult is None for part in parts):
        return None
    adults = [part.adult for part in parts if part.adult is not None]
    forms = [part.approximations[0] for part in parts if part.approximations]
    whole = len(forms) == len(parts)
    in_hand = whole and all(form.word.phones == adult.phones for form, adult in zip(forms, adults))
    stretch = any(not sayable(form.word, suggester.limits) for form in forms)
    return PracticeTarget(
        typed, " ".join(adult.ipa for adult in adults), " ".join(part.spelled for part in parts),
        " ".join(form.ipa for form in forms), " ".join(form.spelled for form in forms),
        0, 0, "", "", "", _help(bool(forms), in_hand, stretch), in_hand, True, suggester.language,
        all(part.sure for part in parts),
    )  # fmt: skip


def phrase(suggester: Suggester, answer: Answer, typed: str) -> PracticeTarget | None:
    """A phrase as `approx suggest` answers it, its first whole form; None if a word of it could not be read."""
    found = joined_target(suggester, typed, answer.words) if answer.words else None
    if found is None or not answer.phrase_forms:
        return found
    first = answer.phrase_forms[0]
    return replace(found, today_ipa=first.ipa, today_spelled=first.spelled)


def _help(something: bool, in_hand: bool, stretch: bool) -> int:
    kind = "nothing" if not something else "stretch" if stretch else "in_hand" if in_hand else "today"
    return int(assumed("help")[kind])


def _whole_ladder(suggester: Suggester, word: Suggestion, ipa: str) -> tuple[ShownRung, ...]:
    """The ladder from the lowest form, if the clinician's form is one of its rungs; else the ladder from that form on."""
    plain = Suggester(replace(suggester.profile, chosen={}), suggester.options)
    targets, _ = targets_in_list(
        [(word.word, word.adult.ipa if word.adult else "", 1)], plain.language, plain.profile, ""
    )
    found, _ = plain.suggestions(targets)
    whole = found[0].ladder if found else ()
    return whole if any(rung.ipa == ipa for rung in whole) else word.ladder


CHOSEN = 8
"""Words chosen for a child where none are named."""
FAMILY_CHOSEN = 6
"""Words chosen for a family page or a letter where none are named: words for one week (common practice: three to six, no source)."""
GOES_HOME = ("family", "letter")
"""Kinds of page that people outside the clinic read: they are told which words sound like others."""
PROBED = 5
"""Untaught words probed where none are named (common practice, no source)."""
MOST_PAIRS = 8
"""Pairs of words said alike that one set of cards holds."""
SAID_ALREADY_IS_FINE = ("cards", "match", "listen")
"""Kinds of page for which words that the child says already are as good as any."""
SHOWS_PICTURES = ("family", "cards", "contrast", "match", "hear", "listen")
"""Pages on which a child looks at pictures."""
UNDRAWN = 3
"""One word in so many may be one that no picture shows, such as no or more (own judgement, no source)."""


@dataclass(frozen=True, slots=True)
class AlikePair:
    """Two adult words that are one form (`alike`, IPA and plain spelling) in this child's mouth today."""

    word: str
    other: str
    alike: str
    alike_spelled: str


@dataclass(frozen=True, slots=True)
class ChildTargets:
    """One child with what is to be practised. `frames`: phrases with an open slot, as typed. `probes`: words for a probe that
    are not practised. `pairs`: words said alike, those of the list first. Both only where the page asks for them."""

    code: str
    language: str
    targets: tuple[PracticeTarget, ...]
    frames: tuple[str, ...]
    probes: tuple[str, ...] = ()
    pairs: tuple[AlikePair, ...] = ()


def fit_for_others(found: ChildTargets) -> tuple[ChildTargets, tuple[Problem, ...]]:
    """Without the words whose form of today a family would not want to hear or read, and a remark for each; a next step
    of that kind is left out. The clinician may confirm them."""
    from approx.lexicon.rude import off_family_page

    kept: list[PracticeTarget] = []
    problems: list[Problem] = []
    for target in found.targets:
        adult = (target.language, target.adult_ipa, target.word)
        notes = off_family_page(target.today_ipa, target.today_spelled, *adult) if target.today_ipa else ()
        if notes:
            said = enumerated(", ", dict.fromkeys(note.heard_as for note in notes))
            message = worded(
                "'{word}' is left out of this page: today's form sounds or reads like {said}",
                word=target.word,
                said=said,
            )
            hint = "choose another form or word, or confirm it: --allow-rude, a tick on the desk"
            problems.append(Problem("sheet.rude", message, hint, symbol=target.word, fatal=False))
            continue
        if target.next_ipa and off_family_page(target.next_ipa, target.next_spelled, *adult):
            kept.append(replace(target, next_ipa="", next_spelled="", adds=""))
        else:
            kept.append(target)
    pairs = tuple(p for p in found.pairs if not off_family_page(p.alike, p.alike_spelled, found.language))
    return replace(found, targets=tuple(kept), pairs=pairs), tuple(problems)


def targets_for(
    suggester: Suggester, words: Sequence[ListRow], phrases: Sequence[ListRow] = (), source: str = "", kind: str = ""
) -> tuple[ChildTargets, list[Problem]]:
    """Words, then phrases, each once. `source`: the file they come from, "" where they were typed: those have no lines.

    `kind`: of the page, for what it needs beside the words: frames for cards where none is among the phrases, untaught
    words for a session and a plan, pairs said alike for contrast cards, matching and listening.
    """
    problems: list[Problem] = []
    frames = tuple(text for text, _, _ in phrases if is_frame(text))
    rows = [*words, *(row for row in phrases if not is_frame(row[0]))]
    targets, more = practice_targets(suggester, _once(rows, problems), source)
    problems += more if source else [replace(problem, line=None) for problem in more]
    if kind == "cards" and not frames:
        frames = frames_for(suggester, [target.word for target in targets])
    probes = untaught_words(suggester, targets) if kind in ("session", "plan") else ()
    pairs = alike_pairs(suggester, targets) if kind in ("contrast", "match", "listen") else ()
    return ChildTargets(suggester.profile.code, suggester.language, targets, frames, probes, pairs), problems


def untaught_words(suggester: Suggester, targets: Sequence[PracticeTarget]) -> tuple[str, ...]:
    """Words of the bank to probe: not practised, not said yet, each with one new thing; () where the bank has none. All can be drawn."""
    from approx.practice.words.word_filters import Filters
    from approx.practice.words.word_set import choose_set

    taught = Filters(exclude=frozenset(target.word.lower() for target in targets), picturable=True)
    bank = [each.bank for each in _bank(suggester) if each.things]
    found = choose_set(
        suggester.profile, PROBED, filters=taught, language=suggester.language, bank=bank, suggester=suggester
    )
    return tuple(word.word for word in found.words)


def _bank(suggester: Suggester) -> tuple[Candidate, ...]:
    """The words of the bank with what each asks for that the child has not."""
    from approx.practice.words.rank_words import candidates
    from approx.practice.words.word_bank import load_bank

    return candidates(load_bank(suggester.language), suggester.limits)


def alike_pairs(suggester: Suggester, targets: Sequence[PracticeTarget]) -> tuple[AlikePair, ...]:
    """Pairs of words that one sound tells apart for adults and nothing tells apart for this child, those of the list first, and of
    these those with pictures."""
    from approx.lexicon.pictures import picture
    from approx.practice.words.contrasts import AS_THE_OTHER, FormsToday, alike_today, near_pairs

    named = {target.word.casefold() for target in targets}
    everything = [each for each in _bank(suggester) if each.bank.picturable or each.bank.word.casefold() in named]

    def rank(near: NearPair) -> tuple[bool, int, bool, float, str, str]:
        word, other = near.word.bank.word, near.other.bank.word
        undrawn = sum(picture(each, suggester.language) is None for each in (word, other))
        unnamed = not {word.casefold(), other.casefold()} & named
        return unnamed, undrawn, near.kind != AS_THE_OTHER, -near.use, word, other

    forms: FormsToday = {}
    kept: list[AlikePair] = []
    used: set[str] = set()
    sounds: set[frozenset[tuple[str, ...]]] = set()
    for near in sorted(near_pairs(everything, everything), key=rank):
        words = {near.word.bank.word, near.other.bank.word}
        heard = frozenset((near.word.bank.adult.phones, near.other.bank.adult.phones))
        # no word in two pairs, and no pair under two spellings; only of the others are today's forms worked out
        if words & used or heard in sounds:
            continue
        pair = alike_today(near, suggester, forms)
        if pair is not None:
            used |= words
            sounds.add(heard)
            kept.append(AlikePair(pair.word, pair.other, pair.today, _spelled(suggester, pair.today)))
            if len(kept) == MOST_PAIRS:
                break
    return tuple(kept)


def _spelled(suggester: Suggester, ipa: str) -> str:
    """The plain spelling of a form that the rules made."""
    found, _ = targets_in_list([(ipa, ipa, 0)], suggester.language, suggester.profile, "")
    adults = [target.adult for target in found if target.adult is not None]
    return " ".join(suggester.spell(adult) for adult in adults)


def chosen_words(suggester: Suggester, seed: int, problems: list[Problem], kind: str = "") -> list[ListRow]:
    """Words that go together for this child, from the word bank: eight, or six for a page that goes home. For practice they
    are words with something new in them, where the bank has such words within reach. On a page that shows pictures all but
    some are words that have one, where there are such words."""
    from approx.lexicon.pictures import picture
    from approx.practice.words.word_set import choose_set

    count = FAMILY_CHOSEN if kind in GOES_HOME else CHOSEN
    bank = None if kind in SAID_ALREADY_IS_FINE else [each.bank for each in _bank(suggester) if each.things]

    def chosen(number: int, among: Sequence[BankWord] | None) -> list[RankedWord]:
        found = choose_set(
            suggester.profile, number, seed=seed, language=suggester.language, bank=among, suggester=suggester
        )
        return list(found.words)

    words: list[RankedWord] = []
    if kind in SHOWS_PICTURES:
        among = bank if bank is not None else [each.bank for each in _bank(suggester)]
        drawn = [each for each in among if picture(each.word, suggester.language)]
        signs: set[str] = set()
        while len(words) < count - count // UNDRAWN:
            fresh = [each for each in drawn if picture(each.word, suggester.language) not in signs]
            found = chosen(count - count // UNDRAWN - len(words), fresh)
            if not found:
                break
            for word in found:
                sign = picture(word.word, suggester.language) or ""
                words += [] if sign in signs else [word]
                signs.add(sign)
        told = {word.word.casefold() for word in words}
        bank = [
            each for each in among if each.word.casefold() not in told and not picture(each.word, suggester.language)
        ]
    words += chosen(count - len(words), bank)
    if not words:
        words = chosen(count, None)
    if not words:
        hint = 'give some: --words "mud, hat"'
        problems.append(Problem("words.none", "no word of the bank fits what this child has yet", hint))
        return []
    names = ", ".join(word.word for word in words)
    problems.append(
        Problem(
            "words.chosen",
            worded("words chosen for this child: {words}", words=names),
            "--words names others",
            fatal=False,
        )
    )
    return [(word.word, word.adult.ipa, number) for number, word in enumerate(words, 1)]


def _once(rows: Sequence[ListRow], problems: list[Problem]) -> list[ListRow]:
    """Each word once; the second of two is named."""
    out: dict[tuple[str, str], ListRow] = {}
    for row in rows:
        key = (row[0].lower(), row[1])
        if key in out:
            problems.append(
                Problem(
                    "words.twice",
                    worded("'{row}' is named twice", row=row[0]),
                    "printed once",
                    symbol=row[0],
                    fatal=False,
                )
            )
        out.setdefault(key, row)
    return list(out.values())
