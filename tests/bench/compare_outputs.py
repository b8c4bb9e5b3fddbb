"""What every command says and writes, kept in a folder, so that two states of the program can be set side by side.

    python tests/bench/compare_outputs.py record FOLDER [PART ...]
    python tests/bench/compare_outputs.py compare FOLDER [PART ...]

`record` runs thousands of commands over `samples/` and `tests/data/` and stores each case as one text file: the command
line as typed, exit code, stdout, stderr and every file written. `compare` runs them anew into a temporary folder, shows
where a case differs from the stored one, and ends with 1 if any does. PART: only cases whose name begins so.

Nothing but the entry point of the command line is imported, so that modules may move between the two runs. All runs in this
process: `{out}` in a command is an empty folder of the case, `{made}` one with inputs written here. Masked: these folders,
today's date, the version, hashes of rule files (but in `signature/`), where in the code a measure stands, embedded fonts,
and the time stamps of documents. Documents are kept as the text of their parts; a PDF as its pages' sizes and texts.
Nothing here says that an output is right: only that it is the same.
"""

from __future__ import annotations

import difflib
import hashlib
import io
import json
import os
import re
import shlex
import shutil
import sys
import tempfile
import time
import zipfile
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from output_cases import ROOT, Call, Case, make_inputs, topics

SHOWN_CASES, SHOWN_LINES, SHOWN_WIDTH = 40, 30, 200


def run(call: Call) -> tuple[str, bytes, bytes]:
    """How a command ended, what it wrote to stdout, and to stderr."""
    from approx.cli import main

    kept = sys.argv, sys.stdin, sys.stdout, sys.stderr
    out, err = io.BytesIO(), io.BytesIO()
    sys.argv = ["approx", *call.words]
    sys.stdin = io.TextIOWrapper(io.BytesIO(call.stdin), encoding="utf-8")
    streams = [io.TextIOWrapper(raw, encoding="utf-8", newline="", write_through=True) for raw in (out, err)]
    sys.stdout, sys.stderr = streams
    try:
        main()
        end = "0"
    except SystemExit as stop:
        end = str(stop.code or 0)
    except Exception as fault:  # a traceback is an output too, and a bad one
        end = f"raised {type(fault).__name__}: {fault}"
    finally:
        sys.argv, sys.stdin, sys.stdout, sys.stderr = kept
    for stream in streams:
        if not stream.closed:
            stream.flush()
    return end, out.getvalue(), err.getvalue()


class Recorder:
    """Runs cases and stores each as a file under `folder`; `scratch` is for inputs and what commands write."""

    def __init__(self, folder: Path, scratch: Path) -> None:
        self.folder, self.scratch = folder, scratch
        self.out, self.made, self.home = (scratch / name for name in ("out", "made", "home"))
        self.made.mkdir(parents=True)
        make_inputs(self.made)
        for setting in [name for name in os.environ if name.startswith("APPROX_")]:
            del os.environ[setting]
        os.environ |= {"APPROX_HOME": str(self.home), "NO_COLOR": "1", "TERM": "dumb", "COLUMNS": "100"}
        self.version = run(Call(("version",)))[1].decode().strip()

    def record(self, case: Case) -> None:
        shutil.rmtree(self.out, ignore_errors=True)
        self.out.mkdir()
        os.environ["APPROX_HOME"] = str(self.out if case.own_home else self.home)
        parts: list[str] = []
        for call in case.calls:
            words = tuple(word.replace("{out}", str(self.out)).replace("{made}", str(self.made)) for word in call.words)
            end, out, err = run(Call(words, call.stdin))
            parts += [f"$ approx {shlex.join(call.words)}\n", f"exit {end}\n"]
            parts += [f"--- {name}\n{text(raw)}\n" for name, raw in (("stdout", out), ("stderr", err)) if raw]
        for path in sorted(path for path in self.out.rglob("*") if path.is_file() and "cache" not in path.parts):
            parts.append(f"--- written: {path.relative_to(self.out)}\n{written(path)}\n")
        stored = self.folder / f"{file_name(case.name)}.txt"
        if stored.exists():
            raise SystemExit(f"two cases are named {case.name}")
        stored.parent.mkdir(parents=True, exist_ok=True)
        stored.write_text(self.masked("".join(parts), case.name.startswith("signature/")), encoding="utf-8", newline="")

    def masked(self, content: str, hashes_kept: bool) -> str:
        for path, name in (
            (self.out, "{out}"),
            (self.made, "{made}"),
            (self.home, "{home}"),
            (self.scratch, "{scratch}"),
            (ROOT, "{root}"),
        ):
            content = content.replace(str(path), name)
        content = re.sub(rf"(?<![\d.]){re.escape(self.version)}(?![\d.])", "{version}", content)
        content = content.replace(date.today().isoformat(), "{today}")
        content = re.sub(r"base64,([A-Za-z0-9+/=]{200,})", lambda found: f"base64,{digest(found[1].encode())}", content)
        content = re.sub(r'"file": "approx/[\w/]+\.py",(\s*)"line": \d+', r'"file": "{code}",\1"line": 0', content)
        content = re.sub(r"\bapprox/[\w/]+\.py:\d+", "{code}", content)
        return content if hashes_kept else re.sub(r"\b(rules|words):[0-9a-f]{8}\b", r"\1:{hash}", content)


def listed(what: str) -> list[str]:
    """Ids that `approx list` gives. SystemExit if there are none, for then nothing would be compared."""
    names = [item["id"] for item in json.loads(run(Call(("list", what, "--json")))[1])["items"]]
    if not names:
        raise SystemExit(f"approx list {what}: nothing listed")
    return names


def digest(raw: bytes) -> str:
    return f"({len(raw)} bytes, {hashlib.sha256(raw).hexdigest()[:16]})"


def text(raw: bytes) -> str:
    return raw.decode("utf-8", "backslashreplace")


def written(path: Path) -> str:
    """A written file as text that two runs have alike."""
    raw = path.read_bytes()
    if raw.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(raw)) as parts:
            contents = {name: parts.read(name) for name in sorted(parts.namelist())}
        lines = (
            f"[{name}] {text(data) if name.endswith(('.xml', '.rels')) else digest(data)}"
            for name, data in contents.items()
        )
        return re.sub(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", "{now}", "\n".join(lines)).replace("><", ">\n<")
    if raw.startswith(b"%PDF-"):
        import pypdfium2

        pages = list(pypdfium2.PdfDocument(raw))
        return "\n".join(f"page {page.get_size()}\n{page.get_textpage().get_text_bounded()}" for page in pages)
    return text(raw)


def file_name(name: str) -> str:
    """A case's name as a path that every system can write."""
    return "/".join(re.sub(r"[^\w.,=+-]+", "_", part)[:80].strip("_. ") or "_" for part in name.split("/"))


def record(folder: Path, only: Sequence[str]) -> int:
    """Run the cases and store them; how many."""
    number = 0
    with tempfile.TemporaryDirectory() as scratch:
        recorder = Recorder(folder, Path(scratch).resolve())
        for topic, cases in topics(listed).items():
            begun, before = time.perf_counter(), number
            for case in cases:
                if not only or case.name.startswith(tuple(only)):
                    recorder.record(case)
                    number += 1
            if number > before:
                print(f"{topic:12} {number - before:5} cases {time.perf_counter() - begun:6.1f} s", file=sys.stderr)
    return number


def difference(old: str, new: str) -> list[str]:
    """A short unified diff from the first line that differs; long lines are cut around the first letter that does."""
    left, right = (each.replace("\r", "\\r").split("\n") for each in (old, new))
    first = next((at for at, (a, b) in enumerate(zip(left, right)) if a != b), min(len(left), len(right)))
    start, end = max(0, first - 2), first + 300
    lines = list(difflib.unified_diff(left[start:end], right[start:end], lineterm="", n=2))[2:]
    cut = max(0, len(os.path.commonprefix([*left[first : first + 1], *right[first : first + 1]])) - SHOWN_WIDTH // 2)
    command = next((line for line in reversed(left[: first + 1]) if line.startswith("$ ")), "")
    shown = [
        line if len(line) <= SHOWN_WIDTH else f"{line[0]}... {line[1 + cut : 1 + cut + SHOWN_WIDTH]} ..."
        for line in lines[:SHOWN_LINES]
    ]
    return [f"  {command}", f"  (from line {start + 1})", *(f"  {line}" for line in shown)]


def compare(folder: Path, only: Sequence[str]) -> int:
    """How many cases differ from those stored, or are in one of the two only; each is named, the first ones shown."""
    with tempfile.TemporaryDirectory() as name:
        fresh = Path(name)
        number = record(fresh, only)
        prefixes = tuple(only)
        stored = {path.relative_to(folder) for path in folder.rglob("*.txt")}
        found = {path.relative_to(fresh) for path in fresh.rglob("*.txt")}
        if only:
            stored = {path for path in stored if path in found or path.as_posix().startswith(prefixes)}
        faults = [f"{path}: stored, not made any more" for path in sorted(stored - found)]
        faults += [f"{path}: new, nothing stored" for path in sorted(found - stored)]
        for fault in faults:
            print(fault)
        different = 0
        for path in sorted(stored & found):
            old, new = ((where / path).read_bytes().decode("utf-8") for where in (folder, fresh))
            if old != new:
                different += 1
                print(f"{path}: differs")
                if different <= SHOWN_CASES:
                    print("\n".join(difference(old, new)))
    print(f"{number} cases, {different} differ, {len(faults)} in one of the two only")
    return different + len(faults)


def main() -> None:
    if len(sys.argv) < 3 or sys.argv[1] not in ("record", "compare"):
        raise SystemExit(__doc__)
    os.chdir(ROOT)
    sys.path.insert(0, str(ROOT))  # the program of this checkout, whatever is installed
    import approx

    folder, only = Path(sys.argv[2]).resolve(), sys.argv[3:]
    print(f"approx from {Path(approx.__file__).parent}", file=sys.stderr)
    begun, different = time.perf_counter(), 0
    if sys.argv[1] == "compare":
        if not folder.is_dir():
            raise SystemExit(f"{folder} is not a folder; record one first")
        different = compare(folder, only)
    elif folder.exists() and any(folder.iterdir()):
        raise SystemExit(f"{folder} is not empty; name a new folder")
    else:
        print(f"{record(folder, only)} cases stored in {folder}")
    print(f"{time.perf_counter() - begun:.0f} s")
    sys.exit(1 if different else 0)


if __name__ == "__main__":
    main()
