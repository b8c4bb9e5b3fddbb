"""The documentation's pages of commands, made of their own help: `python tests/support/command_page.py` writes them."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PAGES = ROOT / "samples" / "docs" / "pages" / "commands"
EXAMPLES: dict[str, tuple[str, int]] = {
    "suggest": ('suggest "big spoon" --child samples/m12.toml', 6),
    "words": ("words --child samples/m12.toml --set 4", 4),
    "words-say": ("words say read", 2),
    "phrases": ("phrases --child samples/m12.toml --count 2", 6),
    "sheet": ('sheet family --child samples/m12.toml --words "mud, hat" --example | head -n 2', 2),
    "score": ("score samples/m12.csv", 4),
    "processes": ("processes samples/m12.csv", 3),
    "explain": ("explain spun pun", 4),
    "align": ("align spun pun", 4),
    "inventory": ("inventory samples/m12.csv", 3),
    "predict": ("predict samples/m12.csv samples/m12_phrases.txt", 2),
    "agree": ("agree samples/m12.csv samples/m12.csv", 3),
    "progress": ("progress samples/probes.csv", 3),
    "report": ("report samples/m12.csv samples/m12_later.csv", 4),
    "convert": ("convert samples/m12.csv --jsonl | head -n 1", 1),
    "child-show": ("child show samples/m12.toml", 4),
    "list": ("list measures", 2),
    "about": ('about "velar fronting"', 4),
    "version": ("version", 1),
}
"""An example of each command that prints, and how many of its lines the page shows; tests run them as they stand."""
_INTRODUCTION = """# Commands

Data goes to stdout, everything else to stderr; `-` is stdin. Exit code 0: fine; 1: problems in the data, all listed; 2: wrong
use. The options of an answer (`--json`, `--csv`, `--jsonl`, `--parquet`, `--wide`, `--long`, `--problems`) are explained on the page
of [formats](../formats.md).

| command | |
|---|---|
"""


def command_pages(shown: dict[str, str]) -> dict[str, str]:
    """Every page by its file's name. `shown`: the example blocks by name of command."""
    from approx.cli.main import app

    pages: dict[str, str] = {}
    listed: list[str] = []

    def walk(command: Any, name: str) -> None:
        inside = getattr(command, "commands", None) or {}
        if not inside or command.invoke_without_command and name != "approx":
            short = "-".join(name.split()[1:])
            listed.append(f"| [{name}]({short}.md) | {command.help.strip()} |\n")
            pages[f"{short}.md"] = _page(command, name, shown.get(short, ""))
        for part, each in inside.items():
            walk(each, f"{name} {part}")

    walk(app, "approx")
    return {"index.md": _INTRODUCTION + "".join(listed), **pages}


def _page(command: Any, name: str, example: str) -> str:
    lines = [f"# {name}", "", command.help.strip(), ""]
    rows = [(label(parameter), getattr(parameter, "help", "") or "") for parameter in command.params]
    if rows:
        table = [f"| `{one}` | {text.replace('|', chr(92) + '|')} |" for one, text in rows]
        lines += ["| | |", "|---|---|", *table, ""]
    if any("--json" in parameter.opts for parameter in command.params):
        short = "-".join(name.split()[1:])
        lines += [f"What `--json` prints: `approx about --schema {short}`.", ""]
    return "\n".join(lines) + (f"\n{example}" if example else "")


def label(parameter: Any) -> str:
    """How a parameter is typed."""
    if parameter.param_type_name == "argument":
        return str(parameter.name).upper()
    names = parameter.opts[:-1] if type(parameter).__name__ == "_Renamed" else parameter.opts
    return ", ".join([*names, *parameter.secondary_opts])


def stored_examples() -> dict[str, str]:
    """The example blocks as the pages have them."""
    found: dict[str, str] = {}
    for page in PAGES.glob("*.md"):
        if block := re.search(r"^```console\n.*?^```\n", page.read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE):
            found[page.stem] = block[0]
    return found


def fresh_examples() -> dict[str, str]:
    """The example blocks as the program prints them now."""
    found = {}
    for name, (command, lines) in EXAMPLES.items():
        script = f'approx() {{ "{sys.executable}" -m approx "$@"; }}\napprox {command}'
        ran = subprocess.run(["bash", "-c", script], cwd=ROOT, capture_output=True, encoding="utf-8", check=True)
        said = ran.stdout.rstrip("\n").split("\n")
        rest = ["..."] if len(said) > lines else []
        found[name] = "\n".join(["```console", f"$ approx {command}", *said[:lines], *rest, "```", ""])
    return found


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    PAGES.mkdir(exist_ok=True)
    for file, text in command_pages(fresh_examples()).items():
        (PAGES / file).write_text(text, encoding="utf-8")
