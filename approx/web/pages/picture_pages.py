"""Photos and drawings of a child's own words: put on a word, shown, taken away for a day or for good."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response

from approx.lexicon.pictures import picture as open_picture
from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild, StoredPicture
from approx.web.server.desk import Desk, child_path, go
from approx.web.server.posted import Posted


@dataclass(frozen=True, slots=True)
class WordPicture:
    """A word with the child's own picture, else one of the picture fonts, else "" in `sign`. `gone`: no word in therapy."""

    word: str
    own: StoredPicture | None
    sign: str
    in_therapy: bool


def pictures(desk: Desk, request: Request) -> Response:
    """Every word in therapy and every word with a picture of its own."""
    return _page(desk, request)


def put(desk: Desk, request: Request, form: Posted) -> Response:
    """A picture for a word; what was wrong with it is said beside the word."""
    code, word, file = request.path_params["code"], form.text("word"), form.file("picture")
    if not word:
        return _page(desk, request, (Problem("desk.word", "the word is empty", "type the word the picture shows"),))
    if file is None:
        problem = Problem("desk.picture", "no picture was chosen", "choose a photo or a drawing from this computer")
        return _page(desk, request, (problem,), word)
    kept = desk.caseload.put_picture(code, word, file[1])
    if isinstance(kept, Refused):
        return _page(desk, request, kept.problems, word)
    return go(child_path(code, "pictures"), "picture_kept")


def image(desk: Desk, request: Request) -> Response:
    """The picture itself."""
    found = desk.caseload.picture_jpeg(request.path_params["code"], request.path_params["picture_id"])
    return desk.refused(request, found) if isinstance(found, Refused) else Response(found, media_type="image/jpeg")


def delete(desk: Desk, request: Request, form: Posted) -> Response:
    """Put a picture away, which can be undone for a day; or for good at once."""
    code, picture_id = request.path_params["code"], request.path_params["picture_id"]
    mine = desk.caseload.pictures(code)
    if isinstance(mine, Refused):
        return desk.refused(request, mine)
    if form.ticked("for_good"):
        if all(each.id != picture_id for each in mine):
            return desk.page(request, "missing", 404)
        erased = desk.caseload.delete_picture_for_good(picture_id)
        if isinstance(erased, Refused):
            return _page(desk, request, erased.problems)
        return go(child_path(code, "pictures"), "erased")
    away = desk.caseload.delete_picture(picture_id)
    if isinstance(away, Refused):
        return _page(desk, request, away.problems)
    return go(child_path(code, "pictures"), "deleted", away.token)


def _page(desk: Desk, request: Request, problems: tuple[Problem, ...] = (), wrong: str = "") -> Response:
    code = request.path_params["code"]
    child, targets, mine = desk.caseload.child(code), desk.caseload.targets(code), desk.caseload.pictures(code)
    if isinstance(child, Refused):
        return desk.refused(request, child)
    if isinstance(targets, Refused):
        return desk.refused(request, targets)
    if isinstance(mine, Refused):
        return desk.refused(request, mine)
    worked = [each.word for each in targets if each.state in ("active", "resting")]
    shown = _words(child, worked, mine)
    if wrong and all(each.word.casefold() != wrong.casefold() for each in shown):
        shown.append(WordPicture(wrong, None, "", False))
    return desk.page(
        request, "pictures", 422 if problems else 200, child=child, words=shown, problems=problems, wrong=wrong,
    )  # fmt: skip


def _words(child: StoredChild, worked: list[str], mine: tuple[StoredPicture, ...]) -> list[WordPicture]:
    own = {each.word.casefold(): each for each in mine}
    tongue = child.languages[0]
    found = [
        WordPicture(word, own.pop(word.casefold(), None), open_picture(word, tongue) or "", True)
        for word in dict.fromkeys(worked)
    ]
    return [*found, *(WordPicture(each.word, each, "", False) for each in own.values())]
