"""What pages ask of many entries at once; each answer is plain data, so that two of them can be compared (see ``works``)."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from benchlore.entries.common import HOW_COMMON
from benchlore.entries.kept import refs_of
from benchlore.works import Question

if TYPE_CHECKING:
    from benchlore.linking.library import Library

Tables = dict[str, list[Any]]


def _findings(library: Library, _: str) -> dict[str, Tables]:
    """Ids of findings by family and by fault, newest first."""
    families: Tables = {}
    faults: Tables = {}
    for finding in sorted(library.findings.values(), key=lambda f: (-f.date.toordinal(), f.id)):
        families.setdefault(finding.family, []).append(finding.id)
        for fault in finding.faults:
            faults.setdefault(fault, []).append(finding.id)
    return {"family": families, "fault": faults}


def _faults(library: Library, _: str) -> Tables:
    """For each fault the families that suffer from it, how often, and through which stage; own weak points first."""
    of: Tables = {}
    for family in library.families.values():
        for item in library.family_faults(family.id):
            of.setdefault(item.fault.id, []).append([family.id, item.common, item.via])
    return {
        fault: sorted(items, key=lambda i: (i[2] is not None, HOW_COMMON.index(i[1]), i[0])) for fault, items in of.items()
    }


def _pointing(library: Library, _: str) -> Tables:
    """For each entry, as ``kind/id``, the kinds, ids and paths of what points at it."""
    found: dict[str, set[tuple[str, str, str]]] = {}
    for of_kind in library.entries.values():
        for entry in of_kind.values():
            for path, kind, id in refs_of(entry):
                found.setdefault(f"{kind}/{id}", set()).add((entry.kind, entry.id, path))
    return {name: sorted(pointers) for name, pointers in sorted(found.items())}


FINDINGS = Question("findings", _findings, kept=False)
FINDINGS_OF = Question("findings-of", lambda library, id: library.ask(FINDINGS)["family"].get(id, []))
FINDINGS_WITH = Question("findings-with", lambda library, id: library.ask(FINDINGS)["fault"].get(id, []))
FAULTS = Question("faults", _faults, kept=False)
FAMILIES_WITH = Question("families-with", lambda library, id: library.ask(FAULTS).get(id, []))
POINTING = Question("pointing", _pointing, kept=False)
POINTERS = Question("pointers", lambda library, name: library.ask(POINTING).get(name, []))

QUESTIONS = (FINDINGS, FINDINGS_OF, FINDINGS_WITH, FAULTS, FAMILIES_WITH, POINTING, POINTERS)
