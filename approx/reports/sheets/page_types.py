"""The data of each printed page: plain texts and numbers, ready for a template of any kind, and a child's own photos and drawings in
place of the pictures of the fonts. Nothing here computes.

A `picture` is a character of the picture fonts, the address of a photo of the child's own, or "".
"""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, is_dataclass, replace
from typing import Any, Literal, TypeVar, cast, get_args

Paper = Literal["a4", "letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
SheetKind = Literal["session", "group", "family", "letter", "cards", "contrast", "match", "listen", "hear", "plan"]
MOST_TARGETS = 8
"""Targets on one session page; more go on a second."""
_Page = TypeVar("_Page")
_DATA = "data:image/jpeg;base64,"
"""How the address of an image begins that stands in the page itself."""


@dataclass(frozen=True, slots=True)
class Printing:
    """What all pages share. `language`: of the sentences. `code`: of the child, never on a family page. `date`, `next_date`,
    `number`: as typed, empty for a line to write on. `invented`: an example that no child stands behind."""

    language: str
    paper: str = "a4"
    code: str = ""
    date: str = ""
    next_date: str = ""
    number: str = ""
    invented: bool = False


@dataclass(frozen=True, slots=True)
class PrintedRow:
    """One target as printed. `size`, `today_size`: big, mid, small or tiny, by length. `rung`, `above`: short texts, may be empty.

    `above_ipa` goes with `above`; `adds` says what the rung above adds. `today`, `today_ipa`: the easier form; both empty
    where it is the adult form or nothing is sayable yet, and `instead` says which. `picture`: a character of the picture
    fonts, "" for none.
    """

    number: int
    word: str
    size: str
    adult_ipa: str
    today: str
    today_size: str
    today_ipa: str
    instead: str
    rung: str
    above: str
    above_ipa: str
    adds: str
    help: int
    in_hand: bool
    check: str
    language: str
    picture: str = ""


@dataclass(frozen=True, slots=True)
class SessionPage:
    """The clinician's page. `sheets`: at most eight targets each. `help_key`: (degree, meaning). `probes`: untaught words,
    printed once, on the first sheet; () leaves lines to write them on."""

    printing: Printing
    sheets: tuple[tuple[PrintedRow, ...], ...]
    summary: str
    help_key: tuple[tuple[str, str], ...]
    probes: tuple[str, ...]
    materials: tuple[str, ...]
    words_language: str


@dataclass(frozen=True, slots=True)
class GroupChild:
    """One child of a group, by code."""

    code: str
    rows: tuple[PrintedRow, ...]


@dataclass(frozen=True, slots=True)
class GroupPage:
    """A page for a group."""

    printing: Printing
    children: tuple[GroupChild, ...]
    help_key: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FamilyWord:
    """`says`: how the child says it now in plain spelling, "" where a sentence (`instead`) stands in its place. `picture`: a
    character of the picture fonts, "" for an empty box."""

    word: str
    size: str
    says: str
    says_size: str
    instead: str
    language: str
    picture: str = ""


@dataclass(frozen=True, slots=True)
class FamilyPage:
    """`sheets`: at most six words each, with a log of its own. `capitals`: the sentence about capital letters, "" where no
    word needs it. `alike`: for each sheet the sentence about words that sound like others today, "" where none does."""

    printing: Printing
    sheets: tuple[tuple[FamilyWord, ...], ...]
    capitals: str
    alike: tuple[str, ...]

    @property
    def words(self) -> tuple[FamilyWord, ...]:
        """Every word, sheet after sheet."""
        return tuple(word for sheet in self.sheets for word in sheet)


@dataclass(frozen=True, slots=True)
class Card:
    """`today`: the easier form in plain spelling, "" where there is none to show. `picture`: "" for an empty box."""

    word: str
    size: str
    today: str
    language: str
    picture: str = ""


@dataclass(frozen=True, slots=True)
class FrameCard:
    """A phrase with one open slot: what stands before it and after it."""

    before: str
    after: str
    size: str
    language: str


@dataclass(frozen=True, slots=True)
class CardsPage:
    """`cards`, `frames`: by printed page, eight cards and four frames each at most."""

    printing: Printing
    cards: tuple[tuple[Card, ...], ...]
    frames: tuple[tuple[FrameCard, ...], ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """`model`: the word to find. On a picture strip it stands as its `picture`, or as an empty box with a small `caption`."""

    model: str
    caption: str
    choices: tuple[str, ...]
    size: str
    picture: str = ""


@dataclass(frozen=True, slots=True)
class MatchPage:
    """`pictures`, `words`: strips by printed page, spread evenly so that none stands alone on the last."""

    printing: Printing
    pictures: tuple[tuple[Strip, ...], ...]
    words: tuple[tuple[Strip, ...], ...]
    words_language: str


@dataclass(frozen=True, slots=True)
class ListenPage:
    """`directions`: (sentence, steps as text). `groups`: (category, its words). `matches`: (word, words to point to).
    `things`: (word, picture or ""); `signs`: (word, picture) of what is pointed to."""

    printing: Printing
    directions: tuple[tuple[str, str], ...]
    groups: tuple[tuple[str, tuple[str, ...]], ...]
    mixed: tuple[str, ...]
    matches: tuple[tuple[str, tuple[str, ...]], ...]
    needs: tuple[str, ...]
    things: tuple[tuple[str, str], ...]
    signs: tuple[tuple[str, str], ...]
    words_language: str


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One stretch of a session: from when (m:ss), what, how, trials ("" where none)."""

    start: str
    what: str
    detail: str
    tries: str


@dataclass(frozen=True, slots=True)
class PlanPage:
    """`targets`: each with its trials. `facts`: (sentence, rule id, source), for the data only: the page cites nothing."""

    printing: Printing
    summary: str
    seed: str
    rows: tuple[PlanRow, ...]
    targets: tuple[tuple[PrintedRow, int], ...]
    help_key: tuple[tuple[str, str], ...]
    remarks: tuple[str, ...]
    facts: tuple[tuple[str, str, str], ...]
    words_language: str


@dataclass(frozen=True, slots=True)
class PrintedPair:
    """Two adult words that this child says alike. `alike`: that one form in plain spelling, "" where it has none."""

    one: Card
    other: Card
    alike: str
    alike_ipa: str


@dataclass(frozen=True, slots=True)
class ContrastPage:
    """Cards of pairs, by printed page, and a score table of all of them."""

    printing: Printing
    sheets: tuple[tuple[PrintedPair, ...], ...]
    words_language: str


@dataclass(frozen=True, slots=True)
class LetterPage:
    """One page for a teacher: the words with what they may sound like. `words` and `alike` are as on the family page."""

    printing: Printing
    words: tuple[FamilyWord, ...]
    example: str
    words_language: str
    alike: str


@dataclass(frozen=True, slots=True)
class HeardRow:
    """A word to be judged by ear: the adult form, the child's, and in `order` which of the two the adult says (True: adult's)."""

    row: PrintedRow
    order: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class HearPage:
    """A page to listen to: the adult form against the child's."""

    printing: Printing
    rows: tuple[HeardRow, ...]
    words_language: str


Page = (
    SessionPage
    | GroupPage
    | FamilyPage
    | CardsPage
    | MatchPage
    | ListenPage
    | PlanPage
    | ContrastPage
    | LetterPage
    | HearPage
)

TEMPLATES: dict[type, str] = {
    SessionPage: "session",
    GroupPage: "group",
    FamilyPage: "family",
    CardsPage: "cards",
    MatchPage: "match",
    ListenPage: "listen",
    PlanPage: "plan",
    ContrastPage: "contrast",
    LetterPage: "letter",
    HearPage: "hear",
}
"""Name of each page's template, HTML and PDF alike."""

_BY_PAGE: dict[type, tuple[str, ...]] = {CardsPage: ("cards", "frames"), MatchPage: ("pictures", "words")}


def page_json(page: Page) -> dict[str, Any]:
    """A page as data. What is printed by page stands in one list, as promised, and by page as `..._by_page`; a family
    page has its `words` beside its `sheets`, and `things` to bring are words, with pictures in `things_pictured`."""
    out = asdict(page)
    for name in _BY_PAGE.get(type(page), ()):
        out[f"{name}_by_page"] = out[name]
        out[name] = [each for printed in out[name] for each in printed]
    if isinstance(page, FamilyPage):
        out["words"] = [each for printed in out["sheets"] for each in printed]
    if isinstance(page, ListenPage):
        out["things_pictured"] = out["things"]
        out["things"] = [word for word, _ in page.things]
    return out


def with_photos(page: _Page, photos: Mapping[str, str]) -> _Page:
    """The page with the pictures of these words replaced. `photos`: address of an image by word in small letters; an address
    is `inside(...)` for a file that carries its images, or that of a page that shows them."""
    # what is replaced in a page leaves it a page of its kind
    return cast(_Page, _replaced(page, photos)) if photos else page


def inside(jpeg: str) -> str:
    """The address of an image that stands in the page itself. `jpeg`: in base64."""
    return _DATA + jpeg


def is_photo(picture: str) -> bool:
    """True for the address of an image; a picture of the fonts is one character."""
    return len(picture) > 1


def jpeg_of(picture: str) -> bytes:
    """The image of an address made by `inside`."""
    return b64decode(picture.removeprefix(_DATA))


def _replaced(part: object, photos: Mapping[str, str]) -> object:
    if isinstance(part, tuple):
        return tuple(_replaced(each, photos) for each in part)
    if isinstance(part, Strip):
        mine = photos.get(part.model.casefold())
        # a strip of words has neither a picture nor the words that ask for one
        return replace(part, picture=mine, caption="") if mine and (part.picture or part.caption) else part
    if isinstance(part, (PrintedRow, FamilyWord, Card)):
        mine = photos.get(part.word.casefold())
        return replace(part, picture=mine) if mine else part
    if isinstance(part, ListenPage):
        signs = [
            tuple((word, photos.get(word.casefold(), sign)) for word, sign in each)
            for each in (part.things, part.signs)
        ]
        return replace(part, things=signs[0], signs=signs[1])
    if not is_dataclass(part) or isinstance(part, type):
        return part
    return replace(part, **{each.name: _replaced(getattr(part, each.name), photos) for each in fields(part)})
