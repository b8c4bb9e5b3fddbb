"""Paper, numbers and dates as they are usual where a language is spoken: `rules/pages/paper.toml` and `regions.toml`."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any

from approx.datafiles import read_toml, rules_path


@cache
def _paper() -> dict[str, Any]:
    return read_toml(rules_path("pages/paper.toml"))


@cache
def _regions() -> dict[str, Any]:
    return read_toml(rules_path("pages/regions.toml"))


def region_of(tag: str) -> str:
    """The region of a language tag (es-MX: "MX"); of a tag without one, that of its likeliest region; "" if unknown."""
    parts = tag.replace("_", "-").split("-")
    known: str = _paper()["likely"].get(parts[0].lower(), "")
    return next((part.upper() for part in parts[1:] if len(part) == 2), known)


def with_region(page: str, spoken: str) -> str:
    """The language of a page with a region: its own, or that of the language spoken by the child.

    >>> with_region("es", "en-US"), with_region("es-MX", "en-US"), with_region("en", "")
    ('es-US', 'es-MX', 'en')
    """
    if len(page.replace("_", "-").split("-")) > 1:
        return page
    region = region_of(spoken)
    return f"{page}-{region}" if region else page


def paper_of(tag: str) -> str:
    """The usual paper of a language tag's region, "letter" or "a4"."""
    return "letter" if region_of(tag) in _paper()["letter"] else "a4"


def number(value: float, digits: int, tag: str = "en", signed: bool = False) -> str:
    """A number with so many decimals, with the comma or point of the region.

    >>> number(45, 1, "es-ES"), number(45, 1, "es-MX"), number(0.5, 0, "en", signed=True)
    ('45,0', '45.0', '+0')
    """
    text = f"{value:{'+' if signed else ''}.{digits}f}"
    return with_decimals(text, tag)


def percent_text(value: float, digits: int, tag: str = "en") -> str:
    """A percentage with its sign.

    >>> percent_text(80, 0), percent_text(45.25, 1, "es-ES")
    ('80%', '45,2 %')
    """
    return f"{number(value, digits, tag)}{percent_sign(tag)}"


def percent_sign(tag: str = "en") -> str:
    """The sign as it follows a number: with a space before it in Spanish, without one in English."""
    return " %" if tag.split("-", maxsplit=1)[0].casefold() == "es" else "%"


def with_decimals(text: str, tag: str) -> str:
    """The text of a number or of numbers and signs, its decimal points as the region writes them."""
    comma = region_of(tag) in _regions()["decimal_comma"].get(tag.split("-", maxsplit=1)[0].casefold(), ())
    return text.replace(".", ",") if comma else text


def short_day(text: str, tag: str = "en") -> str:
    """Day and month of an ISO date in figures, in the order of the region; anything else as it was typed.

    >>> short_day("2026-03-12", "en-US"), short_day("2026-03-12", "es-MX")
    ('3/12', '12/3')
    """
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return text
    spanish = tag.split("-", maxsplit=1)[0].casefold() == "es"
    first = region_of(tag) in _regions()["month_first"]["spanish_in_figures"] if spanish else _month_first(tag)
    return f"{found.month}/{found.day}" if first else f"{found.day}/{found.month}"


def table_day(text: str, tag: str = "en") -> str:
    r"""A day in a table, short, with its year, as the region writes it, in one piece (no-break spaces); anything else as it was
    typed.

    >>> table_day("2026-03-12", "en-US"), table_day("2026-03-12", "es-MX"), table_day("2026-03-12", "es-CL")
    ('Mar\xa012,\xa02026', '12\xa0mar\xa02026', '12-03-2026')
    """
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return text
    table, language, region = _regions(), tag.split("-", maxsplit=1)[0].casefold(), region_of(tag)
    language = language if language in table["months"] else "en"
    own = next(
        (each for each in table["table_day"] if each["language"] == language and region in each["regions"]), None
    )
    usual = next(each for each in table["table_day"] if each["language"] == language and not each["regions"])
    each = own or usual
    short = each.get("months", usual["months"])[found.month - 1]
    pattern: str = each["day"]
    return pattern.format(day=found.day, short=short, month=found.month, year=found.year).replace(" ", "\u00a0")


def _month_first(tag: str) -> bool:
    first = _regions()["month_first"]
    return tag.split("-", maxsplit=1)[0].casefold() in first and region_of(tag) in first["regions"]


def day(text: str, tag: str = "en") -> str:
    """A day typed as 2026-03-02 in words; anything else as it was typed.

    >>> day("2026-03-02", "en-US"), day("2026-03-02", "es"), day("spring", "en")
    ('March 2, 2026', '2 de marzo de 2026', 'spring')
    """
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return text
    table, language = _regions(), tag.split("-", maxsplit=1)[0].casefold()
    language = language if language in table["months"] else "en"
    pattern: str = table["month_first"][language] if _month_first(tag) else table["day"][language]
    return pattern.format(day=found.day, month=table["months"][language][found.month - 1], year=found.year)
