"""A sample as a CLDF word list (Cross-Linguistic Data Formats, Forkel et al. 2018, Sci Data 5:180205, from memory): a form a production.

Needs pycldf (extra `cldf`). `Form` is the production as it was read, `Segments` its sounds, `Language_ID` the tag of its
language, `Parameter_ID` the word aimed at. The columns of a sample stand beside them under their own names and as they
were typed, so that `forms.csv` is a sample again.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from approx.problems import Problem
from approx.samples.files.write import sample_table
from approx.samples.token import Sample, Token

FORMS = "forms.csv"
LEFT_OFF = "∅"


def write_cldf(folder: Path, sample: Sample) -> tuple[Problem, ...]:
    """Write the data set into a folder, made where it is missing. A row without a production has no form and is left out,
    with a remark. ImportError where pycldf is not installed; OSError as writing raises it."""
    from pycldf import Wordlist

    folder.mkdir(parents=True, exist_ok=True)
    data = Wordlist.in_dir(folder)
    data.add_component("LanguageTable")
    data.add_component("ParameterTable")
    header, rows = sample_table(sample)
    own = [*header, "target_segments", "row"]
    data.add_columns("FormTable", *own)
    typed = dict(zip(dict.fromkeys(token.row for token in sample.tokens), rows, strict=True))
    words: dict[str, str] = {}
    forms: list[dict[str, Any]] = []
    silent: list[int] = []
    for token in _first_of_each_row(sample):
        form = token.typed_produced if token.produced is None else token.produced.ipa or LEFT_OFF
        if not form.strip():
            silent.append(token.row)
            continue
        word = token.target_word or (token.target.ipa if token.target else "") or "(no gloss)"
        cells = {name: "" if cell is None else str(cell) for name, cell in zip(header, typed[token.row], strict=True)}
        forms.append(
            {
                "ID": str(token.row),
                "Language_ID": token.language,
                "Parameter_ID": words.setdefault(word, f"w{len(words) + 1}"),
                "Form": form,
                "Segments": list(token.produced.phones) if token.produced else [],
                "target_segments": " ".join(token.target.phones) if token.target else "",
                "row": str(token.row),
                **cells,
            }
        )
    tags = dict.fromkeys(form["Language_ID"] for form in forms)
    data.write(
        FormTable=forms,
        LanguageTable=[{"ID": tag, "Name": tag} for tag in tags],
        ParameterTable=[{"ID": number, "Name": word} for word, number in words.items()],
    )
    said = ", ".join(map(str, silent[:10])) + (f" and {len(silent) - 10} more" if len(silent) > 10 else "")
    message = f"{len(silent)} rows without a production are not in the data set: {said}"
    return (Problem("cldf.silent", message, "a form needs a form", str(folder), fatal=False),) if silent else ()


def _first_of_each_row(sample: Sample) -> list[Token]:
    """One token a row; several attempts in one cell stand in one row again."""
    first: dict[int, Token] = {}
    for token in sample.tokens:
        first.setdefault(token.row, token)
    return list(first.values())
