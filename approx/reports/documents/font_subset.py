"""The fonts of the printed pages, cut down to what the pages need: `python -m approx.reports.documents.font_subset FOLDER`.

FOLDER holds Andika-Regular.ttf, Andika-Bold.ttf and CharisSIL-Regular.ttf (SIL Open Font License; where they come from is
in `approx/reports/fonts/README.md`). Needs the package fonttools, which is not needed to make pages.
"""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from typing import Any

from approx.datafiles import PACKAGE, read_tsv, rules_path

FONTS = PACKAGE / "reports" / "fonts"
# The licence reserves the names of the originals for the unchanged fonts, so what is cut down has names of its own.
CUTS = (
    ("Andika-Regular.ttf", "text-regular.ttf", "Approx Text", "Regular"),
    ("Andika-Bold.ttf", "text-bold.ttf", "Approx Text", "Bold"),
    ("CharisSIL-Regular.ttf", "ipa-regular.ttf", "Approx Phonetic", "Regular"),
)
_COLUMNS = (("features", "symbol"), ("marks", "mark"), ("lookalikes", "read"), ("xsampa", "ipa"))
_PROSODY = "ˈˌː.‿|‖͡∅"
_PRINTED = "–—…‘’“”«»¿¡°×·•⁰¹²³ⁿ→←✓"


def ipa_characters() -> frozenset[str]:
    """Every character that a form in IPA may be written with: all symbols and marks of `rules/ipa/`."""
    found = set(_PROSODY)
    for name, column in _COLUMNS:
        for row in read_tsv(rules_path(f"ipa/{name}.tsv")):
            found |= set(row[column])
    return frozenset(found)


def text_characters() -> frozenset[str]:
    """What the words around the forms are written with: Latin letters with their accents, and signs."""
    plain = {chr(code) for code in (*range(0x20, 0x7F), *range(0xA0, 0x180))}
    return frozenset((plain - {"\u0149"}) | set(_PRINTED))  # ŉ is out of use, no font need have it


def cut(source: Path, target: Path, family: str, style: str, characters: frozenset[str]) -> None:
    """One font with these characters only, under its new name; marks keep the places that the font gives them."""
    subset: Any = import_module("fontTools.subset")
    options = subset.Options(layout_features=["mark", "mkmk", "ccmp", "kern"], hinting=False, notdef_outline=True)
    options.name_IDs = ["*"]
    options.drop_tables += ["DSIG", "Silf", "Sill", "Silt", "Glat", "Gloc", "Feat", "FFTM", "STAT"]
    font: Any = import_module("fontTools.ttLib").TTFont(source, recalcTimestamp=False)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[ord(character) for character in characters])
    cutter.subset(font)
    postscript = f"{family.replace(' ', '')}-{style}"
    names = {1: family, 2: style, 3: f"{postscript} 1", 4: f"{family} {style}", 6: postscript, 16: family, 17: style}
    for record in list(font["name"].names):
        if record.nameID in names:
            record.string = names[record.nameID]
        elif record.nameID not in (0, 5, 13, 14):
            font["name"].removeNames(nameID=record.nameID)
    font.save(target)


def main(folder: Path) -> None:
    """Cut the fonts that the package carries out of those in a folder."""
    for source, target, family, style in CUTS:
        characters = text_characters() | (ipa_characters() if family == "Approx Phonetic" else frozenset())
        cut(folder / source, FONTS / target, family, style, characters)
        print(f"{FONTS / target}: {(FONTS / target).stat().st_size} bytes")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
