"""Every page as DOCX, for those who want to change words before they print: the same content in plain tables and headings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from approx.reports.report_words import wording
from approx.reports.sheets.docx_parts import DocxCell, DocxPage, Sign, Text, cell
from approx.reports.sheets.page_types import (
    Card,
    CardsPage,
    ContrastPage,
    FamilyPage,
    FamilyWord,
    GroupPage,
    HearPage,
    LetterPage,
    ListenPage,
    MatchPage,
    Page,
    PlanPage,
    PrintedRow,
    SessionPage,
)

ADULT = {"big": 16, "mid": 14, "small": 12, "tiny": 11}
EASIER = {"big": 12, "mid": 11.5, "small": 11, "tiny": 10}
"""Points of the adult word and of the easier form of the same size class on the clinician's pages."""
_HOME = {"big": 26, "mid": 22, "small": 18, "tiny": 17}
_HOME_EASIER = {"big": 17, "mid": 16, "small": 15, "tiny": 14}
_CARD = {"big": 30, "mid": 24, "small": 19, "tiny": 17}
_STRIP = {"big": 20, "mid": 16, "small": 13, "tiny": 12}
_BLANK = "_" * 12
_SMALL = 9.0
_TEN = [cell("")] * 10


def page_docx(page: Page) -> bytes:
    """The whole file. Raises ImportError where python-docx is not installed."""
    return _MAKERS[type(page)](page, wording(page.printing.language)).bytes()


def _filled(name: str, value: str) -> str:
    return f"{name}: {value or _BLANK}"


def _when(page: Page, t: dict[str, Any]) -> tuple[str, str]:
    own = t["page"]
    return _filled(own["date"], page.printing.date), f"{own['number']} {page.printing.number or _BLANK}"


def _help(page: SessionPage | GroupPage | PlanPage, t: dict[str, Any]) -> str:
    return f"{t['session']['help_key']}: " + " · ".join(f"{degree} {meaning}" for degree, meaning in page.help_key)


def _adult(row: PrintedRow) -> DocxCell:
    word = Text(_unbroken(row.word), ADULT[row.size], True, row.language)
    return ((word,), *cell(row.adult_ipa), *(cell(Text(row.check, _SMALL)) if row.check else ()))


def _beside(row: PrintedRow) -> DocxCell:
    """The adult word and its form on one line, where rows are many."""
    return ((Text(row.word, ADULT[row.size], True, row.language), Text(f"  {row.adult_ipa}")),)


def _today_beside(row: PrintedRow) -> DocxCell:
    if not row.today:
        return cell(row.instead)
    return ((Text(row.today, EASIER[row.today_size], False, row.language), Text(f"  {row.today_ipa}")),)


def _today(row: PrintedRow) -> DocxCell:
    if not row.today:
        return cell(row.instead)
    lines: list[Any] = [Text(row.today, EASIER[row.today_size], False, row.language)]
    lines.append((Text(row.today_ipa), Text(f"  {row.rung}", _SMALL)))
    return cell(*lines)


def _above(row: PrintedRow, t: dict[str, Any]) -> DocxCell:
    adds = f" + {row.adds}" if row.adds else ""
    return cell(Text(f"{t['page']['above']}: {row.above_ipa}{adds}", _SMALL)) if row.above_ipa else ()


def _session(page: SessionPage, t: dict[str, Any]) -> DocxPage:
    own, made = t["session"], DocxPage(page.printing, t["session"]["title"], 10)
    for number, sheet in enumerate(page.sheets):
        if number:
            made.page_break()
        made.head(own["title"], *_when(page, t))
        if page.summary:
            made.line(page.summary, _SMALL)
        made.line(_help(page, t), _SMALL)
        scores = " · ".join(f"{mark} {own[f'score_{mark}']}" for mark in (2, 1, 0))
        made.line(f"{own['score_key']}: {scores}. {own['move']}", _SMALL)
        totals = cell(Text("2 ____", _SMALL), Text("1 ____", _SMALL), Text("0 ____", _SMALL))
        alone = cell(Text("____", _SMALL), Text(f"{own['of']} ____", _SMALL))
        rows = [
            [
                cell(str(row.number)), _adult(row), cell(Sign(row.picture, 9)) if row.picture else cell(""),
                (*_today(row), *_above(row, t)), cell(Text(str(row.help), 16)),
                *_TEN, totals, alone,
            ]
            for row in sheet
        ]  # fmt: skip
        heads = (
            own["no"],
            (own["word"], 2),
            own["today"],
            own["start"],
            (own["boxes"], 10),
            own["totals"],
            own["alone"],
        )
        widths = (8, 28, 11, 38, 14, *(((made.width - 132) / 10,) * 10), 17, 16)
        made.table(heads, rows, widths, height=19, head_points=_SMALL, halved=range(5, 15))
        if number == 0:
            probes = "   ".join(f"{word} [   ]" for word in page.probes) or "   ".join([f"{_BLANK} [   ]"] * 5)
            made.heading(own["probe"])
            made.line(own["probe_how"], _SMALL)
            made.line(probes)
        made.heading(own["materials"])
        made.lines(page.materials or (_BLANK,))
        made.line(_filled(t["page"]["next"], page.printing.next_date))
        made.line(f"{t['page']['notes']}: {'_' * 60}")
        made.line(t["page"]["caution"], _SMALL)
    return made


def _group(page: GroupPage, t: dict[str, Any]) -> DocxPage:
    own, made = t["group"], DocxPage(page.printing, t["group"]["title"], 10, flipped=True)
    made.head(own["title"], *_when(page, t), _filled(t["page"]["next"], page.printing.next_date), code=False)
    made.line(own["how"])
    made.line(_help(page, t), _SMALL)
    rows = [
        [cell(Text(child.code, 11, True)), _beside(row), _today_beside(row), cell(str(row.help)), *_TEN, cell("")]
        for child in page.children
        for row in child.rows
    ]
    words = t["session"]
    heads = (own["child"], words["word"], words["today"], own["help"], (words["boxes"], 10), words["alone"])
    made.table(heads, rows, (20, 50, 60, 14, *(((made.width - 162) / 10,) * 10), 18), height=8.5, head_points=_SMALL)
    made.line(t["page"]["caution"], _SMALL)
    return made


def _family(page: FamilyPage, t: dict[str, Any]) -> DocxPage:
    """Words two by two, each with its picture or a place for one; then one idea a line; then the log of the week."""
    own, made = t["family"], DocxPage(page.printing, t["family"]["title"], 14)
    for number, words in enumerate(page.sheets):
        if number:
            made.page_break()
        made.head(own["title"], f"{own['for']}: {_BLANK}", code=False)
        pairs = [words[start : start + 2] for start in range(0, len(words), 2)]
        half = (made.width - 80) / 2
        rows = [[part for word in pair for part in _family_word(word, own)] for pair in pairs]
        rows = [[*row, *([cell("")] * (4 - len(row)))] for row in rows]
        made.table((), rows, (40, half, 40, half), height=39)
        for sentence in (page.capitals, page.alike[number]):
            if sentence:
                made.line(sentence)
        for key in ("how", "stuck", "step"):
            made.heading(own[key])
            made.lines(own[f"{key}_lines"])
        made.page_break()
        made.heading(own["week"])
        made.line(own["week_how"])
        log = [[cell(Text(word.word, 0, True, word.language)), *([cell("")] * 7)] for word in words]
        made.table((own["word"], *own["days"]), log, (made.width - 7 * 16, *((16,) * 7)), height=17, head_points=14)
        made.heading(own["well"])
        made.rule(5)
        made.line("")
        made.line(_filled(t["page"]["next"], page.printing.next_date))
        made.line(f"{own['contact']}: {_BLANK * 2}")
    return made


def _family_word(word: FamilyWord, own: dict[str, Any]) -> tuple[DocxCell, DocxCell]:
    shown: list[Text] = [Text(own["you"]), Text(word.word, _HOME[word.size], True, word.language)]
    if word.says:
        shown += [Text(own["child"]), Text(_unbroken(word.says), _HOME_EASIER[word.says_size], False, word.language)]
    else:
        shown.append(Text(word.instead))
    return cell(Sign(word.picture, 36, own["draw"], 14)), cell(*shown)


def _unbroken(spelled: str) -> str:
    """A word or plain spelling with hyphens at which a word processor does not break the line."""
    return spelled.replace("-", "\u2011")


def _card(card: Card, t: dict[str, Any]) -> DocxCell:
    lines: list[Any] = [Sign(card.picture, 30, t["cards"]["draw"])]
    lines.append(Text(card.word, _CARD[card.size], True, card.language))
    if card.today:
        lines.append((Text(f"{t['cards']['today']}: ", 14), Text(_unbroken(card.today), 14, False, card.language)))
    return cell(*lines)


def _cards(page: CardsPage, t: dict[str, Any]) -> DocxPage:
    own, made = t["cards"], DocxPage(page.printing, t["cards"]["title"], 12)
    for number, cards in enumerate(page.cards):
        if number:
            made.page_break()
        made.head(own["title"])
        made.line(own["how"])
        _pairs(made, [_card(card, t) for card in cards], 52)
    for number, frames in enumerate(page.frames):
        if number or page.cards:
            made.page_break()
        made.head(own["title"])
        made.line(own["how"])
        rows = [
            [cell(Text(part, 22, True, each.language) if part else "") if part != "slot" else cell(own["slot"])
             for part in (each.before, "slot", each.after)]
            for each in frames
        ]  # fmt: skip
        side = (made.width - 88) / 2
        made.table((), rows, (side, 88, side), height=55, borders="dashed", centred=(0, 1, 2))
    return made


def _pairs(made: DocxPage, cards: Sequence[DocxCell], height: float) -> None:
    """Cards two by two, with lines to cut along."""
    rows = [[*cards[start : start + 2]] for start in range(0, len(cards), 2)]
    rows = [[*row, *([cell("")] * (2 - len(row)))] for row in rows]
    made.table((), rows, (88, 88), height=height, borders="dashed", centred=(0, 1))


def _contrast(page: ContrastPage, t: dict[str, Any]) -> DocxPage:
    own, made = t["contrast"], DocxPage(page.printing, t["contrast"]["title"], 12)
    for number, pairs in enumerate(page.sheets):
        if number:
            made.page_break()
        made.head(own["title"])
        made.line(own["cut"])
        _pairs(made, [_card(card, t) for pair in pairs for card in (pair.one, pair.other)], 52)
    made.page_break()
    made.head(own["score"], _when(page, t)[0])
    for key in ("first", "then"):
        made.heading(own[key])
        made.lines(own[f"{key}_lines"])
    rows = [
        [cell(Text(pair.one.word, 0, True, pair.one.language), Text(pair.other.word, 0, True, pair.other.language)),
         cell(*(part for part in (_unbroken(pair.alike), pair.alike_ipa) if part)), *_TEN]
        for sheet in page.sheets for pair in sheet
    ]  # fmt: skip
    widths = (36, 30, *(((made.width - 66) / 10,) * 10))
    made.table((own["pair"], own["alike"], (own["boxes"], 10)), rows, widths, height=19, halved=range(2, 12))
    made.line(own["key"])
    return made


def _match(page: MatchPage, t: dict[str, Any]) -> DocxPage:
    own, made = t["match"], DocxPage(page.printing, t["match"]["title"], 12)
    first = True
    for title, pages in ((own["picture"], page.pictures), (own["word"], page.words)):
        for strips in pages:
            if not first:
                made.page_break()
            first = False
            made.head(title)
            made.line(own["how"])
            wide = max(len(strip.choices) for strip in strips)
            rows = []
            for strip in strips:
                size, tag = _STRIP[strip.size], page.words_language
                model: Text | Sign = Text(strip.caption) if strip.caption else Text(_unbroken(strip.model), size, True)
                if strip.picture:
                    model = Sign(strip.picture, 22)
                choices = [cell(Text(_unbroken(choice), size, False, tag)) for choice in strip.choices]
                rows.append([cell(model), *choices, *([cell("")] * (wide - len(choices))), cell("☐", "☐", "☐")])
            each = (made.width - 40 - 10) / wide
            height = 27
            made.table((), rows, (40, *((each,) * wide), 10), height=height, borders="dashed", centred=range(wide + 2))
    return made


def _listen(page: ListenPage, t: dict[str, Any]) -> DocxPage:
    own, made, tag = t["listen"], DocxPage(page.printing, t["listen"]["title"], 12), page.words_language
    made.head(own["title"], _when(page, t)[0])
    made.line(own["how"])
    if page.directions:
        made.heading(own["directions"])
        rows = [
            [cell(str(number)), cell(Text(text, 14, False, tag)), cell(steps), cell(""), cell("")]
            for number, (text, steps) in enumerate(page.directions, 1)
        ]
        heads = (own["no"], own["say"], own["long"], own["done"], own["again"])
        made.table(heads, rows, (12, made.width - 12 - 26 - 44, 26, 22, 22))
    else:
        made.line(own["none"])
    if page.things:
        made.line(f"{own['words']}: {', '.join(word for word, _ in page.things)}")
    if page.needs:
        made.line(f"{own['needs']}: {', '.join(page.needs)}")
    if page.groups:
        made.heading(own["sort"])
        made.line(own["sort_how"])
        made.lines([f"{category}: {', '.join(members)}" for category, members in page.groups])
        made.line(f"{own['sort_mixed']}: " + "   ".join(f"{word} [   ]" for word in page.mixed))
    if page.matches:
        made.heading(own["match"])
        made.line(own["match_how" if page.signs else "match_cards"])
        wide, signs = max(len(choices) for _, choices in page.matches), dict(page.signs)
        rows = [
            [cell(Text(model, 0, True, tag)), *(_pointed(choice, signs, tag) for choice in choices),
             *([cell("")] * (wide - len(choices) + 2))]
            for model, choices in page.matches
        ]  # fmt: skip
        each = (made.width - 44) / (wide + 1)
        tops = (own["model"], (own["choices"], wide), own["done"], own["again"])
        made.table(tops, rows, (*((each,) * (wide + 1)), 22, 22))
    return made


def _pointed(word: str, signs: dict[str, str], tag: str) -> DocxCell:
    """What the child points to: its picture with the word below, the word alone where there is none."""
    shown = Text(_unbroken(word), 0, False, tag)
    return cell(Sign(signs[word], 9), shown) if word in signs else cell(shown)


def _letter(page: LetterPage, t: dict[str, Any]) -> DocxPage:
    own, made = t["letter"], DocxPage(page.printing, t["letter"]["title"], 14, margin=18)
    made.head(own["title"], _when(page, t)[0], code=False)
    made.line(f"{own['for']}: {_BLANK * 2}   {own['about']}: {_BLANK * 2}")
    made.line(" ".join(own["open"]))
    rows = [
        [cell(Text(word.word, 19, True, word.language)),
         cell(Text(_unbroken(word.says), 15, False, word.language) if word.says else word.instead)]
        for word in page.words
    ]  # fmt: skip
    made.table((own["word"], own["sounds"]), rows, (made.width / 2, made.width / 2))
    if page.alike:
        made.line(page.alike)
    for key in ("say", "praise", "leave"):
        made.heading(own[key])
        made.lines([line.replace("{word}", page.example) for line in own[f"{key}_lines"]])
    made.line("")
    made.line(f"{own['from']}: {_BLANK * 2}")
    made.line(f"{own['reach']}: {_BLANK * 2}")
    return made


def _hear(page: HearPage, t: dict[str, Any]) -> DocxPage:
    own, made = t["hear"], DocxPage(page.printing, t["hear"]["title"], 12)
    made.head(own["title"], _when(page, t)[0])
    made.lines(own["lines"])
    rows = []
    for heard in page.rows:
        row = heard.row
        marks = [cell(Text(own["adult_mark" if adult else "child_mark"], 0, adult)) for adult in heard.order]
        adult = cell(Text(row.word, 19, True, row.language))
        easier = cell(Text(_unbroken(row.today), 15, False, row.language), row.today_ipa)
        rows.append([cell(Sign(row.picture, 16)), adult, easier, *marks])
    goes = len(page.rows[0].order)
    widths = (20, 48, made.width - 68 - goes * 11, *((11,) * goes))
    made.table(((own["adult"], 2), own["child"], (own["boxes"], goes)), rows, widths, height=21)
    made.line(own["key"])
    return made


def _plan(page: PlanPage, t: dict[str, Any]) -> DocxPage:
    own, head, made = t["plan"], t["session"], DocxPage(page.printing, t["plan"]["title"], 11.5)
    made.head(own["title"], *_when(page, t))
    made.line(" · ".join(part for part in (page.summary, page.seed) if part), bold=True)
    rows = [[cell(row.start), cell(row.what), cell(row.detail), cell(row.tries)] for row in page.rows]
    made.table(
        (own["time"], own["what"], own["detail"], own["tries"]), rows, (16, 42, made.width - 80, 22), head_points=10
    )
    if page.remarks:
        made.heading(own["does_not_fit"])
        made.lines([f"• {remark}" for remark in page.remarks])
    made.heading(own["targets"])
    rows = [
        [(
            (Text(row.word, 15, True, row.language), Text(f" {row.adult_ipa}")),),
            ((Text(row.today, 10.5, False, row.language), Text(f"  {row.today_ipa}  {row.rung}")),) if row.today else cell(row.instead),
            cell(str(row.help)), cell(str(tries))]
        for row, tries in page.targets
    ]  # fmt: skip
    heads = (head["word"], head["today"], head["start"], own["tries"])
    made.table(heads, rows, (62, made.width - 108, 24, 22), head_points=10)
    made.line(f"{_help(page, t)}. {head['move']}", _SMALL)
    made.line(f"{own['own']} {_filled(t['page']['next'], page.printing.next_date)}", _SMALL)
    return made


_MAKERS: dict[type, Callable[[Any, dict[str, Any]], DocxPage]] = {
    SessionPage: _session,
    GroupPage: _group,
    FamilyPage: _family,
    CardsPage: _cards,
    MatchPage: _match,
    ListenPage: _listen,
    PlanPage: _plan,
    ContrastPage: _contrast,
    LetterPage: _letter,
    HearPage: _hear,
}
