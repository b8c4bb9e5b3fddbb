"""The quick writer of JSON gives what the library gives."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from approx.reports.tables.streamed_json import json_text

PLAIN = st.none() | st.booleans() | st.integers() | st.floats() | st.text()
DATA = st.recursive(
    PLAIN, lambda inner: st.lists(inner) | st.tuples(inner, inner) | st.dictionaries(st.text(), inner), max_leaves=30
)


@pytest.mark.slow
@settings(max_examples=100)
@given(DATA)
def test_any_data_is_written_as_the_library_writes_it(data: object) -> None:
    assert json_text(data) == json.dumps(data, ensure_ascii=False, indent=1)


def test_what_is_no_json_is_refused() -> None:
    with pytest.raises(TypeError):
        json_text({"form": {1, 2}})
