"""What people type: every row of the table is read as a person judged it must be."""

from __future__ import annotations

import re
from unicodedata import normalize

from places import DATA

from approx.datafiles import read_tsv
from approx.ipa import Reading, read

FILE = DATA / "typed_forms.tsv"
COLUMNS = ("words", "stress", "doubtful", "changes", "problems", "edges")


def plain(cell: str) -> str:
    """A cell with its escapes resolved."""
    cell = re.sub(r"\\u([0-9a-f]{4})", lambda found: chr(int(found[1], 16)), cell)
    return cell.replace("␣", " ")


def seen(reading: Reading, wanted: dict[str, str]) -> dict[str, str]:
    """A reading in the words of the table; stress only where the row asks for it."""
    words = reading.words
    count = [0]
    for word in words:
        count.append(count[-1] + len(word.phones))
    doubtful = [count[number] + at for number, word in enumerate(words) for at in sorted(word.doubtful)]
    changes = [
        change.typed
        + ("=" if change.typed == change.read else "→")
        + change.read
        + f"×{change.times}" * (change.times > 1)
        for change in reading.changes
    ]
    problems = [
        f"{problem.code.removeprefix('ipa.')}@{problem.column}:{problem.symbol}" for problem in reading.problems
    ]
    edges = {edge for word in words for edge, off in zip(("start", "end"), word.omitted, strict=True) if off}
    return {
        "words": "left off" if reading.omitted else " | ".join(" ".join(word.phones) for word in words),
        "stress": " ".join(str(degree) for word in words for degree in word.stress) * bool(wanted["stress"]),
        "doubtful": " ".join(map(str, doubtful)),
        "changes": " ".join(sorted(changes)),
        "problems": " ".join(sorted(problems)),
        "edges": " ".join(sorted(edges)),
    }


def test_every_typed_form_is_read_as_judged() -> None:
    wrong = []
    rows = read_tsv(FILE)
    for row in rows:
        wanted = {name: normalize("NFD", plain(row[name])) for name in COLUMNS}
        for name in ("changes", "problems"):
            wanted[name] = " ".join(sorted(wanted[name].split()))
        reading = read(plain(row["typed"]), row["language"] or "en-US")
        found = {name: normalize("NFD", text) for name, text in seen(reading, wanted).items()}
        wrong += [
            f"{FILE.name}: {row['typed']!r}: {name} is {found[name]!r}, judged {wanted[name]!r}"
            for name in COLUMNS
            if found[name] != wanted[name]
        ]
    assert len(rows) > 180
    assert {row["from"] for row in rows} == {"scenario", "habits", "own"}
    assert not wrong, "\n".join(wrong)
