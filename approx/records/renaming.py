"""A child's code changed wherever it is written: in the profiles' texts and in the samples' column of the child."""

from __future__ import annotations

import json
import re

from sqlalchemy import Connection, select, update

from approx.records import schema


def rename(connection: Connection, child_id: int, old: str, new: str) -> None:
    """Put the new code in place of the old one in all that the child's row owns."""
    children, profiles = schema.children, schema.profiles
    connection.execute(update(children).where(children.c.id == child_id).values(code=new))
    for row in connection.execute(select(profiles.c.id, profiles.c.text).where(profiles.c.child_id == child_id)).all():
        text = with_code(row.text, old, new)
        if text != row.text:
            connection.execute(update(profiles).where(profiles.c.id == row.id).values(text=text))
    samples = schema.samples
    for row in connection.execute(select(samples.c.id, samples.c.header).where(samples.c.child_id == child_id)).all():
        _in_rows(connection, row.id, json.loads(row.header), old, new)


def with_code(text: str, old: str, new: str) -> str:
    """A child file with its line `code` changed; one of another code stays as it is."""
    line = re.compile(rf"^(code\s*=\s*)([\"']){re.escape(old)}\2", re.MULTILINE | re.IGNORECASE)
    return line.sub(lambda found: f'{found[1]}"{new}"', text, count=1)


def _in_rows(connection: Connection, sample_id: int, header: list[str], old: str, new: str) -> None:
    from approx.scoring.sample_headers import lay_out

    table = schema.sample_rows
    query = select(table.c.id, table.c.cells).where(table.c.sample_id == sample_id).order_by(table.c.row)
    rows = [(row.id, json.loads(row.cells)) for row in connection.execute(query)]
    place = lay_out(header, [cells for _, cells in rows[:200]], "").at.get("child")
    if place is None:
        return
    for row_id, cells in rows:
        if len(cells) > place and cells[place].strip().casefold() == old.casefold():
            cells[place] = new
            changed = json.dumps(cells, ensure_ascii=False)
            connection.execute(update(table).where(table.c.id == row_id).values(cells=changed))
