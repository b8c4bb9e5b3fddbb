"""The documentation's page of commands, made of their own help: `python tests/support/command_page.py` writes it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

PAGE = Path(__file__).resolve().parents[2] / "samples" / "docs" / "pages" / "commands.md"


def command_page() -> str:
    """Every command with its arguments and options, in the order of the help."""
    from approx.cli.main import app

    lines = [
        "# Commands",
        "",
        "Data goes to stdout, everything else to stderr; `-` is stdin. Exit code 0: fine; 1: problems in the",
    ]
    lines += ["data, all listed; 2: wrong use. `--json` on every command.", ""]

    def walk(command: Any, name: str) -> None:
        inside = getattr(command, "commands", None) or {}
        if not inside or command.invoke_without_command and name != "approx":
            lines.extend([f"## {name}", "", command.help.strip(), ""])
            rows = [(label(parameter), getattr(parameter, "help", "") or "") for parameter in command.params]
            if rows:
                lines.extend(
                    [
                        "| | |",
                        "|---|---|",
                        *(f"| `{one}` | {text.replace('|', chr(92) + '|')} |" for one, text in rows),
                        "",
                    ]
                )
        for part, each in inside.items():
            walk(each, f"{name} {part}")

    walk(app, "approx")
    return "\n".join(lines)


def label(parameter: Any) -> str:
    """How a parameter is typed."""
    if parameter.param_type_name == "argument":
        return str(parameter.name).upper()
    return ", ".join([*parameter.opts, *parameter.secondary_opts])


if __name__ == "__main__":
    sys.path.insert(0, str(PAGE.parents[3]))
    PAGE.write_text(command_page(), encoding="utf-8")
