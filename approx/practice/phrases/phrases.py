"""Phrases for a child in one call: relations, frames, wishes of the family, or a grammar ladder; and what stood in the way."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from approx.child.profile import POSITIONS
from approx.lexicon.spelling import base_language
from approx.practice.grammar.phrase_grammar import adult_sentence
from approx.practice.grammar.phrase_words import PHRASE_LANGUAGES, Vocabulary, bank, scene, with_people
from approx.practice.grammar.recipes import RELATION, Recipe, frames, relations
from approx.practice.phrases.child_pronouncer import ChildPronouncer, described, numbers
from approx.practice.phrases.grammar_ladder import DEFAULT_ORDER, grammar_ladder
from approx.practice.phrases.phrase_maker import Chosen, PhraseMaker, assembled, clashes_within, mixed, with_clashes
from approx.practice.phrases.phrase_types import Frame, Phrase, PhraseAnswer, PhraseWord
from approx.practice.suggest.input_targets import ListRow
from approx.practice.suggest.suggest import Suggester
from approx.problems import Problem
from approx.wording import enumerated, worded

PHRASES, FILLERS = 10, 5
"""How many phrases, and fillers a frame, where no number is asked for."""


@dataclass(frozen=True, slots=True)
class PhraseRequest:
    """What to make. `rows`: words of a scene, None for the bank. `count` 0: the usual number. `length` 0: any; else the
    words of the telegraphic phrase. `relation`: id or other name, "" for a mix. `grammar`: a phrase to build up.
    `pronoun`: she, he or they for the names in it, "" as the child's file and the lists say."""

    rows: tuple[ListRow, ...] | None = None
    file: str = ""
    frames: bool = False
    relation: str = ""
    grammar: str = ""
    order: str = DEFAULT_ORDER
    count: int = 0
    seed: int = 0
    length: int = 0
    pronoun: str = ""


def make_phrases(suggester: Suggester, request: PhraseRequest) -> PhraseAnswer:
    """Phrases whose every word has a form this child can say today, or a ladder; problems say what could not be done."""
    language, profile = suggester.language, suggester.profile
    answer = PhraseAnswer(profile.code, language, suggester.signature)
    if base_language(language) not in PHRASE_LANGUAGES:
        hint = "phrases are made in English and Spanish; --language names one of them"
        return replace(
            answer, problems=(Problem("phrases.language", worded("no phrases in {language}", language=language), hint),)
        )
    missing = _nothing_in_hand(suggester)
    if missing is not None:
        return replace(answer, problems=(missing,))
    pronouncer = ChildPronouncer(suggester)
    vocabulary, wishes, problems = None, (), ()  # type: tuple[Vocabulary | None, tuple[str, ...], tuple[Problem, ...]]
    if request.rows is not None:
        vocabulary, wishes, problems = scene(request.rows, language, pronouncer.own, request.file)
        if not vocabulary.words and not wishes:
            empty = Problem(
                "phrases.scene",
                "no word of the list can be used",
                "write one word per line, such as: Bo, dig, mud",
                request.file,
            )
            return replace(answer, problems=(*problems, empty))
    known, unread = _known(vocabulary, pronouncer, request.pronoun)
    problems = (*problems, *unread)
    if request.grammar:
        ladder, more = grammar_ladder(request.grammar, pronouncer, request.order, known)
        return replace(answer, ladder=ladder, problems=(*problems, *more))
    wanted, unknown = _recipes(request, language)
    if unknown is not None:
        return replace(answer, problems=(*problems, unknown))
    maker = PhraseMaker(pronouncer, known, request.seed, is_scene=vocabulary is not None)
    problems = (*problems, *_unsayable_words(maker, vocabulary))
    wished, more = _wishes(wishes, maker)
    problems = (*problems, *more)
    if request.frames:
        made = _frames(maker, wanted, request.count or FILLERS)
        return replace(
            answer, phrases=with_clashes(wished, language), frames=made, problems=(*problems, *_no_frames(made))
        )
    count = request.count or PHRASES
    chosen = _filled(maker, wanted, count)
    if not request.relation or _asks_for_set_phrases(request):
        chosen.insert(min(1, len(chosen)), maker.set_phrases(count, request.length))
    found, opposed = mixed([each.phrases for each in chosen], count, language)
    short = _too_few(chosen, found, count, request)
    return replace(
        answer,
        phrases=with_clashes((*wished, *found), language),
        problems=(*problems, *short, *_opposed(opposed), *_alike(found)),
    )


def _known(
    vocabulary: Vocabulary | None, pronouncer: ChildPronouncer, pronoun: str
) -> tuple[Vocabulary, tuple[Problem, ...]]:
    """The words phrases are made of, with the people of the child's life; names that cannot be read are told."""
    people = pronouncer.suggester.profile.people
    readings = {name: pronouncer.read(name)[1] for name in people}
    words = bank(pronouncer.language) if vocabulary is None else vocabulary
    known = with_people(words, people, readings, pronoun, whole_bank=vocabulary is None)
    hint = "write how the name is said under [readings] in the child's file"
    return known, tuple(
        Problem("phrases.name", worded("the name '{name}' cannot be read", name=name), hint, symbol=name, fatal=False)
        for name, ipa in readings.items()
        if not ipa
    )


def _asks_for_set_phrases(request: PhraseRequest) -> bool:
    return request.relation.strip().lower().replace(" ", "-") == RELATION and not request.frames


def _recipes(request: PhraseRequest, language: str) -> tuple[tuple[Recipe, ...], Problem | None]:
    """Recipes asked for, or the problem that there is none by that name."""
    if _asks_for_set_phrases(request):
        return (), None
    known = frames(language) if request.frames else relations(language)
    name = request.relation.strip().lower().replace(" ", "-")
    if name:
        exact = [recipe for recipe in known if name in (recipe.id, recipe.relation, *recipe.names)]
        found = exact or [recipe for recipe in known if recipe.id.startswith(f"{name}-")]
        if not found:
            return (), _unknown_relation(request.relation, known)
    else:
        found = list(known) if request.frames else _mix(known, language)
    fitting = tuple(recipe for recipe in found if not request.length or recipe.count == request.length)
    if not fitting:
        lengths = ", ".join(sorted({str(recipe.count) for recipe in found}))
        message = worded("no {length}-word phrases of this kind", length=request.length)
        return (), Problem("use.length", message, worded("lengths there are: {lengths}", lengths=lengths))
    return fitting, None


def _mix(known: Sequence[Recipe], language: str) -> list[Recipe]:
    """Relations and some frames in the order they are taken in turn (`mix` of choice.toml)."""
    order: dict[str, int] = {name: at for at, name in enumerate(numbers()["mix"])}
    named = [(order[name], each) for each in frames(language) if (name := f"frame:{each.id}") in order]
    placed = [(order.get(recipe.id, len(order)), recipe) for recipe in known]
    return [recipe for _, recipe in sorted((*placed, *named), key=lambda pair: pair[0])]


def _unknown_relation(name: str, known: Sequence[Recipe]) -> Problem:
    from difflib import get_close_matches

    ids = list(
        dict.fromkeys(
            [*(recipe.id for recipe in known), RELATION, *(other for recipe in known for other in recipe.names)]
        )
    )
    near = get_close_matches(name.lower(), ids, 1, 0.5)
    hint = worded("did you mean {near}? ", near=near[0]) if near else ""
    return Problem(
        "use.relation",
        worded("{option} cannot be {value}", option="--relation", value=f"'{name[:40]}'"),
        worded("{hint}there are: {ids}", hint=hint, ids=enumerated(", ", ids)),
        symbol=name[:40],
    )


def _filled(maker: PhraseMaker, wanted: Sequence[Recipe], count: int) -> list[Chosen]:
    """Phrases of each recipe: all of one if one is asked for, else some of each until there are plenty."""
    each = count if len(wanted) == 1 else max(4, -(-count // max(len(wanted), 1)) + 1)
    out: list[Chosen] = []
    for recipe in wanted:
        out.append(maker.phrases(recipe, each))
        if len(wanted) > 1 and sum(bool(chosen.phrases) for chosen in out) >= count + 2:
            break
    return out


def _frames(maker: PhraseMaker, wanted: Sequence[Recipe], count: int) -> tuple[Frame, ...]:
    """Every frame costed, the one with the easiest fixed words first; those not sayable yet last."""
    out = []
    for recipe in wanted:
        fixed = tuple(maker.pronouncer.say(word.strip("<>")) for word in recipe.fixed)
        chosen = maker.phrases(recipe, count)
        out.append(
            Frame(
                id=recipe.id,
                text=" ".join(part[1:].strip("<>") if part.startswith("'") else "___" for part in recipe.parts),
                use=recipe.use,
                relation=recipe.relation,
                source=recipe.source,
                fixed=fixed,
                today_spelled=_frame_today(recipe, fixed),
                new=tuple(
                    dict.fromkeys(
                        worded("{ask} in '{text}'", ask=new, text=part.word) for part in fixed for new in part.new
                    )
                ),
                cost=round(sum(part.cost for part in fixed), 2),
                phrases=with_clashes(chosen.phrases, maker.language),
                missing=tuple(part.word for part in fixed if not part.today_ipa),
            )
        )
    return tuple(sorted(out, key=lambda frame: (bool(frame.missing) or not frame.phrases, frame.cost)))


def _frame_today(recipe: Recipe, fixed: Sequence[PhraseWord]) -> str:
    said = iter(fixed)
    return " ".join((next(said).today_spelled or "?") if part.startswith("'") else "___" for part in recipe.parts)


def _no_frames(made: Sequence[Frame]) -> tuple[Problem, ...]:
    if any(frame.phrases for frame in made):
        return ()
    return (
        Problem(
            "phrases.none", "no frame can be filled yet", "try --emerging, or enter more sounds in the child's file"
        ),
    )


def _wishes(wishes: Sequence[str], maker: PhraseMaker) -> tuple[tuple[Phrase, ...], tuple[Problem, ...]]:
    """Phrases the family wishes for, as they can be said today; words with no form are named, with what is near."""
    out: list[Phrase] = []
    problems: list[Problem] = []
    for wish in wishes:
        parts = tuple(maker.pronouncer.say(word, "", "wish") for word in wish.split())
        unread = [part for part in parts if not part.adult_ipa]
        silent = [part for part in parts if part.adult_ipa and not part.today_ipa]
        for part in unread:
            hint = "write how it is said, with --words FILE and a column target_ipa"
            problems.append(
                Problem(
                    "phrases.word",
                    worded("'{typed}' is not a word this program can read", typed=part.word[:40]),
                    hint,
                    symbol=part.word[:40],
                )
            )
        for part in silent:
            problems.append(_cannot_be_said(part.word, maker))
        if unread or silent:
            continue
        whole, _ = adult_sentence(wish, maker.language, maker.words)
        recipe = Recipe("wish", (), "the family's wish", "", "", "", 0, {}, "wish")
        phrase = assembled(
            parts, whole or wish[:1].upper() + wish[1:] + ".", recipe, tuple(wish.split()), maker.language
        )
        out.append(replace(phrase, clashes=clashes_within(parts)))
        if phrase.closeness < numbers()["least_closeness"]:
            problems.append(_far(phrase))
    return tuple(out), tuple(problems)


def _far(phrase: Phrase) -> Problem:
    """A wish whose form of today few would understand, with its easiest word."""
    easiest = min(phrase.parts, key=lambda part: part.cost)
    message = worded(
        "today's form of '{telegraphic}' is far from the adult words (closeness {closeness})",
        telegraphic=phrase.telegraphic[:60],
        closeness=f"{phrase.closeness:.2f}",
    )
    hint = worded(
        "begin with its easiest word: {word}, today {today_ipa}", word=easiest.word, today_ipa=easiest.today_ipa
    )
    return Problem("phrases.far", message, hint, symbol=phrase.telegraphic[:60], fatal=False)


def _unsayable_words(maker: PhraseMaker, vocabulary: Vocabulary | None) -> list[Problem]:
    """Words of the scene with no form today, each with the nearest that has one."""
    out = []
    for word in dict.fromkeys(word.word for word in (vocabulary.words if vocabulary else ())):
        entry = maker.words.find(word)
        if entry is not None and not all(part.today_ipa for part in maker.pronouncer.say_word(entry, "")):
            out.append(_cannot_be_said(word, maker))
    return out


def _cannot_be_said(word: str, maker: PhraseMaker) -> Problem:
    """A wish out of reach, with words of its kind that are within it."""
    entry = maker.words.find(word) or bank(maker.language).find(word)
    near = []
    if entry is not None:
        kin = [
            w
            for w in bank(maker.language).words
            if (w.part, w.category) == (entry.part, entry.category) and w.word != word
        ]
        ranked = sorted(kin, key=maker.rough)[:12]
        near = [w.word for w in ranked if all(part.today_ipa for part in maker.pronouncer.say_word(w, ""))][:3]
    hint = (
        worded("nearest that can: {words}", words=enumerated(", ", near))
        if near
        else "nothing of its kind can be said yet; a sign or picture serves until then"
    )
    return Problem(
        "phrases.unsayable",
        worded("'{word}' cannot be said yet in any form", word=word[:40]),
        hint,
        symbol=word[:40],
        fatal=False,
    )


def _too_few(
    chosen: Sequence[Chosen], found: Sequence[Phrase], count: int, request: PhraseRequest
) -> tuple[Problem, ...]:
    """What is said where there are fewer phrases than asked for."""
    if len(found) >= count:
        return ()
    vague = ("fitting thing", "word for the open place")
    lacks = [what for what in dict.fromkeys(what for each in chosen for what in each.lacks) if what not in vague][:4]
    why = [each.missing for each in chosen if each.missing]
    if request.relation:
        hint = enumerated("; ", why) if why else "no further distinct, sensible phrases"
    elif request.rows is not None:
        hint = (
            worded("the list has no {lacks}", lacks=enumerated(", no ", lacks))
            if lacks
            else "add words that go together to the list"
        )
    else:
        hint = "try --emerging, or enter more sounds and shapes in the child's file"
    pattern = "no phrase can be made from these words for this child"
    if found:
        pattern = "only {found} of {count} {count:phrase|phrases} can be made from these words for this child"
    message = worded(pattern, found=len(found), count=count)
    return (Problem("phrases.few" if found else "phrases.none", message, hint, fatal=not found),)


def _opposed(pairs: Sequence[tuple[str, str]]) -> tuple[Problem, ...]:
    """Words left out because a word of opposite use has their form today."""
    hint = "choose another form for one of the two, or teach a sign for it"
    return tuple(
        Problem(
            "phrases.opposed",
            worded("'{word}' sounds like '{other}' today: phrases with it are left out", word=word, other=other),
            hint,
            symbol=word,
            fatal=False,
        )
        for word, other in pairs
    )


def _alike(found: Sequence[Phrase]) -> tuple[Problem, ...]:
    """Too many words with one form today: what the child's file lacks most for these words."""
    words = {part.word.lower(): part for phrase in found for part in phrase.parts}
    forms = {part.today_ipa for part in words.values()}
    if len(words) < 4 or len(forms) > numbers()["least_apart"] * len(words):
        return ()
    asked = Counter(ask for part in words.values() for ask in part.ask if ask[0] in ("consonant", "vowel", "shape"))
    missing = enumerated(", ", (described(ask) for ask, _ in asked.most_common(4)))
    message = worded(
        "{words} {words:word has|words have} only {forms} {forms:form|forms} today, so many sound alike",
        words=len(words),
        forms=len(forms),
    )
    return (
        Problem(
            "phrases.alike", message, worded("what these words miss most: {missing}", missing=missing), fatal=False
        ),
    )


def _nothing_in_hand(suggester: Suggester) -> Problem | None:
    """What a file must have before there can be phrases at all."""
    limits = suggester.limits
    lacking = []
    if not limits.vowels:
        lacking.append("a vowel")
    if not limits.shapes:
        lacking.append("a syllable shape")
    if not any(limits.consonants[position] for position in POSITIONS):
        lacking.append("a consonant")
    if not lacking:
        return None
    hint = "enter what the child says"
    if limits.emerging and not suggester.options.emerging:
        hint = "enter what the child says, or let emerging ones in with --emerging"
    message = worded(
        "no phrase can be made yet: the child's file lacks {lacking}", lacking=enumerated(" and ", lacking)
    )
    return Problem("phrases.nothing", message, hint)
