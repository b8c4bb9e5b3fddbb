"""A command called in this process with its options as keywords, as a shell would call it with words."""

from __future__ import annotations

import os
import sys
from typing import Any

_NAMES = {"as_json": "json", "as_csv": "csv"}


def words_of(command: str, values: tuple[Any, ...], options: dict[str, Any]) -> list[str]:
    """The command line: what is None or False is left out, a list is one option several times."""
    out = [*command.split(), *map(str, values)]
    for name, value in options.items():
        flag = "--" + _NAMES.get(name, name).replace("_", "-")
        for one in value if isinstance(value, (list, tuple)) else [value]:
            if one is True:
                out.append(flag)
            elif one is not None and one is not False:
                out += [flag, str(one)]
    return out


def run(command: str, *values: Any, **options: Any) -> int:
    """The exit code of a command; what it prints goes where the test looks for it. A fault of the program is raised."""
    from approx.cli.main import main

    kept, debug = sys.argv, os.environ.get("APPROX_DEBUG")
    sys.argv = ["approx", *words_of(command, values, options)]
    os.environ["APPROX_DEBUG"] = "1"
    try:
        main()
    except SystemExit as end:
        return int(end.code or 0)
    finally:
        sys.argv = kept
        if debug is None:
            del os.environ["APPROX_DEBUG"]
    return 0
