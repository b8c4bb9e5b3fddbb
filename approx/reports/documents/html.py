"""A document as one HTML page, or as a piece for another page: every text escaped, nothing loaded from elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from approx.reports.document import (
    BlankLine,
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    PageBreak,
    Paragraph,
    Picture,
    WritingSpace,
)

STYLE = """
:root{color-scheme:light dark;--ink:#111;--line:#777;--paper:#fff}
@media (prefers-color-scheme:dark){@media screen{:root{--ink:#eee;--line:#999;--paper:#181818}}}
*{box-sizing:border-box}body{font:16px/1.45 'DejaVu Sans','Noto Sans','Charis SIL','Doulos SIL',Arial,sans-serif;color:var(--ink);
background:var(--paper);max-width:56rem;margin:1rem auto;padding:0 1rem}
h1{font-size:1.45rem;margin:.2rem 0 .6rem}h2{font-size:1.15rem;border-bottom:1px solid var(--line);margin:1.4rem 0 .5rem}
h3{font-size:1rem;margin:1rem 0 .3rem}.scroll{overflow-x:auto}
table{border-collapse:collapse;margin:.4rem 0}caption{text-align:left;font-weight:bold;padding:.2rem 0}
th,td{border:1px solid var(--line);padding:.15rem .45rem;text-align:left;vertical-align:top;font-weight:normal}thead th{font-weight:bold}
td.n{white-space:nowrap}p,li{overflow-wrap:anywhere}.small{font-size:.85rem}.gap{border:2px dashed var(--line);padding:.3rem .5rem}
.box{border:1px solid var(--line);padding:.2rem .4rem;font-size:.85rem}.lines{display:flex;gap:2rem;margin:2.4rem 0 1rem}
.lines span{flex:1;border-bottom:1px solid var(--ink)}figure{margin:.4rem 0}figcaption{font-size:.85rem}svg{max-width:100%;height:auto}
@media print{:root{--ink:#000;--line:#555;--paper:#fff}html{font-size:9.5pt}body{max-width:none;margin:0;padding:0;font-size:1rem;line-height:1.28}
h2{margin:.7rem 0 .3rem}h3{margin:.5rem 0 .2rem}ul{margin:.2rem 0}p{margin:.3rem 0}.small,figcaption,table,.box{font-size:9pt}th,td{padding:.03rem .3rem;line-height:1.2}h1,h2,h3,h4,caption,thead{break-after:avoid}
.newpage{break-before:page}tr,figure,svg,.box,.gap,.lines,ul,p,.keep{break-inside:avoid}p{orphans:2;widows:2}.scroll{overflow:visible}
tbody tr:nth-child(-n+2),tbody tr:nth-last-child(-n+3):not(:last-child){break-after:avoid}}
""".strip()


_ONE_LINE = 18
"""Letters of a date, of a count or of a value with its counts, which stay on one line."""
_PAGE = {"letter": "8.5in 11in", "a4": "A4"}


def document_html(document: Document, paper: str = "letter") -> str:
    """The whole page. `paper`, letter or a4, is what a browser prints it on. KeyError for another one."""
    return (
        f'<!doctype html><html lang="{escape(document.language, quote=True)}"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>{escape(document.title)}</title><style>{STYLE}@page{{size:{_PAGE[paper]};margin:14mm 15mm}}</style></head>"
        f"<body><main><h1>{escape(document.title)}</h1>{blocks_html(document.blocks)}</main></body></html>\n"
    )


def blocks_html(blocks: Iterable[Block], top: int = 2) -> str:
    """The blocks alone; `top` is the level of their first headings."""
    listed = list(blocks)
    shown = [_block(block, top) for block in listed]
    for end in (*(at for at, block in enumerate(listed) if isinstance(block, PageBreak)), len(listed)):
        start = _small_print(listed, end)
        if end - start > 1:  # not left alone on a page; browsers lose a chain of rules not to break between them
            shown[start] = f'<div class="keep">{shown[start]}'
            shown[end - 1] += "</div>"
    return "".join(shown)


def _small_print(blocks: Sequence[Block], end: int) -> int:
    """Where the small print before `end` begins, with its heading."""
    start = end
    while start and isinstance(last := blocks[start - 1], (Paragraph, Bullets)) and last.small:
        start -= 1
    return start - 1 if start < end and start and isinstance(blocks[start - 1], Heading) else start


def _block(block: Block, top: int) -> str:
    match block:
        case Heading(text, level):
            rank = min(6, top + level - 1)
            return f"<h{rank}>{escape(text)}</h{rank}>"
        case Paragraph(text, gap, small):
            names = " ".join(name for name, on in (("gap", gap), ("small", small)) if on)
            # the settings are one long word, which breaks after a setting and not within one
            lines = "<br>".join(escape(line).replace("|", "|<wbr>") for line in text.split("\n"))
            return f'<p class="{names}">{lines}</p>' if names else f"<p>{lines}</p>"
        case Bullets(items, small):
            listed = "".join(f"<li>{escape(item)}</li>" for item in items)
            opened = '<ul class="small">' if small else "<ul>"
            return f"{opened}{listed}</ul>" if listed else ""
        case Grid():
            return grid_html(block)
        case Picture():
            # where the page is narrow the chart keeps a size that can be read, and is moved sideways by itself
            frame = (
                f'<div class="scroll" role="group" tabindex="0" aria-label="{escape(block.about)}">{block.svg}</div>'
            )
            return f"<figure>{frame}<figcaption>{escape(block.below)}</figcaption></figure>"
        case WritingSpace(label, lines, _):
            return f'<div class="box" role="note">{escape(label)}{"<br>" * lines}</div>'
        case BlankLine(labels):
            return f'<p class="lines">{"".join(f"<span>{escape(label)}:</span>" for label in labels)}</p>'
        case PageBreak():
            return '<div class="newpage"></div>'


def grid_html(grid: Grid) -> str:
    """A table with a caption, headings of columns and of rows; it scrolls by itself where the page is narrow."""
    head = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in grid.head)
    body = "".join(
        f'<tr><th scope="row">{escape(row[0])}</th>' + "".join(_cell(cell) for cell in row[1:]) + "</tr>"
        for row in grid.rows
    )
    label = escape(grid.title, quote=True)
    return (
        f'<div class="scroll" role="region" tabindex="0" aria-label="{label}"><table><caption>{escape(grid.title)}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _cell(text: str) -> str:
    """A short cell stays on one line."""
    return f"<td{' class=n' if len(text) <= _ONE_LINE else ''}>{escape(text)}</td>"
