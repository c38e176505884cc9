"""A library as documents to search: words by section, each with its weight's name and the anchor at which the page opens.

Nothing here names the fields of a kind one by one: the field tables say what holds words.  The few tables below say
only which words weigh more, and which fields hold nothing that anyone would look for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from benchlore.addresses import PLURALS, url_of
from benchlore.entries.common import Entry
from benchlore.entries.fault import Fault
from benchlore.entries.fields import Amount, Choice, Code, Field, Many, Part, Prose, Ref, Table, Text, table_of
from benchlore.entries.finding import Finding
from benchlore.linking.library import Library
from benchlore.searching.document import KINDS, Document, Documents, Line, Meaning, Section
from benchlore.searching.plain import plain_lines
from benchlore.works import Question

_SILENT_NAMES = (
    "sources pins_sources by added changed was views spots ends pins laws let solve worked technician touches judged_by speaks_to like "
    "takes default prefill gives when drawing links also_called asked unit kind least most usual tolerance digits"
)
_SILENT = frozenset(_SILENT_NAMES.split())
_WEIGHT = {
    "owner_words": "owner", "summary": "summary", "meaning": "summary", "seen": "checks", "usual_needs": "heading", "maker": "names",
    "do": "checks", "passes": "checks", "fails": "checks", "first_look": "checks",
    "what": "heading", "keep": "heading", "away_from": "heading", "change": "heading", "name": "heading",
    "title": "heading", "service": "heading", "sign": "heading", "label": "heading", "part": "heading", "fault": "heading",
}  # fmt: skip
OFTEN = ("almost always", "often", "sometimes")
POINTED = {"symptom": ("fault",), "procedure": ("fault",), "calculator": ("fault", "procedure"), "stage": ("symptom",)}
_CHOICES = ("arrangement", "hazard")  # words of a closed list inside a record that someone may look for
_ITEMS = {
    "checks": "key",
    "hardware": "key",
    "lead_dress": "key",
    "changes": "key",
    "looks": "key",
    "variants": "key",
    "weak_points": "fault",
}


def documents_of(library: Library) -> Documents:
    """Every entry of ``library`` that is searched, as a document."""
    documents = [document_of(entry, library) for kind in KINDS for entry in library.entries.get(kind, {}).values()]
    families, stages = library.ask(TITLES)
    return Documents(tuple(documents), meanings_from(library.ask(MEANINGS)), families, stages)


def meanings_from(plain: Iterable[Any]) -> tuple[Meaning, ...]:
    """Meanings from the plain data of ``MEANINGS``."""
    return tuple(Meaning(id, tuple(both), tuple(one_way)) for id, both, one_way in plain)


def tags_of(entry: Entry, library: Library) -> tuple[list[str], list[str]]:
    """The families and the stages an entry belongs to."""
    if isinstance(entry, Finding):
        return [entry.family], []
    families, stages = library.ask(TAGS_OF, f"{entry.kind}/{entry.id}")
    return families, stages


def document_of(entry: Entry, library: Library) -> Document:
    """An entry as a document."""
    families, stages = tags_of(entry, library)
    return Document(
        entry.kind,
        entry.id,
        entry.title,
        url_of(entry.kind, entry.id),
        sections_of(entry, library),
        tuple(families),
        tuple(stages),
        linked_of(entry, library),
    )


def sections_of(entry: Entry, library: Library) -> tuple[Section, ...]:
    """An entry's own words by section, the page's top first."""
    writer = _Writer(library)
    top = [Line("title", entry.title), *(Line("names", name) for name in _names(entry))]
    rest: list[Section] = []
    for name, field in table_of(type(entry)).items():
        if name in _SILENT or name == "title":
            continue
        lines = tuple(writer.lines(field, getattr(entry, name), ""))
        if not lines:
            continue
        if name == "summary" or not isinstance(field.type, (Prose, Many, Table, Part)) or entry.kind not in PLURALS:
            top.extend(lines)
        else:
            rest.append(Section(field.anchor, field.label, lines))
    return (Section("", "", tuple(top)), *rest)


def linked_of(entry: Entry, library: Library) -> tuple[str, ...]:
    """How it is asked for, then what joined entries say: a fault's symptoms in the owner's words, the titles of what calls for
    a procedure, a sum or a stage."""
    lines = [*entry.asked]
    if isinstance(entry, Fault):
        for shows in entry.shows:
            symptom = library.symptoms.get(shows.symptom)
            if symptom is not None and shows.how_often in OFTEN:
                lines += [symptom.title, *symptom.also_called, *symptom.owner_words]
    joined = POINTED.get(entry.kind, ())
    for pointer in library.pointers(entry.kind, entry.id) if joined else ():
        if pointer.kind in joined and (other := library.get(pointer.kind, pointer.id)):
            lines.append(other.title)
    return tuple(dict.fromkeys(lines))


def _names(entry: Entry) -> list[str]:
    """Other names, former ids as words, the id itself as words, and a term's synonyms."""
    synonyms = [s.word for s in getattr(entry, "synonyms", ())]
    former = [id.replace("-", " ") for id in entry.was]
    known = entry.title.casefold()
    return [n for n in dict.fromkeys([*entry.also_called, *former, *synonyms]) if n.casefold() != known]


@dataclass(frozen=True, slots=True)
class _Writer:
    """Turns a field's value into lines of plain words."""

    library: Library

    def title_of(self, kind: str, id: str) -> str:
        entry = self.library.get(kind, id)
        return entry.title if entry else ""

    def lines(self, field: Field, value: Any, anchor: str) -> Iterator[Line]:
        """The lines of one field; records become a line for each of their worded fields, and one for their figures."""
        if value is None or value == () or value == {}:
            return
        weight = _WEIGHT.get(field.name, "body")
        match field.type:
            case Text() | Prose():
                for text in plain_lines(value, self.title_of):
                    yield Line(weight, text, anchor)
            case Choice():
                yield Line(weight, value, anchor)
            case Code(longest=longest) if longest <= 20:
                yield Line(weight, value, anchor)
            case Amount():
                yield Line(weight, f"{field.label}: {value.text}", anchor)
            case Ref(kind=kind):
                if title := self.title_of(kind, value):
                    yield Line(weight, title, anchor)
            case Many(of=of):
                yield from self._many(field, of, value, anchor)
            case Table(of=Part()):
                for record in value.values():
                    yield from self._record(record, anchor)
            case Part():
                yield from self._record(value, anchor)

    def _many(self, field: Field, of: Any, values: Any, anchor: str) -> Iterator[Line]:
        key = _ITEMS.get(field.name)
        for value in values:
            if isinstance(of, Part):
                own = f"{field.anchor}-{getattr(value, key)}" if key and not anchor and hasattr(value, key) else anchor
                yield from self._record(value, own)
            else:
                yield from self.lines(_of(field, of), value, anchor)

    def _record(self, record: Any, anchor: str) -> Iterator[Line]:
        figures: list[str] = []
        for name, field in table_of(type(record)).items():
            value = getattr(record, name)
            if name in _SILENT or value is None or (isinstance(field.type, Choice) and name not in _CHOICES):
                continue
            if isinstance(field.type, (Amount, Code)):
                figures.extend(line.text for line in self.lines(field, value, anchor))
            else:
                yield from self.lines(field, value, anchor)
        if figures:
            yield Line("body", ", ".join(figures), anchor)


def _of(field: Field, type: Any) -> Field:
    return Field(field.name, type, field.help, field.need, field.example, field.label)


def _tags(library: Library, _: str) -> dict[str, list[list[str]]]:
    """For each entry but findings the families and the stages it belongs to, for narrowing and for the family a job is open on."""
    tags: dict[str, tuple[set[str], set[str]]] = {}

    def tag(kind: str, id: str, family: str | None = None, stage: str | None = None) -> None:
        families, stages = tags.setdefault(f"{kind}/{id}", (set(), set()))
        families.update([family] if family else [])
        stages.update([stage] if stage else [])

    for stage in library.stages.values():
        tag("stage", stage.id, stage=stage.id)
        for known in stage.faults:
            tag("fault", known.fault, stage=stage.id)
        for procedure in stage.procedures:
            tag("procedure", procedure, stage=stage.id)
    for symptom in library.symptoms.values():
        for id in symptom.starts_in:
            tag("symptom", symptom.id, stage=id)
    for family in library.families.values():
        tag("family", family.id, family=family.id)
        for id in family.stages:
            tag("family", family.id, stage=id)
            tag("stage", id, family=family.id)
        for socket in family.tubes:
            tag("tube", socket.type, family=family.id)
        for item in library.family_faults(family.id):
            tag("fault", item.fault.id, family=family.id)
    return {name: [sorted(families), sorted(stages)] for name, (families, stages) in tags.items()}


def _meanings(library: Library) -> Iterator[list[Any]]:
    """Synonyms from the glossary, and the other type numbers of each tube."""
    for term in library.terms.values():
        both = [term.title, *(s.word for s in term.synonyms if s.way != "one")]
        one_way = [s.word for s in term.synonyms if s.way == "one"]
        if len(both) + len(one_way) > 1:
            yield [term.id, both, one_way]
    for tube in library.tubes.values():
        names = [n for n in (tube.title, *tube.also_called) if any(c.isdigit() for c in n) and " " not in n]
        if len(names) > 1:
            yield [f"tube-{tube.id}", names, []]


def _titles(library: Library, _: str) -> list[dict[str, str]]:
    return [{id: entry.title for id, entry in of.items()} for of in (library.families, library.stages)]


TAGS = Question("tags", _tags, kept=False)
TAGS_OF = Question("tags-of", lambda library, name: library.ask(TAGS).get(name, [[], []]))
MEANINGS = Question("meanings", lambda library, _: list(_meanings(library)))
TITLES = Question("titles", _titles)
"""Titles of families and of stages, by id."""

QUESTIONS = (TAGS, TAGS_OF, MEANINGS, TITLES)
