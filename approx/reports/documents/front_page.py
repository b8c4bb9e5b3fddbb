"""How every report on numbers begins and ends: page 1 carries the answer, the appendix the rest and the settings in full."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from hashlib import sha256

from approx.reports.document import Block, Bullets, Heading, PageBreak, Paragraph, Picture, WritingSpace
from approx.reports.regions import day
from approx.reports.report_words import words


def report_title(what: str, child: str, age: str, dates: Sequence[str], language: str) -> str:
    """Code, age, what it is, and the days it is about."""
    who = ", ".join(part for part in (child, age) if part)
    when = " – ".join(day(each, language) for each in dict.fromkeys(dates) if each)
    return f"{who + ': ' if who else ''}{what}{', ' + when if when else ''}"


def settings_code(signature: str) -> str:
    """A short code of the settings: two reports with the same code were counted by the same rules."""
    return sha256(signature.encode()).hexdigest()[:6].upper()


def front_blocks(
    answers: Iterable[str],
    pictures: Iterable[Picture],
    criteria: Iterable[str],
    signature: str,
    language: str,
    remarks: Iterable[str] = (),
) -> list[Block]:
    """Page 1: sentences of counts, the picture, the criterion, room for the clinician's view, the code of the settings."""
    say = words(language)
    shown = tuple(criteria)
    blocks: list[Block] = [Bullets(tuple(answers)), *pictures]
    if shown:
        blocks += [Heading(say["criterion"]), Bullets(shown, small=True)]
    blocks += [Paragraph(remark) for remark in remarks]
    blocks.append(WritingSpace(say["view"], 4))
    note = say["settings code"].format(code=settings_code(signature))
    blocks.append(Paragraph(f"{say['for trained']} {note}", small=True))
    return blocks


def appendix(blocks: Iterable[Block], language: str) -> list[Block]:
    """What follows page 1."""
    return [PageBreak(), Heading(words(language)["appendix"]), *blocks]


def settings_line(signature: str, language: str) -> Paragraph:
    """The last line: every setting."""
    text = words(language)["settings"].format(code=settings_code(signature), signature=signature)
    return Paragraph(text, small=True)
