"""The way from an adult word to a simpler form, before its steps are written out."""

from __future__ import annotations

from typing import NamedTuple

from approx.processes.form import Form
from approx.processes.walk import Trace


class Way(NamedTuple):
    """A form and what was done to come to it, in order."""

    form: Form
    steps: tuple[Trace, ...]
