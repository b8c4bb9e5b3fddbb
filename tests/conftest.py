"""For every test: own words in an empty folder, no colours, and the command line run in this process.

A fault of the program fails the test that meets it: with APPROX_DEBUG the entry point lets it through, where for a user it
would be one line and the exit code of wrong use.
"""

from __future__ import annotations

import gc
import io
import json
import os
import shutil
import sys
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from drawn_examples import register_profiles
from places import ROOT

register_profiles()
# The collector looks less often, while tests are read too: rules, words and tests stay until the end of a run.
gc.set_threshold(500_000, 20, 100)
# Compiled tests are kept though the environment says otherwise, as that of a container may: compiling all of them takes every
# worker several seconds of each run.
sys.dont_write_bytecode = False

MEMORY = Path("/dev/shm")
ENOUGH_BYTES = 2_000_000_000


def pytest_configure(config: pytest.Config) -> None:
    """The files of the fast set stand in memory where there is room: many tests wait for a disk, and none asks anything of it."""
    there = MEMORY.is_dir() and os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ENOUGH_BYTES
    if there and config.option.markexpr == "not slow":
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(MEMORY))


def pytest_collection_finish() -> None:
    """The collector leaves what was read so far alone."""
    gc.collect()
    gc.freeze()


class Ran(NamedTuple):
    """What a command left behind."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The answer on stdout as one JSON document; fails if anything else is there too."""
        return json.loads(self.out)


class CommandLine:
    """Calls the program's entry point with arguments and bytes on stdin, as a shell would."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.patch = patch

    def __call__(self, *arguments: str | Path, stdin: bytes = b"") -> Ran:
        from approx.cli.main import main

        out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="") for _ in range(2))
        with self.patch.context() as patch:
            patch.setenv("APPROX_DEBUG", "1")
            patch.setattr(sys, "argv", ["approx", *map(str, arguments)])
            patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
            patch.setattr(sys, "stdout", out)
            patch.setattr(sys, "stderr", err)
            try:
                main()
            except SystemExit as end:
                code = end.code if isinstance(end.code, int) else int(end.code is not None)
            else:
                code = 0
        return Ran(code, *(_text(stream) for stream in (out, err)))


def _text(stream: io.TextIOWrapper) -> str:
    stream.flush()
    raw = stream.buffer
    assert isinstance(raw, io.BytesIO)
    return raw.getvalue().decode("utf-8")


_HOMES = count()


@pytest.fixture(autouse=True)
def _alone(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """No test reads or writes the words a person taught their own program. The folder is made by what writes into it."""
    monkeypatch.setenv("APPROX_HOME", str(tmp_path_factory.getbasetemp() / f"home-{next(_HOMES)}"))
    monkeypatch.setenv("NO_COLOR", "1")
    yield


@pytest.fixture
def cli(monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    """The command line, run from the folder of the checkout so that `samples/` is found."""
    monkeypatch.chdir(ROOT)
    return CommandLine(monkeypatch)
