"""The fonts of the pictures, with what `rules/pictures.tsv` names and no more: `python -m approx.reports.documents.picture_fonts FOLDER`.

FOLDER holds NotoEmoji_400Regular.ttf (npm: @expo-google-fonts/noto-emoji 0.4.7) and, for each icon set, its `icons.json`
renamed `<set>.json` (npm: @iconify-json/ph, tabler, lucide, lucide-lab, healthicons, temaki, icon-park-outline, mdi, game-icons; ph is
named phosphor.json). Needs the packages fonttools and picosvg, which are not needed to make pages.
"""

from __future__ import annotations

import json
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from approx.datafiles import read_tsv, rules_path
from approx.reports.documents.font_subset import FONTS, cut

if TYPE_CHECKING:
    from fontTools.ttLib.tables._g_l_y_f import Glyph

NOTO = "NotoEmoji_400Regular.ttf"
PRIVATE = range(0xE000, 0xF900)
"""Code points of the single icons: Unicode leaves them to each font."""
# As in Noto Emoji, so that pictures of both fonts stand on one line in one size.
_UNITS, _ADVANCE, _ASCENT, _DESCENT = 2048, 2600, 1900, -500
_SIDE = 2080
_LEFT, _BOTTOM = (_ADVANCE - _SIDE) // 2, -340


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


def main(folder: Path) -> None:
    """Cut the fonts of pictures that the package carries out of those in a folder."""
    named = pictures()
    plain = frozenset(chr(code) for code in named if code not in PRIVATE)
    cut(folder / NOTO, FONTS / "pictures.ttf", "Approx Pictures", "Regular", plain)
    build_icons(folder, FONTS / "pictures-more.ttf", {code: name for code, name in named.items() if code in PRIVATE})
    for name in ("pictures.ttf", "pictures-more.ttf"):
        print(f"{FONTS / name}: {(FONTS / name).stat().st_size} bytes")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
