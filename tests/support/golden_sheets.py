"""Pages whose HTML is stored in `tests/golden/`: made of targets written down by hand, so that they do not change with the rules.

`python tests/support/golden_sheets.py` writes them anew; a person reads the difference, and looks at the printed page, before it is
kept. The style and the fonts are left out of the stored text.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from places import GOLDEN

from approx.practice.listening.listening import listening
from approx.practice.session.plan import SessionPlan, plan_session
from approx.practice.session.targets import AlikePair, PracticeTarget
from approx.reports.sheets.as_html import page_html
from approx.reports.sheets.card_pages import cards_page, contrast_page, hear_page, listen_page, match_page
from approx.reports.sheets.family_page import family_page, letter_page
from approx.reports.sheets.page_types import Page, Printing
from approx.reports.sheets.session_page import group_page, plan_page, session_page

FOLDER = GOLDEN


def word(
    text: str, adult: str, spelled: str, today: str, today_spelled: str, *, rungs: int = 1, above: tuple[str, str, str] = ("", "", ""),
    help: int = 2, language: str = "en-US", phrase: bool = False, sure: bool = True,
) -> PracticeTarget:  # fmt: skip
    return PracticeTarget(
        text, adult, spelled, today, today_spelled, 1 if today and rungs else 0, rungs, *above, help, adult == today, phrase, language, sure
    )  # fmt: skip


MUD = word("mud", "mʌd", "mud", "mʌ", "muh", rungs=2, above=("mʌd", "mud", "the syllable shape CVC, d (final)"))
NANA = word("Nana", "ˈnænə", "NAN-uh", "ˈnænə", "NAN-uh", help=1)
JUICE = word("juice", "d͡ʒus", "joos", "du", "doo", rungs=3, above=("dus", "doos", "s (final)"), help=3)
BANANA = word(
    "banana",
    "bəˈnænə",
    "buh-NAN-uh",
    "ˈnænə",
    "NAN-uh",
    rungs=2,
    above=("bəˈnænə", "buh-NAN-uh", "3 syllables in a word"),
)
FRIDGE = word(
    "refrigerator",
    "ɹəˈfɹɪd͡ʒəˌɹeɪtɚ",
    "ruh-FRIJ-uh-Ray-ter",
    "ˈfɪdə",
    "FID-uh",
    rungs=9,
    above=("ˈfɪd͡ʒə", "FIJ-uh", "d͡ʒ (medial)"),
)
HOP = word("hop", "hɑp", "hop", "", "", help=4)
CHAIR = word("chair", "t͡ʃɛɹ", "chair", "tɛʔ", "te'", rungs=3, above=("tɛ", "teh", ""), sure=False)
BEE = word("bee", "bi", "bee", "bi", "bee", help=1)
PHRASE = word("more mud <b>", "mɔɹ mʌd", "mor mud", "mo mʌ", "moe muh", rungs=0, phrase=True)
WORDS = (MUD, NANA, JUICE, BANANA, FRIDGE, HOP, CHAIR, BEE)
PAN = word("pan", "pan", "pan", "pa", "pa", rungs=2, above=("pan", "pan", "n (final)"), language="es-MX")
LECHE = word(
    "leche", "ˈlet͡ʃe", "LE-che", "ˈwete", "HUE-te", rungs=3, above=("ˈlete", "LE-te", "l (initial)"), language="es-MX"
)
MANO = word("mano", "ˈmano", "MA-no", "ˈmano", "MA-no", help=1, language="es-MX")
SPANISH = (PAN, LECHE, MANO)
PAIRS = (
    AlikePair("key", "tea", "ti", "tee"),
    AlikePair("mud", "mug", "mʌ", "muh"),
    AlikePair("bow", "boat", "bo", "boe"),
    AlikePair("sun", "run", "dʌn", "dun"),
    AlikePair("zip", "ship", "dɪp", "dip"),
)


def printing(language: str = "en", **more: str) -> Printing:
    return Printing(language, code="X01", invented=True, **more)


def plan(words: tuple[PracticeTarget, ...], order: str, minutes: int = 30, goal: int | None = None) -> SessionPlan:
    made, problems = plan_session(minutes, [each.word for each in words], goal, order, 1)
    assert made is not None and not problems
    return made


def pairs(language: str = "en") -> Page:
    made, problems = contrast_page(PAIRS, "en-US", printing(language))
    assert made is not None and not problems
    return made


def heard(words: tuple[PracticeTarget, ...], tongue: str, **more: str) -> Page:
    made, problems = hear_page(words, printing(tongue, **more), 1)
    assert made is not None and not problems
    return made


def _games(words: str, language: str, page: Callable[..., Page], tongue: str) -> Page:
    found, _ = listening(words.split(), language, 1, alike=[("mud", "mug")])
    return page(found, printing(tongue))


def pages() -> dict[str, Page]:
    """Every stored page by name."""
    return {
        "session": session_page(WORDS, printing(date="2026-03-02", number="5", next_date="2026-03-05"), ("cup", "sock"), plan(WORDS, "blocked")),
        "session_nine": session_page((*WORDS, PHRASE), printing()),
        "session_es": session_page(SPANISH, printing("es", paper="letter"), ("pan", "sol")),
        "group": group_page([("X01", WORDS[:4]), ("X02", SPANISH), ("X03", WORDS)], printing()),
        "letter": letter_page(WORDS, printing())[0],
        "letter_es": letter_page(SPANISH, printing("es", paper="letter"))[0],
        "contrast": pairs(),
        "hear": heard(WORDS, "en"),
        "hear_es": heard(SPANISH, "es", paper="letter"),
        "family": family_page(WORDS[:7], printing(next_date="2026-03-05"))[0],
        "family_es": family_page(SPANISH, printing("es", paper="letter"))[0],
        "cards": cards_page((MUD, NANA, FRIDGE), ("more ___", "___ up", "I ___ it"), "en-US", printing())[0],
        "match": _games("mud hat cup Nana refrigerator", "en-US", match_page, "en"),
        "listen": _games("mud hat cup Nana bee nose hop boots water spoon", "en-US", listen_page, "en"),
        "listen_es": _games("sopa gorro taza mano perro mamá árbol caja tijeras gato", "es-MX", listen_page, "es"),
        "plan": plan_page(plan(WORDS[:5], "random", 20, 150), WORDS[:5], printing()),
        "plan_es": plan_page(plan(SPANISH, "mixed"), SPANISH, printing("es")),
    }  # fmt: skip


def stored(page: Page) -> str:
    """The HTML of a page as it is stored: without its style."""
    return re.sub(r"<style>.*?</style>", "<style></style>", page_html(page), flags=re.DOTALL)


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, page in pages().items():
        (FOLDER / f"{name}.html").write_text(stored(page), encoding="utf-8", newline="\n")
        print(f"{name}.html written: read the difference before it is kept")
