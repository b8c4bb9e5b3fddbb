"""Which cases of a test are of the fast set; the others are marked slow, and run in the folders that `.ci/run` names."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest


def only(cases: Iterable[Any], *kept: Any) -> list[Any]:
    """All cases, of which these are fast."""
    listed = list(cases)
    assert all(case in listed for case in kept)
    return [case if case in kept else pytest.param(case, marks=pytest.mark.slow) for case in listed]


def one_in(step: int, cases: Iterable[Any]) -> list[Any]:
    """All cases, of which the first of each `step` is fast. A tuple is a case of several arguments."""
    return [
        pytest.param(*(case if isinstance(case, tuple) else (case,)), marks=pytest.mark.slow) if at % step else case
        for at, case in enumerate(cases)
    ]
