"""Carry out a rule on a form: where its focus and context match, and what comes out."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from approx.ipa import features as ft
from approx.ipa.features import is_nucleus
from approx.ipa.language import language
from approx.processes.engine.form import Form, respan
from approx.processes.rules.notation import Item, ParsedRule

Bound = dict[str, str | tuple[str, ...] | int]


def apply(change: ParsedRule, form: Form, tag: str = "en-US") -> Iterator[tuple[int, int, Form]]:
    """Every place where the change applies: (first sound, last sound excluded, form after it)."""
    if change.of_syllables:
        yield from _apply_syllables(change, form)
        return
    for at in range(len(form.phones) + 1):
        found = apply_at(change, form, at, tag)
        if found is not None:
            yield at, at + len(change.focus), found


def apply_at(change: ParsedRule, form: Form, at: int, tag: str = "en-US") -> Form | None:
    """The form after the change at one place, or None where it does not apply there or changes nothing."""
    bound = match_at(change, form, at)
    return None if bound is None else _rewrite(change, form, at, at + len(change.focus), bound, tag)


def carry_out(change: ParsedRule, form: Form, at: int, tag: str = "en-US") -> Form | None:
    """The form after a change known to match at a place (a sound, or the first one of its syllables).

    Focus and context are not looked at again, unless the result depends on them.
    """
    if change.of_syllables:
        return carry_out_syllables(change, form, form.starts.index(at))
    end = at + len(change.focus)
    if not change.result:
        return _reshaped(form, at, end, [])
    bound = match_at(change, form, at) if change.bound else _UNBOUND
    return None if bound is None else _rewrite(change, form, at, end, bound, tag)


_UNBOUND: Bound = {}


def fits_beside(change: ParsedRule, place: int, phone: str, side: int) -> bool:
    """False where a neighbour ("" at an edge of the word) rules out a change that has a sound at `place` of its focus.

    `side` is -1 for the sound to the left, 1 to the right. A quick look before `match_at`; it knows nothing of stress,
    cuts, numbers and what stands further off.
    """
    if side < 0:
        items = (*change.focus[:place][::-1], *change.outward)
    else:
        items = (*change.focus[place + 1 :], *change.right)
    for item in items:
        if item.kind == "edge":
            return phone == ""
        if item.kind != "cut":
            return item.kind == "gap" or phone != "" and item.fits(phone)
    return True


def sees_beside_only(change: ParsedRule, place: int) -> bool:
    """True if all that a change looks at, from a sound at `place` of its focus, is that sound and the two beside it."""
    before = (*change.focus[:place], *change.left)
    after = (*change.focus[place + 1 :], *change.right)
    plain = not any(item.binds or item.kind in ("cut", "gap") for item in (*change.focus, *before, *after))
    return plain and len(before) <= 1 and len(after) <= 1


def match_at(change: ParsedRule, form: Form, at: int) -> Bound | None:
    """What numbers and Greek letters stand for if focus and context fit at this place, else None."""
    phones, end = form.phones, at + len(change.focus)
    if end > len(phones):
        return None
    bound: Bound = {}
    for item, here in zip(change.focus, range(at, end)):
        if not item.fits(phones[here]) or item.binds and not _bind(item, form, here, bound):
            return None
    if change.left and not _context(change.outward, form, at - 1, -1, bound):
        return None
    if change.right and not _context(change.right, form, end, 1, bound):
        return None
    return bound


def _bind(item: Item, form: Form, at: int, bound: Bound) -> bool:
    """Stress, agreement and numbering of one matched sound."""
    phone = form.phones[at]
    if item.stress and not item.stressed_as(form.stress[form.syllable_at(at)]):
        return False
    for letter, number in item.agree:
        values = ft.features(phone)
        if values is None or bound.setdefault(letter, values[number]) != values[number]:
            return False
    return not item.name or bound.setdefault(item.name, phone) == phone


def _context(items: tuple[Item, ...], form: Form, at: int, step: int, bound: Bound) -> bool:
    """Match context items outward from the focus; `at` is the next sound in that direction."""
    for number, item in enumerate(items):
        edge = at if step > 0 else at + 1
        if item.kind == "edge":
            if edge != 0 and edge != len(form.phones) and edge not in form.edges:
                return False
        elif item.kind == "cut":
            if edge not in form.starts and edge != len(form.phones):
                return False
        elif item.kind == "gap":
            rest = items[number + 1 :]
            stop = len(form.phones) if step > 0 else -1
            for place in range(at, stop, step):
                trial = dict(bound)
                if _context(rest, form, place, step, trial):
                    bound.update(trial)
                    return True
            return False
        else:
            if not 0 <= at < len(form.phones) or not item.fits(form.phones[at]):
                return False
            if item.binds and not _bind(item, form, at, bound):
                return False
            at += step
    return True


def sound_after(change: ParsedRule, form: Form, at: int, tag: str = "en-US") -> str | None:
    """What a change of one sound for one makes of the sound at a place; None where it does not apply."""
    bound = match_at(change, form, at)
    return None if bound is None else _sound(change.result[0], change, 0, form.phones[at], bound, tag)


def made_at(change: ParsedRule, form: Form, at: int, tag: str = "en-US") -> tuple[str, ...] | None:
    """The sounds that the change makes of those of its focus at one place; None where `apply_at` gives no form."""
    bound = match_at(change, form, at)
    new = None if bound is None else _new_sounds(change, form, at, at + len(change.focus), bound, tag)
    return None if new is None or len(form.phones) + len(new) == len(change.focus) else tuple(new)


def _rewrite(change: ParsedRule, form: Form, at: int, end: int, bound: Bound, tag: str) -> Form | None:
    new = _new_sounds(change, form, at, end, bound, tag)
    return None if new is None else replaced(form, at, end, new)


def _new_sounds(change: ParsedRule, form: Form, at: int, end: int, bound: Bound, tag: str) -> list[str] | None:
    """What is said for a run of sounds; None where that is nothing new."""
    new: list[str] = []
    for number, item in enumerate(change.result):
        old = form.phones[at + number] if at + number < end else ""
        sound = _sound(item, change, number, old, bound, tag)
        if sound is None:
            return None
        new.append(sound)
    old_run = form.phones[at:end]
    return None if tuple(new) == old_run else new


def replaced(form: Form, at: int, end: int, new: list[str]) -> Form | None:
    """The form with other sounds from `at` to `end`; syllables follow their vowels. None where nothing is left."""
    old = form.phones[at:end]
    if len(new) == len(old) and all(is_nucleus(a) == is_nucleus(b) for a, b in zip(new, old)):
        phones = (*form.phones[:at], *new, *form.phones[end:])
        return Form(phones, form.starts, form.stress, form.origins)
    return _reshaped(form, at, end, new)


def _sound(item: Item, change: ParsedRule, number: int, old: str, bound: Bound, tag: str) -> str | None:
    """The sound a result item writes."""
    if item.name:
        value = bound[item.name]
        return value if isinstance(value, str) else None
    if item.kind == "sound":
        return item.text
    if item.kind == "set":
        sounds = change.focus[number].sounds
        return item.sounds[sounds.index(old)] if old in sounds else None
    agreed = tuple((feature, bound[letter]) for letter, feature in item.agree if isinstance(bound.get(letter), int))
    return nearest_with(old, item.bundle + agreed, tag)


@cache
def nearest_with(sound: str, bundle: tuple[tuple[int, int], ...], tag: str) -> str | None:
    """The sound of the language nearest to `sound` with the bundle's features set; None if none has them all."""
    lang = language(tag)
    pool = [s for s in (*lang.consonants, *lang.vowels) if ft.has(s, bundle) and is_nucleus(s) == is_nucleus(sound)]
    return min(pool, key=lambda other: (ft.distance(sound, other), other), default=None)


def _reshaped(form: Form, at: int, end: int, new: list[str]) -> Form | None:
    """The form with a run of another length: syllables follow their vowels."""
    if not new and not any(map(is_nucleus, form.phones[at:end])):
        return _consonants_off(form, at, end) if end - at < len(form.phones) else None
    phones = [*form.phones[:at], *new, *form.phones[end:]]
    if not phones:
        return None
    owners = [2 * form.syllable_at(place) for place in range(len(form.phones))]
    origins = list(form.origins)
    gone = len(new) < end - at
    inserted = [origins[min(at + k, end - 1)] if at + k < end and not gone else -1 for k in range(len(new))]
    if gone and new:
        inserted = origins[at : at + len(new)]
    near = owners[at] if at < len(owners) else owners[-1]
    before = owners[at - 1] if at else near
    if not gone and sum(map(is_nucleus, new)) > sum(map(is_nucleus, form.phones[at:end])):
        return _resyllabified(form, phones, [*origins[:at], *inserted, *origins[end:]], end, len(new) - (end - at))
    fresh = [near if at < len(form.phones) and form.phones[at : at + 1] and not gone else before] * len(new)
    if gone:
        fresh = owners[at : at + len(new)]
    owners = [*owners[:at], *fresh, *owners[end:]]
    origins = [*origins[:at], *inserted, *origins[end:]]
    stress = tuple(degree for value in form.stress for degree in (value, 0))
    return respan(phones, origins, owners, stress)


def _consonants_off(form: Form, at: int, end: int) -> Form:
    """What `respan` makes of a form without some consonants, found directly: it is the search's most frequent step."""
    phones = form.phones[:at] + form.phones[end:]
    starts = [start if start <= at else max(at, start - end + at) for start in form.starts]
    if any(
        one >= other for one, other in zip(starts, (*starts[1:], len(phones)))
    ):  # a syllable of consonants alone is gone
        owners = [2 * form.syllable_at(place) for place in range(len(form.phones))]
        stress = tuple(degree for value in form.stress for degree in (value, 0))
        return respan(list(phones), [*form.origins[:at], *form.origins[end:]], [*owners[:at], *owners[end:]], stress)
    for number in range(1, len(starts)):
        first = starts[number]
        if is_nucleus(phones[first]) and not is_nucleus(phones[first - 1]) and first - 1 > starts[number - 1]:
            starts[number] = first - 1
    return Form(phones, tuple(starts), form.stress, form.origins[:at] + form.origins[end:])


def _resyllabified(form: Form, phones: list[str], origins: list[int], end: int, more: int) -> Form:
    """After a vowel came in: cut anew by onset rules, each old syllable keeps its stress by its vowel. What stood from
    `end` on stands so many sounds `more` to the right."""
    from approx.ipa.syllables import syllable_starts

    starts = syllable_starts(phones)
    degree_of: dict[int, int] = {}
    for place, phone in enumerate(form.phones):
        if is_nucleus(phone):
            # what was put in where nothing is left of the form stands in no syllable yet
            degree = form.stress[form.syllable_at(place)] if form.stress else 0
            degree_of[place if place < end else place + more] = degree
    stress = []
    for start, stop in zip(starts, (*starts[1:], len(phones))):
        stress.append(next((degree_of[p] for p in range(start, stop) if p in degree_of), 0))
    return Form(tuple(phones), starts, tuple(stress), tuple(origins))


def syllable_slots(change: ParsedRule, form: Form) -> list[int]:
    """First syllable of each run of syllables where a change of whole syllables fits.

    Sounds do not matter to it: only stress and which syllables begin with a consonant.
    """
    size = sum(item.kind == "syllable" for item in change.focus)
    slots = range(len(form.starts) - size + 1)
    return [first for first in slots if _syllables_fit(change, form, first, first + size)]


def _syllables_fit(change: ParsedRule, form: Form, first: int, end: int) -> bool:
    focus = (item for item in change.focus if item.kind == "syllable")
    fit = all(_syllable_fits(item, form, slot) for item, slot in zip(focus, range(first, end)))
    return fit and _syllable_context(change, form, first, end)


def carry_out_syllables(change: ParsedRule, form: Form, first: int) -> Form | None:
    """The form after a change of whole syllables known to fit at a syllable; None if nothing is left or changed."""
    focus = [item for item in change.focus if item.kind == "syllable"]
    named = {item.name: slot for slot, item in enumerate(focus, first) if item.name}
    spans = [named[item.name] for item in change.result if item.kind == "syllable"]
    order = [*range(first), *spans, *range(first + len(focus), len(form.starts))]
    new = _from_syllables(form, order, keep_stress=len(spans) == len(focus))
    return new if new is not None and new.phones != form.phones else None


def _apply_syllables(change: ParsedRule, form: Form) -> Iterator[tuple[int, int, Form]]:
    """Changes of whole syllables: deletion, and writing one syllable in another's place."""
    bounds = (*form.starts, len(form.phones))
    size = sum(item.kind == "syllable" for item in change.focus)
    for first in syllable_slots(change, form):
        new = carry_out_syllables(change, form, first)
        if new is not None:
            yield bounds[first], bounds[first + size], new


def _syllable_context(change: ParsedRule, form: Form, first: int, end: int) -> bool:
    for items, begin, step in ((change.outward, first - 1, -1), (change.right, end, 1)):
        slot = begin
        for item in items:
            if item.kind == "edge":
                if slot not in (-1, len(form.starts)):
                    return False
            elif item.kind == "syllable":
                if not 0 <= slot < len(form.starts) or not _syllable_fits(item, form, slot):
                    return False
                slot += step
    return True


def _syllable_fits(item: Item, form: Form, slot: int) -> bool:
    return not item.stress or item.stressed_as(form.stress[slot], not is_nucleus(form.phones[form.starts[slot]]))


def _from_syllables(form: Form, order: list[int], keep_stress: bool) -> Form | None:
    bounds = (*form.starts, len(form.phones))
    phones: list[str] = []
    starts: list[int] = []
    stress: list[int] = []
    origins: list[int] = []
    for place, number in enumerate(order):
        starts.append(len(phones))
        stress.append(form.stress[place if keep_stress else number])
        phones += form.phones[bounds[number] : bounds[number + 1]]
        origins += form.origins[bounds[number] : bounds[number + 1]]
    if not phones:
        return None
    if len(set(order)) == 1 and len(order) > 1:
        stress = [1] + [0] * (len(order) - 1)  # a repeated syllable is said with the stress first
    if 1 not in stress:
        stress[stress.index(2) if 2 in stress else 0] = 1
    for number in range(1, len(starts)):
        at = starts[number]
        if is_nucleus(phones[at]) and not is_nucleus(phones[at - 1]) and at - 1 > starts[number - 1]:
            starts[number] = at - 1
    return Form(tuple(phones), tuple(starts), tuple(stress), tuple(origins))
