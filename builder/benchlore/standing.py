"""What stands in a site's folder, as the ledger knows it: files are told by their marks, without reading them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from benchlore.ledger import Ledger
from benchlore.publishing import MANIFEST, Mark, Published, standing_in
from benchlore.works import WHOLE, Works


def standing(ledger: Ledger, out: Path) -> dict[str, str]:
    """SHA-256 of the files that stand in ``out`` as they were published."""
    known = _known(ledger, out)
    there = standing_in(out, {path: tuple(mark) for path, (_, mark) in known.items()})
    return {path: known[path][0] for path in there}


def remember(ledger: Ledger, out: Path, digests: Mapping[str, str], marks: Mapping[str, Mark]) -> None:
    """Keep that ``out`` holds files of these digests and is whole, and by which marks to know those that are new."""
    known = _known(ledger, out)
    marked = {path: marks.get(path) or tuple(known.get(path, ("", ()))[1]) for path in digests}
    now = {path: [digest, list(marked[path])] for path, digest in digests.items() if marked[path]}
    if now != known:
        ledger.put("state", f"site {out.resolve()}", "", json.dumps(now, separators=(",", ":")))
    if len(now) == len(digests) and ledger.get("state", WHOLE + str(out.resolve())) is None:
        ledger.put("state", WHOLE + str(out.resolve()), "", "")


def as_it_was(works: Works, out: Path) -> Published | None:
    """What a build would say of a site for which nothing has changed, where that can be told without making anything."""
    if works.due("") or works.ledger.get("state", WHOLE + str(out.resolve())) is None:
        return None
    known = _known(works.ledger, out)
    if len(standing(works.ledger, out)) < len(known) or not (out / MANIFEST).is_file():
        return None
    return Published(len(known), 0, 0, changed=False)


def _known(ledger: Ledger, out: Path) -> dict[str, list[Any]]:
    row = ledger.get("state", f"site {out.resolve()}")
    return dict(json.loads(row.text)) if row else {}
