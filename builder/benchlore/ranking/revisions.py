"""Which of a family's weak points belong to other revisions than the one on the bench."""

from __future__ import annotations

from benchlore.entries.family import Family, WeakPoint


def on_other_revisions(family: Family, revision: str) -> tuple[str, ...]:
    """Ids of the faults that the family is known for on other revisions only; none where the revision is not known.

    ``revision`` is a variant's key; a weak point's ``since`` and ``until`` name variants, which stand oldest first.
    """
    keys = [variant.key for variant in family.variants]
    if revision not in keys:
        return ()
    mine = keys.index(revision)

    def fits(weak: WeakPoint) -> bool:
        early = weak.since in keys and keys.index(weak.since) > mine
        late = weak.until in keys and keys.index(weak.until) < mine
        return not (early or late)

    here = {weak.fault for weak in family.weak_points if fits(weak)}
    return tuple(sorted({weak.fault for weak in family.weak_points} - here))
