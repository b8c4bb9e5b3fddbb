"""README, DEVELOPERS and samples/README say what is so: examples run as written, every command has help and is named."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import sysconfig
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from conftest import CommandLine
from places import ROOT
from test_layers import LOWEST, MAY_IMPORT

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
SITE = ROOT / "samples" / "docs" / "pages"
PAGES = (
    "README.md",
    "DEVELOPERS.md",
    "samples/README.md",
    *(path.relative_to(ROOT).as_posix() for path in sorted(SITE.rglob("*.md"))),
)
LEFT_OUT = "..."


def blocks(text: str, language: str) -> list[str]:
    """The fenced blocks of one language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)


def examples() -> Iterator[tuple[str, str, list[str]]]:
    """(page, command, lines it should print) of every console block."""
    for page in PAGES:
        for block in blocks((ROOT / page).read_text(encoding="utf-8"), "console"):
            for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
                command, *lines = part.rstrip("\n").split("\n")
                yield page, command, lines


def matches(wanted: list[str], got: list[str]) -> bool:
    """Whether lines are as wanted, where `...` stands for any number of lines."""
    pattern = "".join(r"(?:.*\n)*?" if line == LEFT_OUT else re.escape(line) + r"\n" for line in wanted)
    return re.fullmatch(pattern, "".join(line + "\n" for line in got)) is not None


def commands() -> dict[str, Any]:
    """Every command by its full name, as the program itself has them."""
    from approx.cli.main import app

    found: dict[str, Any] = {}

    def walk(command: Any, name: str) -> None:
        inside = getattr(command, "commands", None)
        if inside is None or command.invoke_without_command and name != "approx":
            found[name] = command
        for part, each in (inside or {}).items():
            walk(each, f"{name} {part}")

    walk(app, "approx")
    return found


EXAMPLES = list(examples())


def test_there_are_examples_on_the_front_page_and_with_the_samples() -> None:
    assert {page for page, _, _ in EXAMPLES} >= {"README.md", "samples/README.md"} and len(EXAMPLES) >= 4


PLAIN = [example for example in EXAMPLES if example[1].startswith("approx ") and not set("|<>;&$") & set(example[1])]
"""Examples that need no shell."""


@pytest.mark.parametrize(("page", "command", "wanted"), PLAIN, ids=[command for _, command, _ in PLAIN])
def test_example_prints_what_the_page_shows(cli: CommandLine, page: str, command: str, wanted: list[str]) -> None:
    ran = cli(*shlex.split(command)[1:])
    assert (ran.code, ran.err) == (0, "")
    assert matches(wanted, ran.out.splitlines()), f"{page} shows\n{chr(10).join(wanted)}\nand it is\n{ran.out}"


def typed_examples() -> Iterator[Any]:
    """Every example as it would be typed; those that need no shell in the slow set, but for the first."""
    for example in EXAMPLES:
        _, command, _ = example
        later = example in PLAIN[1:]
        yield pytest.param(*example, id=command, marks=[pytest.mark.slow] if later else [])


@pytest.mark.parametrize(("page", "command", "wanted"), list(typed_examples()))
def test_example_typed_into_a_shell_prints_it(page: str, command: str, wanted: list[str]) -> None:
    path = os.pathsep.join([sysconfig.get_path("scripts"), str(Path(sys.executable).parent), os.environ["PATH"]])
    ran = subprocess.run(
        ["bash", "-c", command],
        cwd=ROOT,
        env={**os.environ, "PATH": path},
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    assert matches(wanted, ran.stdout.splitlines()), f"{page} shows\n{chr(10).join(wanted)}\nand it is\n{ran.stdout}"


def test_an_example_that_departs_is_found() -> None:
    """The comparison above can fail: a changed, a missing and an added line."""
    page = ["a", LEFT_OUT, "c"]
    assert matches(page, ["a", "c"]) and matches(page, ["a", "b", "b", "c"])
    assert not matches(page, ["a", "b"]) and not matches(page, ["a", "c", "d"]) and not matches(page, ["b", "c"])
    assert not matches(["a"], ["ab"]) and not matches(["a.c"], ["abc"])


def test_every_command_has_help_and_stands_in_the_readme(cli: CommandLine) -> None:
    listed = re.findall(r"^\| `(approx [^`]*)`", README, re.MULTILINE)
    assert len(commands()) >= 9
    for name, command in commands().items():
        assert (command.help or "").strip().endswith("."), name
        for parameter in command.params:
            said = getattr(parameter, "help", None) or ("--help" in parameter.opts and "help")
            assert said, f"{name} {parameter.name}"
        assert any(line.split()[: len(name.split())] == name.split() for line in listed), f"{name} is not in README"
        ran = cli(*name.split()[1:], "--help")
        assert ran.code == 0 and ran.out.startswith("Usage: approx") and ran.err == ""


def test_every_command_of_the_readme_exists() -> None:
    for line in re.findall(r"`(approx [a-z][^`]*)`", README + DEVELOPERS):
        words = line.split()
        assert any(name.split() == words[: len(name.split())] for name in commands()), line


def test_every_option_of_the_readme_exists() -> None:
    every = {option for command in commands().values() for parameter in command.params for option in parameter.opts}
    every |= {"--version", "--no-compile"}
    assert set(re.findall(r"(?<![\w-])--[a-z]+(?:-[a-z]+)*", README)) - {"--help"} <= every


@pytest.mark.parametrize("what", ["processes", "measures", "norms"])
def test_every_list_of_the_design_exists(cli: CommandLine, what: str) -> None:
    ran = cli("list", what, "--json")
    assert ran.code == 0 and ran.json["what"] == what and len(ran.json["items"]) > 2
    assert all(item["source"] and item["file"] for item in ran.json["items"])


@pytest.mark.parametrize("name", ["velar-fronting", "fronting of velars", "wcm"])
def test_about_finds_processes_by_id_or_synonym_and_measures(cli: CommandLine, name: str) -> None:
    from approx.processes.rules.ruleset import load_rules

    synonyms = [
        each for process in load_rules().processes if process.id == "velar-fronting" for each in process.synonyms
    ]
    asked = synonyms[0] if name == "fronting of velars" else name
    ran = cli("about", asked, "--json")
    assert ran.code == 0 and ran.json["found"][0]["id"] == ("wcm" if name == "wcm" else "velar-fronting")
    assert ran.json["found"][0]["source"]


def test_set_up_is_two_commands_and_ci_runs_the_second() -> None:
    """Each makes its own environment, in one line that can be run first, second or again."""
    run, test = (block.strip() for block in blocks(README, "bash"))
    for line in (run, test):
        assert (
            re.match(r"python3 -m venv .venv && .venv/bin/pip install -q (--no-compile )?-e ", line)
            and "\n" not in line
        )
    assert run.endswith('.venv/bin/approx suggest "Nana is watering the big tomato" --child samples/k07.toml')
    assert test in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_the_main_example_answers_every_word(cli: CommandLine) -> None:
    ran = cli("suggest", "Nana is watering the big tomato", "--child", "samples/k07.toml", "--json")
    assert ran.code == 0 and [word["sure"] and bool(word["approximations"]) for word in ran.json["words"]] == [True] * 6


@pytest.mark.parametrize("page", [*PAGES, "rules/README.md", "tests/data/nasty_words/README.md"])
def test_pages_name_files_that_are_there(page: str) -> None:
    """Links, and paths between back quotes that begin with a folder of ours."""
    text = (ROOT / page).read_text(encoding="utf-8")
    folder = (ROOT / page).parent
    links = [link for link in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in link]
    missing = [link for link in links if not (folder / link).exists()]
    for path in re.findall(r"`((?:rules|samples|tests|approx)/[^`\s]*)`", text):
        later = path.startswith(("approx/", "tests/golden"))
        missing += [] if later or any(ROOT.glob(path.rstrip("/"))) else [path]
    assert not missing


@pytest.mark.parametrize("page", PAGES)
def test_pages_hold_no_paths_or_hosts_of_a_machine(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    assert not re.search(r"/(work|root|home|tmp|usr)/|index-url|[a-z]+\.pythonhosted|file://", text)
    assert all(url.startswith("https://creativecommons.org/") for url in re.findall(r"https?://\S+", text))


def test_the_child_file_of_the_readme_reads_without_a_fault(cli: CommandLine, tmp_path: Path) -> None:
    block = "\n".join(blocks(README, "toml"))
    file = tmp_path / "child.toml"
    file.write_text(f'code = "Q1"\n{block}', encoding="utf-8")
    ran = cli("child", "show", file, "--json")
    assert (ran.code, ran.err, ran.json["problems"]) == (0, "", [])
    assert ran.json["consonants"]["initial"]["t"] == "emerging" and set(ran.json["consonants"]["final"]) == {"p", "n"}


def test_developers_page_names_the_rooms_in_their_order() -> None:
    table = re.findall(r"^\| (`[^|]*`) \|", DEVELOPERS.split("## How data flows")[0], re.MULTILINE)
    assert [name for row in table for name in re.findall(r"`(\w+)`", row)] == [*LOWEST, *MAY_IMPORT]


def test_dependencies_are_named_with_a_reason() -> None:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    table = DEVELOPERS.split("## Dependencies")[1].split("##")[0]
    every = [*project["dependencies"], *(each for extra in project["optional-dependencies"].values() for each in extra)]
    names = {re.split(r"[\[<>=! ]", each)[0] for each in every} - {"approx-speech"}
    assert {name for name in names if not re.search(rf"\b{re.escape(name)}\b", table)} == set()


def test_licence_notices_of_all_data_used() -> None:
    """Every data file that names a licence at its head is named in README with it."""
    notices = README.split("## Licences and sources")[1]
    assert "MIT" in notices and (ROOT / "LICENSE").read_text(encoding="utf-8").startswith("MIT License")
    named = []
    for path in sorted((ROOT / "rules").rglob("*.[td][si][vc]*")):
        with path.open(encoding="utf-8") as file:
            head = "".join(line for line, _ in zip(file, range(8)) if line.startswith("#"))
        if re.search(r"[Ll]icen[cs]e|CC BY|\bMIT\b", head):
            named.append(path.relative_to(ROOT).as_posix())
    assert len(named) >= 4 and [name for name in named if name not in notices] == []
    assert "BSD" in notices and "CC BY-SA 4.0" in notices and "cmudict-LICENSE.txt" in notices


@pytest.mark.parametrize("page", sorted(path.relative_to(SITE).as_posix() for path in SITE.rglob("*.md")))
def test_python_of_the_documentation_prints_what_the_page_shows(page: str, monkeypatch: pytest.MonkeyPatch) -> None:
    import doctest

    monkeypatch.chdir(ROOT)
    for block in blocks((SITE / page).read_text(encoding="utf-8"), "pycon"):
        case = doctest.DocTestParser().get_doctest(block, shared.setdefault(page, {}), page, page, 0)
        said: list[str] = []
        doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(case, out=said.append, clear_globs=False)
        shared[page] = case.globs
        assert not said, "".join(said)


shared: dict[str, dict[str, Any]] = {}
"""Names that a page has defined so far: its blocks build on one another."""


def test_the_pages_of_commands_are_those_of_the_program() -> None:
    """`python tests/support/command_page.py` writes them anew; their examples are run with all others."""
    from command_page import EXAMPLES, command_pages, stored_examples

    shown = stored_examples()
    assert set(EXAMPLES) == set(shown)
    pages = {path.name: path.read_text(encoding="utf-8") for path in (SITE / "commands").glob("*.md")}
    assert pages == command_pages(shown)


def test_every_page_of_the_site_is_in_its_contents() -> None:
    text = (SITE.parent / "mkdocs.yml").read_text(encoding="utf-8")
    listed = re.findall(r": ([\w/-]+\.md)$", text, re.MULTILINE)
    assert sorted(listed) == sorted(path.relative_to(SITE).as_posix() for path in SITE.rglob("*.md"))


@pytest.mark.slow
def test_the_site_builds_without_a_warning(tmp_path: Path) -> None:
    """With the extra `docs`; a missing page, a broken link or a function that is not there is an error."""
    pytest.importorskip("mkdocs")
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "-q", "-f", str(SITE.parent / "mkdocs.yml")]
    ran = subprocess.run(
        [*command, "-d", str(tmp_path)], capture_output=True, encoding="utf-8", timeout=300, check=False
    )
    assert ran.returncode == 0, ran.stderr
    assert "approx.score" in (tmp_path / "python.html").read_text(encoding="utf-8")


@pytest.mark.slow
def test_the_notebook_shows_what_it_shows() -> None:
    """Executed anew, each cell gives what is stored with it; `python tests/support/notebook.py` stores it anew."""
    nbformat = pytest.importorskip("nbformat")
    from notebook import NOTEBOOK, executed, outputs

    stored = outputs(nbformat.read(NOTEBOOK, as_version=4))
    assert len(stored) >= 6 and all(stored)
    assert outputs(executed()) == stored


def test_the_citation_names_this_version_and_its_licences() -> None:
    import tomllib

    from approx.version import __version__

    text = (SITE.parent / "CITATION.cff").read_text(encoding="utf-8")
    licence = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["license"]
    assert f"\nversion: {__version__}\n" in text
    assert re.findall(r"^  - ([\w.-]+)$", text, re.MULTILINE) == licence.split(" AND ")
