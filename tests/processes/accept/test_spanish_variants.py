"""What every adult who speaks Spanish says is right in a child; the same change elsewhere stays an error. Judged by hand
before any rule was tried, from Hualde 2005, The sounds of Spanish (from memory)."""

from __future__ import annotations

import pytest

import approx

RIGHT = {
    "z before a voiced consonant": [("ˈmismo", "ˈmizmo"), ("ˈisla", "ˈizla"), ("ˈdesde", "ˈdezðe")],
    "β ð ɣ after a consonant that is no nasal": [("ˈaɾbol", "ˈaɾβol"), ("ˈtaɾde", "ˈtaɾðe"), ("ˈalɡo", "ˈalɣo"), ("ˈkalbo", "ˈkalβo")],
    "tap or trill at the end of a syllable": [("ˈpweɾta", "ˈpwerta"), ("ˈfloɾ", "ˈflor"), ("ˈpwerta", "ˈpweɾta")],
    "a nasal before k ɡ, written either way": [("ˈtaŋke", "ˈtanke"), ("ˈtanke", "ˈtaŋke"), ("doˈmiŋɡo", "doˈminɡo")],
    "ɡw for initial w": [("ˈwebo", "ˈɡwebo"), ("ˈwebo", "ˈɡweβo"), ("ˈweso", "ˈɡweso")],
}  # fmt: skip
WRONG = [
    ("ˈkasa", "ˈkaza"), ("ˈpero", "ˈpeɾo"), ("ˈpeɾo", "ˈpero"), ("ˈraton", "ˈɾaton"), ("doˈminɡo", "doˈmindo"),
    ("ˈpan", "ˈpaŋ"), ("ˈɡwante", "ˈwante"), ("ˈweso", "ˈbweso"), ("ˈsopa", "ˈzopa"), ("ˈkama", "ˈkaŋa"), ("ˈpweɾta", "ˈpwelta"),
]  # fmt: skip


@pytest.mark.parametrize(("target", "produced"), [pair for pairs in RIGHT.values() for pair in pairs])
def test_what_adults_say_is_no_error_in_any_measure_and_no_process(target: str, produced: str) -> None:
    scored = approx.score([(target, produced)], language="es-MX", by="").groups[0].measures["pcc"]
    assert scored.hits == scored.out_of
    found = approx.explain(target, produced, language="es-MX").found
    assert found is not None
    assert (found.best.uses, found.best.unexplained) == ((), ())


@pytest.mark.parametrize(("target", "produced"), WRONG)
def test_the_same_change_elsewhere_stays_an_error(target: str, produced: str) -> None:
    scored = approx.score([(target, produced)], language="es-MX", by="").groups[0].measures["pcc"]
    assert scored.hits < scored.out_of
