"""How every report on numbers begins and ends: page 1 carries the answer, the appendix the rest and the settings in full."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from hashlib import sha256

from approx.reports.document import Block, Bullets, Heading, PageBreak, Paragraph, Picture, WritingSpace
from approx.reports.regions import day
from approx.reports.report_words import report_words
from approx.wording import fill_pattern


def report_title(what: str, child: str, age: str, dates: Sequence[str], language: str) -> str:
    """Code, age, what it is, and the days it is about."""
    who = ", ".join(part for part in (child, age) if part)
    when = " – ".join(day(each, language) for each in dict.fromkeys(dates) if each)
    begun = f"{who}: {what}" if who else what[:1].upper() + what[1:]
    return f"{begun}, {when}" if when else begun


def settings_code(signature: str) -> str:
    """A short code of the settings: two reports with the same code were counted by the same rules."""
    return sha256(signature.encode()).hexdigest()[:6].upper()


def front_blocks(
    answers: Iterable[str],
    pictures: Sequence[Picture],
    criteria: Iterable[str],
    signature: str,
    language: str,
    remarks: Iterable[str] = (),
) -> list[Block]:
    """Page 1: sentences of counts, the picture, the criterion, room for the clinician's view, the code of the settings."""
    say = report_words(language)
    shown = tuple(criteria)
    blocks: list[Block] = [Bullets(tuple(answers)), *pictures]
    if shown:
        blocks += [Heading(say["criterion"]), Bullets(shown, small=True)]
    blocks += [Paragraph(remark) for remark in remarks]
    # lines, where a format does not know what is left of the page: fewer below tall pictures
    tall = sum(_height(picture) for picture in pictures)
    blocks.append(WritingSpace(say["view"], 4 if tall > _TALL else 12, grows=True))
    note = fill_pattern(say["settings code"], code=settings_code(signature))
    blocks.append(Paragraph(f"{say['for trained']} {note}", small=True))
    return blocks


_TALL = 0.35
"""Height of pictures, of their width, from which on little of page 1 is left."""


def _height(picture: Picture) -> float:
    """The height of a picture, of its width."""
    size = re.search(r'width="([\d.]+)" height="([\d.]+)"', picture.svg)
    return float(size[2]) / float(size[1]) if size else 0.0


def appendix(blocks: Iterable[Block], language: str) -> list[Block]:
    """What follows page 1."""
    return [PageBreak(), Heading(report_words(language)["appendix"]), *blocks]


def settings_line(signature: str, language: str) -> Paragraph:
    """The last line: every setting."""
    text = fill_pattern(report_words(language)["settings"], code=settings_code(signature), signature=signature)
    return Paragraph(text, small=True)
