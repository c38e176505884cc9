"""A key that points inside an entry names something that is there.

Passes: ``fed_from: A`` where the supply chart has a node ``A``
Fails:  ``fed_from: Z`` where it has none
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from benchlore.entries.common import Entry
from benchlore.entries.family import Family
from benchlore.entries.fault import Fault
from benchlore.entries.finding import Finding
from benchlore.entries.shop import Shop
from benchlore.entries.tube import Tube
from benchlore.linking.library import Library
from benchlore.problem import Problem, did_you_mean
from benchlore.reckoning.book import Sums


def of_tube(tube: Tube, library: Library, sums: Sums) -> Iterator[Problem]:
    """A rating to judge by that the tube does not have."""
    if tube.judged_by is not None:
        yield from _known(tube, "judged_by", tube.judged_by, [r.key for r in tube.ratings], "rating")


def of_fault(fault: Fault, library: Library, sums: Sums) -> Iterator[Problem]:
    """Checks to do before that the fault does not have."""
    keys = [c.key for c in fault.checks]
    for index, check in enumerate(fault.checks):
        for number, after in enumerate(check.after):
            yield from _known(fault, f"checks[{index}].after[{number}]", after, keys, "check of this fault")


def of_finding(finding: Finding, library: Library, sums: Sums) -> Iterator[Problem]:
    """Checks that the fault does not have, and a revision that the family does not have."""
    for index, result in enumerate(finding.checks):
        name, slash, _ = result.check.partition("/")
        fault = library.faults.get(name)
        if fault is not None or not slash:
            known = [f"{name}/{check.key}" for check in fault.checks] if fault is not None else []
            yield from _known(finding, f"checks[{index}].check", result.check, known, "check")
    family = library.families.get(finding.family)
    if family is not None and finding.revision and family.variants:
        revisions = [v.key for v in family.variants]
        yield from _known(finding, "revision", finding.revision, revisions, "revision of this family")


def of_shop(shop: Shop, library: Library, sums: Sums) -> Iterator[Problem]:
    """Initials that nobody of this shop has, once each: a slip, or another shop's finding, which is welcome."""
    known = {t.initials for t in shop.technicians}
    for finding in library.findings.values():
        if known and finding.technician not in known:
            known.add(finding.technician)
            remedy = "correct a slip; for another shop's finding, add them under technicians in shop.yaml"
            message = f'no technician of this shop signs "{finding.technician}"'
            yield Problem(finding.place("technician"), "technician", message, remedy, "warning")


def of_family(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Nodes, revisions and views that the family does not have."""
    nodes = [n.node for n in family.supply]
    for index, node in enumerate(family.supply):
        if node.fed_from is not None:
            yield from _known(
                family,
                f"supply[{index}].fed_from",
                node.fed_from,
                [n for n in nodes if n != node.node],
                "node of this supply",
            )
    variants = [v.key for v in family.variants]
    for index, weak in enumerate(family.weak_points):
        for name, key in (("since", weak.since), ("until", weak.until)):
            if key is not None:
                yield from _known(family, f"weak_points[{index}].{name}", key, variants, "revision of this family")
    views = [v.view for v in family.views]
    for name, items in (
        ("hardware", [h.spots for h in family.hardware]),
        ("lead_dress", [p.ends for p in family.lead_dress]),
    ):
        for index, spots in enumerate(items):
            for number, spot in enumerate(spots):
                at = f"{name}[{index}].{'spots' if name == 'hardware' else 'ends'}[{number}].view"
                yield from _known(family, at, spot.view, views, "view of this family")


def _known(entry: Entry, path: str, word: str, known: Collection[str], what: str) -> Iterator[Problem]:
    if word not in known:
        yield Problem(entry.place(path), path, f'there is no {what} "{word}"', did_you_mean(word, known))
