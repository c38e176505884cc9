"""A new amendment to fill in: what one's own shelf says otherwise of an entry that stands on a shelf below."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from benchlore.entries.fields import Many, table_of
from benchlore.entries.kinds import FOLDER_OF, KINDS
from benchlore.reading.scalars import TO_DO
from benchlore.sharing.draft import SCHEMAS, place_of
from benchlore.sharing.house import field_lines

TEXT = """\
# yaml-language-server: $schema={up}{schemas}/{kind}.schema.json
# What your shelf says otherwise of this {kind}. Save it on your shelf as {place}.
# Fill in every {todo}. What you do not name stays as the shelf below says it; the page shows whose word each field is.
# Then run: benchlore audit

# Which text below it was written against; audit says when that has changed. 'yes' means: never mind.
amends: {digest}

# Why your bench knows better. It stands on the page beside each field.
why: {todo}

# Fields with another value.
{set}

# Items more, in lists; one with the key of an item below takes its place.
# add:
#   {listed}: [...]

# Items that do not hold here, by their key or their text; or the whole entry, with the reason.
# retire:
#   {listed}: [...]
#   entry: never met here
"""


def amendment_draft(kind: str, id: str, digest: str, given: Mapping[str, Any] | None = None) -> str:
    """The text of an amendment of the entry whose lower text has this ``digest``; ``given`` are the fields it sets.

    The digest is what lets ``audit`` say when the lower text has changed. Raises KeyError for a field that the kind does not have.
    """
    table = table_of(KINDS[kind])
    if unknown := [name for name in given or {} if name not in table]:
        raise KeyError(unknown[0])
    lists = [name for name, field in table.items() if isinstance(field.type, Many) and field.need != "optional"]
    values = [line for name, value in (given or {}).items() for line in field_lines(name, value, table[name].type, indent=2)]
    return TEXT.format(
        up="../" if kind in FOLDER_OF else "",
        schemas=SCHEMAS,
        kind=kind,
        place=place_of(kind, id),
        todo=TO_DO,
        digest=digest,
        set="\n".join(["set:", *values] if values else ["# set:", f"#   title: {TO_DO}"]),
        listed=next(iter(lists), "sources"),
    )
