"""Ages on a day, and names in free text; by hand from the calendar."""

from __future__ import annotations

import pytest

from approx.records.database.rows import StoredChild, age_text
from approx.records.tables.checks import name_remarks


@pytest.mark.parametrize(
    ("known", "day", "age"),
    [
        ({"age": "3;2", "age_on": "2026-03-15"}, "2026-03-15", "3;2"),
        ({"age": "3;2", "age_on": "2026-03-15"}, "2026-04-14", "3;2"),
        ({"age": "3;2", "age_on": "2026-03-15"}, "2026-04-15", "3;3"),
        ({"age": "3;2", "age_on": "2026-03-15"}, "2027-01-15", "4;0"),
        ({"age": "3;2", "age_on": "2026-03-15"}, "2026-01-20", "3;0"),
        ({"age": "3;2"}, "2030-01-01", "3;2"),
        ({"birth_month": "2023-01"}, "2026-03-02", "3;2"),
        ({"birth_month": "2023-12"}, "2026-03-31", "2;3"),
        ({"birth_month": "2027-01"}, "2026-03-31", ""),
        ({}, "2026-03-31", ""),
    ],
)
def test_the_age_on_a_day(known: dict[str, str], day: str, age: str) -> None:
    assert age_text(StoredChild(1, 1, "K07", **known), day) == age  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("came with Anna Smith today", ["Anna Smith"]), ("Says more words. Papa was there.", []), ("Plays with mud", []),
        ("asked for José Álvarez twice, José Álvarez came", ["José Álvarez"]), ("", []), ("SVO and CVC forms", []),
    ],
)  # fmt: skip
def test_a_pair_of_names_in_a_text_is_remarked(text: str, found: list[str]) -> None:
    remarks = name_remarks(text)
    assert [remark.symbol for remark in remarks] == found and not any(remark.fatal for remark in remarks)
