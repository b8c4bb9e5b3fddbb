"""The notebook of the documentation, executed anew and stored with its outputs: `python tests/support/notebook.py`."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient

ROOT = Path(__file__).resolve().parents[2]
NOTEBOOK = ROOT / "samples" / "docs" / "one_sample.ipynb"


def executed() -> Any:
    """The stored notebook with fresh outputs, run in the folder of the checkout."""
    book = nbformat.read(NOTEBOOK, as_version=4)
    os.environ["PYTHONPATH"] = str(ROOT)
    return NotebookClient(
        book, timeout=120, kernel_name="python3", resources={"metadata": {"path": str(ROOT)}}
    ).execute()


def outputs(book: Any) -> list[list[str]]:
    """What each cell of code printed or showed, as text."""
    return [
        [str(out["text"] if "text" in out else out["data"]["text/plain"]) for out in cell.outputs]
        for cell in book.cells
        if cell.cell_type == "code"
    ]


if __name__ == "__main__":
    done = executed()
    for cell in done.cells:
        cell.metadata.pop("execution", None)
    done.metadata.pop("language_info", None)
    nbformat.write(done, NOTEBOOK)
