"""Where keys and values of a TOML text stand. Oracle for what is there: the standard reader."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st

from approx.child.toml_places import TomlPlaces

HARD = """\
# a = 1
a = 1 # b = 2
"b c" = 'x # y'
d . "e.f" . 'g' = [ "[", ']', # h = 1
  "=", [1, 2],
]   # ]
i = { j = "}", k = { l = [1], "m" = 2 }, n = 'o' }
[p]   # = [q]
r = \"\"\"
[s]
t = 1 \\\"\"\" still
\"\"\"
u = '''
v = 1
'''
[w . "x.y"]
z = 2026-03-02
[[aa]]
bb = 1.5
[[aa]]
bb = ""
"""


def keys(table: dict[str, Any], above: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every path of a table that holds a value, those inside arrays of tables too."""
    for key, value in table.items():
        inner = value if isinstance(value, list) else [value]
        tables = [item for item in inner if isinstance(item, dict)]
        for item in tables:
            yield from keys(item, (*above, key))
        if not tables:
            yield (*above, key)


def test_every_key_of_a_hard_text_is_found_on_its_line() -> None:
    places = TomlPlaces(HARD)
    lines = HARD.splitlines()
    paths = list(keys(tomllib.loads(HARD)))
    assert len(paths) == 12
    for path in paths:
        line, column = places.of(path)
        assert line is not None, path
        assert column is not None, path
        assert lines[line - 1][column - 1 :].lstrip("[\"' ").startswith((path[-1], path[0], "e.f")), path


def test_nothing_else_is_found() -> None:
    found = {place.path for place in TomlPlaces(HARD).found}
    real = set(keys(tomllib.loads(HARD)))
    headers = {path[:count] for path in real for count in range(1, len(path))}
    assert found <= real | headers


@pytest.mark.parametrize(
    ("path", "symbol", "line", "column"),
    [
        (("a",), "", 2, 1),
        (("b c",), "", 3, 1),
        (("b c",), "y", 3, 14),
        (("d", "e.f", "g"), "=", 5, 4),
        (("d", "e.f", "g"), "nowhere", 4, 19),
        (("i", "k", "l"), "", 7, 22),
        (("p", "r"), "", 9, 1),
        (("p", "r"), "still", 11, 12),
        (("w",), "", 16, 1),
        (("aa", "bb"), "", 19, 1),
        (("zz",), "", None, None),
    ],
)
def test_symbols_are_found_in_their_values(
    path: tuple[str, ...], symbol: str, line: int | None, column: int | None
) -> None:
    assert TomlPlaces(HARD).of(path, symbol) == (line, column)


def test_a_symbol_is_a_whole_item() -> None:
    places = TomlPlaces('[vowels]\nestablished = "aɪ ɪ a"\nlist = ["aɪ","ɪ"]\n')
    assert places.of(("vowels", "established"), "ɪ") == (2, 19)
    assert places.of(("vowels", "established"), "a") == (2, 21)
    assert places.of(("vowels", "list"), "ɪ") == (3, 15)


KEYS = st.sampled_from(["a", "b-c", "1", '"d e"', "'f.g'", 'h."i"', "j . k"])
TEXTS = st.sampled_from(
    ['"m b p"', "'#'", '"\\""', '"]"', '"""x"""', '"""\n# y\n"""', "'''[z]\n'''", "1", "true", "0x1f"]
)
LISTS = st.recursive(
    TEXTS,
    lambda inner: st.lists(inner, max_size=3).map(lambda items: "[ " + ", # r\n".join(items) + "\n]"),
    max_leaves=4,
)
VALUES = st.recursive(
    LISTS,
    lambda inner: st.lists(inner, max_size=2).map(
        lambda items: "{ " + ", ".join(f"k{at} = {item}" for at, item in enumerate(items)) + " }"
    ),
    max_leaves=4,
)
LINES = st.one_of(
    st.builds("{} = {} # r = 1".format, KEYS, VALUES),
    st.builds("[{}] # s".format, KEYS),
    st.just("# t = ["),
    st.just(""),
)


@examples(250)
@given(st.lists(LINES, max_size=6))
def test_every_key_the_standard_reader_finds_has_a_place(lines: list[str]) -> None:
    text = "\n".join(lines)
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    places = TomlPlaces(text)
    found = {place.path for place in places.found}
    assert set(keys(table)) <= found
    for place in places.found:
        line, column = places.line_and_column(place.key)
        assert text.splitlines()[line - 1][column - 1] == text[place.key]
