"""The words in work and the forms chosen for them, with the day and the reason of each choice."""

from __future__ import annotations

from sqlalchemy import Connection, func, select

from approx.records.database import schema
from approx.records.database.refusals import RefusalError, answered, refusal
from approx.records.database.rows import StoredChild, StoredChoice, StoredTarget, Trashed
from approx.records.database.store import Store
from approx.records.tables.checks import today
from approx.records.tables.child_records import find_child
from approx.records.tables.trash import put_away
from approx.records.tables.versions import add, change, conflict, gone, in_use
from approx.wording import worded

_CHOICES, _TARGETS = schema.choices, schema.targets


class TargetRecords(Store):
    """What is aimed at."""

    @answered
    def choose_form(
        self,
        code: str,
        word: str,
        ipa: str,
        reason: str = "",
        *,
        date: str = "",
        rung: int | None = None,
        of: int | None = None,
        by: str = "clinician",
        seen: int | None = None,
    ) -> StoredChoice:
        """A form for a word from now on. Older choices stay in the history.

        `seen`: id of the choice the page showed for this word, 0 for none; refused if a later one was made meanwhile.
        None: not asked. The form is refused if it cannot be read as IPA.
        """
        with self._writing() as connection:
            child = find_child(connection, code)
            return choose(connection, child, word, ipa, reason, date, rung, of, by, seen)

    @answered
    def choices(self, code: str) -> tuple[StoredChoice, ...]:
        """The form chosen last for each word of a child, by word."""
        with self._reading() as connection:
            return tuple(present_choices(connection, find_child(connection, code)).values())

    @answered
    def choice_history(self, code: str, word: str = "") -> tuple[StoredChoice, ...]:
        """All choices for a word, or for all words, oldest first."""
        with self._reading() as connection:
            return choices_of(connection, find_child(connection, code), word)

    @answered
    def delete_choice(self, choice_id: int) -> Trashed:
        """Put a choice away; the one before it counts again."""
        with self._writing() as connection:
            word = in_use(connection, _CHOICES, choice_id, "choice").word
            return put_away(connection, _CHOICES, choice_id, "choice", word)

    @answered
    def targets(self, code: str, state: str = "") -> tuple[StoredTarget, ...]:
        """The words in work in the order in which they were entered, all or those in one state."""
        with self._reading() as connection:
            found = targets_of(connection, find_child(connection, code))
            return tuple(target for target in found if state in ("", target.state))

    @answered
    def add_target(
        self,
        code: str,
        word: str,
        adult: str,
        *,
        form: str = "",
        word_set: str = "",
        state: str = "active",
        help: str = "",
        since: str = "",
        carrier: str = "",
    ) -> StoredTarget:
        """A word to work on. A `form` other than the one chosen last is entered as a choice."""
        with self._writing() as connection:
            child = find_child(connection, code)
            _readable(adult, child)
            values = {
                "word": word, "adult": adult, "word_set": word_set, "state": state, "help": help,
                "since": since or today(), "carrier": carrier,
            }  # fmt: skip
            target_id = add(connection, _TARGETS, values, child_id=child.id)
            target = target_in_use(connection, target_id)
            if form and form != target.form:
                choose(connection, child, target.word, form, "form at the start", target.since)
            return target_in_use(connection, target_id)

    @answered
    def save_target(self, target: StoredTarget) -> StoredTarget:
        """A target changed, but for its form and rung, which `choose_form` changes. Refused if the version is stale."""
        with self._writing() as connection:
            present = target_in_use(connection, target.id)
            _readable(target.adult, find_child(connection, present.child))
            columns = ("word", "adult", "word_set", "state", "help", "since", "carrier")
            values = {name: getattr(target, name) for name in columns}
            change(connection, _TARGETS, target.id, target.version, values, lambda: present)
            return target_in_use(connection, target.id)

    @answered
    def delete_target(self, target_id: int) -> Trashed:
        """Put a target away. Refused while trials were recorded for it: they would lose their word."""
        trials, sessions = schema.trials, schema.sessions
        with self._writing() as connection:
            word = target_in_use(connection, target_id).word
            tried = connection.execute(
                select(func.count())
                .select_from(trials)
                .join(sessions)
                .where(trials.c.target_id == target_id, trials.c.trashed == "", sessions.c.trashed == "")
            ).scalar_one()
            if tried:
                hint = "set it to 'resting' or 'met' to take it off the list"
                raise refusal(
                    "tried", worded("{tried} {tried:trial was|trials were} recorded for this word", tried=tried), hint
                )
            return put_away(connection, _TARGETS, target_id, "target", word)


def choose(
    connection: Connection,
    child: StoredChild,
    word: str,
    ipa: str,
    reason: str = "",
    date: str = "",
    rung: int | None = None,
    of: int | None = None,
    by: str = "clinician",
    seen: int | None = None,
) -> StoredChoice:
    """A new choice in the transaction of the caller; see `TargetRecords.choose_form`."""
    _readable(ipa, child)
    present = present_choices(connection, child).get(word.strip())
    if seen is not None and seen != (present.id if present else 0):
        raise conflict(present) if present else refusal("gone", "that choice has since been deleted", "choose again")
    values = {
        "word": word, "ipa": ipa, "reason": reason, "date": date or today(), "rung": rung, "rungs": of, "chosen_by": by,
    }  # fmt: skip
    choice_id = add(connection, _CHOICES, values, child_id=child.id)
    row = connection.execute(select(_CHOICES).where(_CHOICES.c.id == choice_id)).one()
    return _choice(row, child.code)


def choices_of(connection: Connection, child: StoredChild, word: str = "") -> tuple[StoredChoice, ...]:
    """The choices of a child, oldest first."""
    return _choices(connection, child.id, child.code, word)


def _choices(connection: Connection, child_id: int, code: str, word: str) -> tuple[StoredChoice, ...]:
    query = select(_CHOICES).where(_CHOICES.c.child_id == child_id, _CHOICES.c.trashed == "")
    if word:
        query = query.where(_CHOICES.c.word == word.strip())
    rows = connection.execute(query.order_by(_CHOICES.c.date, _CHOICES.c.id))
    return tuple(_choice(row, code) for row in rows)


def present_choices(connection: Connection, child: StoredChild) -> dict[str, StoredChoice]:
    """The latest choice of each word, by word."""
    latest = {choice.word: choice for choice in choices_of(connection, child)}
    return dict(sorted(latest.items()))


def targets_of(connection: Connection, child: StoredChild) -> tuple[StoredTarget, ...]:
    """The targets of a child with their present forms."""
    query = select(_TARGETS).where(_TARGETS.c.child_id == child.id, _TARGETS.c.trashed == "")
    chosen = present_choices(connection, child)
    rows = connection.execute(query.order_by(_TARGETS.c.id))
    return tuple(_target(row, child.code, chosen.get(row.word)) for row in rows)


def target_in_use(connection: Connection, target_id: int) -> StoredTarget:
    """One target with its present form. Refused if it is gone."""
    children = schema.children
    here = (_TARGETS.c.id == target_id, _TARGETS.c.trashed == "", children.c.trashed == "")
    row = connection.execute(select(_TARGETS, children.c.code).join(children).where(*here)).first()
    if row is None:
        raise gone("target")
    chosen = _choices(connection, row.child_id, row.code, row.word)
    return _target(row, row.code, chosen[-1] if chosen else None)


def _target(row: schema.FoundRow, code: str, chosen: StoredChoice | None) -> StoredTarget:
    return StoredTarget(
        row.id, row.version, code, row.word, row.adult, chosen.ipa if chosen else row.adult, row.word_set, row.state,
        row.help, row.since, chosen.rung if chosen else None, chosen.of if chosen else None, row.carrier,
    )  # fmt: skip


def _choice(row: schema.FoundRow, code: str) -> StoredChoice:
    return StoredChoice(
        row.id, row.version, code, row.word, row.ipa, row.reason, row.date, row.rung, row.rungs, row.chosen_by
    )


def _readable(ipa: str, child: StoredChild) -> None:
    """A form that nobody can read is no aim."""
    if not isinstance(ipa, str) or not ipa.strip():
        raise refusal("value", "the form is empty", "type it in IPA")
    from approx.ipa import read

    problems = [problem for problem in read(ipa, child.languages[0]).problems if problem.fatal]
    if problems:
        raise RefusalError(*problems)
