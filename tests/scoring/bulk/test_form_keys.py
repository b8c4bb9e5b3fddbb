"""Forms and objects told apart in arrays, against dictionaries."""

import random

import numpy as np

from approx.scoring.bulk.different_numbers import NumberedObjects, different, told_apart
from approx.scoring.bulk.form_keys import FormKeys


def some_forms(seed: int) -> list[tuple[int, ...]]:
    """Short and long ones, sounds with numbers that fit a byte and that do not, and nothing said."""
    draw = random.Random(seed)
    made = [tuple(draw.choice((1, 2, 255, 256, 300)) for _ in range(draw.randrange(11))) for _ in range(400)]
    return [*made, (), (1,) * 7, (1,) * 8, *made[:50]]


def test_equal_forms_have_one_number_and_their_sounds_come_back() -> None:
    forms = some_forms(3)
    keys, places = FormKeys(len(forms)), np.random.default_rng(3).permutation(len(forms))
    for part in (slice(0, 200), slice(200, None)):
        here = forms[part]
        flat = np.array([sound for form in here for sound in form], np.uint16)
        keys.put(places[part], flat, np.array([len(form) for form in here]))
    numbers, found = keys.numbered()
    assert len(found) == len(set(forms))
    assert [tuple(found.sounds(int(numbers[place]))) for place in places.tolist()] == forms
    sounds, length = found.rows()
    rows = [tuple(row.tolist()) for row in np.split(sounds, np.cumsum(length)[:-1])]
    assert rows == [tuple(found.sounds(number)) for number in range(len(found))]


def test_objects_are_numbered_in_order_of_first_sight() -> None:
    objects = [(at,) for at in range(50)]
    drawn = random.Random(5).choices(objects, k=300)
    found = NumberedObjects(drawn)
    assert found.different == list(dict.fromkeys(drawn))
    assert [found.different[number] for number in found.each.tolist()] == drawn
    assert found.of(drawn[::-3]).tolist() == found.each[::-3].tolist()


def test_numbers_near_and_far_apart_are_told_apart_alike() -> None:
    draw = random.Random(7)
    for most in (20, 10**12):
        numbers = [draw.randrange(most) for _ in range(200)]
        found, which = told_apart(np.array(numbers))
        assert found.tolist() == different(np.array(numbers)).tolist() == sorted(set(numbers))
        assert found[which].tolist() == numbers
