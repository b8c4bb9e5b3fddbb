"""The fonts that the package carries, cut down to what its pages need; made anew only where a symbol or a picture is added.

`python -m approx.reports.documents.fonts text FOLDER`: those of the printed pages. FOLDER holds Andika-Regular.ttf, Andika-Bold.ttf
and CharisSIL-Regular.ttf (SIL Open Font License; where they come from is in `approx/reports/fonts/README.md`). `... pictures FOLDER`:
those of the pictures, with what `rules/pictures.tsv` names and no more. FOLDER holds NotoEmoji_400Regular.ttf (npm:
@expo-google-fonts/noto-emoji 0.4.7) and, for each icon set, its `icons.json` renamed `<set>.json` (npm: @iconify-json/ph, tabler,
lucide, lucide-lab, healthicons, temaki, icon-park-outline, mdi, game-icons; ph is named phosphor.json). Needs the packages
fonttools and, for pictures, picosvg, which are not needed to make pages.
"""

from __future__ import annotations

import json
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from approx.datafiles import PACKAGE, read_tsv, rules_path

if TYPE_CHECKING:
    from fontTools.ttLib.tables._g_l_y_f import Glyph

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
NOTO = "NotoEmoji_400Regular.ttf"
PRIVATE = range(0xE000, 0xF900)
"""Code points of the single icons: Unicode leaves them to each font."""
# As in Noto Emoji, so that pictures of both fonts stand on one line in one size.
_UNITS, _ADVANCE, _ASCENT, _DESCENT = 2048, 2600, 1900, -500
_SIDE = 2080
_LEFT, _BOTTOM = (_ADVANCE - _SIDE) // 2, -340


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


def cut_text_fonts(folder: Path) -> None:
    """Cut the fonts that the package carries out of those in a folder."""
    for source, target, family, style in CUTS:
        characters = text_characters() | (ipa_characters() if family == "Approx Phonetic" else frozenset())
        cut(folder / source, FONTS / target, family, style, characters)
        print(f"{FONTS / target}: {(FONTS / target).stat().st_size} bytes")


def pictures() -> dict[int, str]:
    """Code point to name of every picture that the table uses."""
    return {int(row["codepoint"], 16): row["name"] for row in read_tsv(rules_path("pictures.tsv")) if row["codepoint"]}


def icon_svg(folder: Path, name: str) -> str:
    """One icon, named "set drawing", as an SVG document. Raises KeyError when the set has no such drawing."""
    collection, drawing = name.split(" ")
    icons = json.loads((folder / f"{collection}.json").read_text(encoding="utf-8"))
    drawing = icons.get("aliases", {}).get(drawing, {}).get("parent", drawing)
    icon = icons["icons"][drawing]
    width, height = (icon.get(side, icons.get(side, 16)) for side in ("width", "height"))
    body = icon["body"].replace("currentColor", "#000")
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}">{body}</svg>'


def icon_glyph(svg: str) -> Glyph:
    """The filled shape of an SVG document as a TrueType glyph; strokes are turned into outlines."""
    drawing: Any = import_module("picosvg.svg").SVG.fromstring(svg)
    box = drawing.view_box()
    scale = _SIDE / max(box.w, box.h)
    pen: Any = import_module("fontTools.pens.ttGlyphPen").TTGlyphPen(None)
    quadratic: Any = import_module("fontTools.pens.cu2quPen").Cu2QuPen(pen, max_err=2, reverse_direction=True)
    turn = (scale, 0, 0, -scale, _LEFT, _BOTTOM + _SIDE)
    placed: Any = import_module("fontTools.pens.transformPen").TransformPen(quadratic, turn)
    for shape in drawing.topicosvg().shapes():
        import_module("fontTools.svgLib.path").parse_path(shape.as_path().d, placed)
    made: Glyph = pen.glyph()
    return made


def build_icons(folder: Path, target: Path, wanted: dict[int, str]) -> None:
    """A font of single icons at the given code points."""
    builder: Any = import_module("fontTools.fontBuilder").FontBuilder(_UNITS, isTTF=True)
    glyphs = {f"uni{code:04X}": icon_glyph(icon_svg(folder, name)) for code, name in sorted(wanted.items())}
    empty = import_module("fontTools.pens.ttGlyphPen").TTGlyphPen(None).glyph()
    glyphs = {".notdef": empty, **glyphs}
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap({code: f"uni{code:04X}" for code in sorted(wanted)})
    builder.setupGlyf(glyphs)
    table = builder.font["glyf"]
    builder.setupHorizontalMetrics({name: (_ADVANCE, getattr(table[name], "xMin", 0)) for name in glyphs})
    builder.setupHorizontalHeader(ascent=_ASCENT, descent=_DESCENT)
    builder.setupNameTable(
        {
            "copyright": "See PICTURES-LICENSE.txt",
            "familyName": "Approx More Pictures",
            "styleName": "Regular",
            "uniqueFontIdentifier": "ApproxMorePictures-Regular 1",
            "fullName": "Approx More Pictures Regular",
            "psName": "ApproxMorePictures-Regular",
            "version": "Version 1.000",
        }
    )
    builder.setupOS2(sTypoAscender=_ASCENT, sTypoDescender=_DESCENT, usWinAscent=_ASCENT, usWinDescent=-_DESCENT)
    builder.setupPost()
    # The same input gives the same bytes: no time of making in the file.
    builder.font["head"].created = builder.font["head"].modified = 0
    builder.font.recalcTimestamp = False
    builder.save(target)


def cut_picture_fonts(folder: Path) -> None:
    """Cut the fonts of pictures that the package carries out of those in a folder."""
    named = pictures()
    plain = frozenset(chr(code) for code in named if code not in PRIVATE)
    cut(folder / NOTO, FONTS / "pictures.ttf", "Approx Pictures", "Regular", plain)
    build_icons(folder, FONTS / "pictures-more.ttf", {code: name for code, name in named.items() if code in PRIVATE})
    for name in ("pictures.ttf", "pictures-more.ttf"):
        print(f"{FONTS / name}: {(FONTS / name).stat().st_size} bytes")


if __name__ == "__main__":
    {"text": cut_text_fonts, "pictures": cut_picture_fonts}[sys.argv[1]](Path(sys.argv[2]))
