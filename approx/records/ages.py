"""A child's age on a day, from what is known of it: an age noted on some day, or the month of birth."""

from __future__ import annotations

from datetime import date

from approx.records.rows import Child


def age_in_months(child: Child, day: str) -> int | None:
    """Whole months on a day (ISO). None if neither age nor birth month is known, or the day lies before birth.

    From a birth month, the day of birth is taken for the first of it, so the age may be a month too high; from a noted
    age, months are counted from the day it was noted, so it may be a month too low.
    """
    on = date.fromisoformat(day)
    if child.birth_month:
        year, month = map(int, child.birth_month.split("-"))
        months = 12 * (on.year - year) + on.month - month
    elif child.age:
        years, part = map(int, child.age.split(";"))
        noted = date.fromisoformat(child.age_on) if child.age_on else on
        since = 12 * (on.year - noted.year) + on.month - noted.month - (on.day < noted.day)
        months = 12 * years + part + since
    else:
        return None
    return months if months >= 0 else None


def age_text(child: Child, day: str) -> str:
    """The age on a day as years;months, "" if it is not known."""
    months = age_in_months(child, day)
    return "" if months is None else f"{months // 12};{months % 12}"
