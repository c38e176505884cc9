"""A few entries as search sees them, small enough to know by heart."""

from __future__ import annotations

from benchlore.searching.document import Document, Documents, Line, Meaning, Section
from benchlore.searching.finding import FindOutcome, find
from benchlore.searching.indexing import index_of
from benchlore.searching.store import Store, in_memory


def entry(kind: str, id: str, title: str, *lines: str, names: tuple[str, ...] = (), owner: tuple[str, ...] = (), families: tuple[str, ...] = ()) -> Document:
    """An entry with a top (title, names, owner's words) and one section of lines with the anchor ``seen``."""
    top = [Line("title", title), *(Line("names", n) for n in names), *(Line("owner", o) for o in owner)]
    sections = [Section("", "", tuple(top))]
    if lines:
        sections.append(Section("seen", "What is seen", tuple(Line("body", line) for line in lines)))
    folder = {"family": "families", "fault": "faults", "symptom": "symptoms", "tube": "tubes", "term": "terms"}[kind]
    return Document(kind, id, title, f"{folder}/{id}.html", tuple(sections), families, ())


MEANINGS = (
    Meaning("tube", ("tube", "valve")),
    Meaning("plate", ("plate", "anode")),
    Meaning("capacitor", ("capacitor", "cap"), ("condenser",)),
    Meaning("output-transformer", ("output transformer", "OT")),
    Meaning("intermittent", ("intermittent", "cuts out")),
    Meaning("tube-12ax7", ("12AX7", "ECC83", "7025")),
)

DOCUMENTS = Documents(
    (
        entry("family", "heron-30", "Heron 30", "A pair of 6V6GT at 400 V on the plates. Bolts are #6-32.", families=("heron-30",)),
        entry("family", "tern-50", "Tern 50", "Two EL34; the dropping resistor is 4k7, the grid leaks 47k.", families=("tern-50",)),
        entry("symptom", "hum-steady-low", "Steady low hum", owner=("it hums with everything turned down",)),
        entry("symptom", "motorboating", "Motor-boating", owner=("putt putt putt",)),
        entry("symptom", "squeal-high", "Squeal", "Oscillation above hearing heats the tubes.", owner=("it howls when I dig in",)),
        entry("symptom", "cuts-out", "Intermittent sound", owner=("it comes and goes",)),
        entry("fault", "filter-dried", "Dried filter capacitor", "Low hum. The can is 22 uF at 450 V.", families=("heron-30",)),
        entry("fault", "bias-drifted", "Bias has drifted", "The tubes are biased too hot.", "Noise and humming follow.", families=("tern-50",)),
        entry("fault", "ot-open", "Output transformer open", "The OT has one half of its primary open."),
        entry("fault", "dropper", "Dropping resistor burnt", "It was 470k where 47k belongs; measure B+ at node 2."),
        entry("tube", "12ax7", "12AX7", "A double triode.", names=("ECC83", "7025")),
        entry("tube", "12au7", "12AU7", "A double triode of less gain."),
        entry("tube", "el84", "EL84", "A small output pentode.", names=("6BQ5",)),
        entry("tube", "el34", "EL34", "A larger output pentode."),
    ),
    MEANINGS,
    {"heron-30": "Heron 30", "tern-50": "Tern 50"},
    {},
)


def small_store() -> Store:
    """The shelf, counted, in memory."""
    return in_memory(index_of(DOCUMENTS))


def ask(words: str, store: Store | None = None, **options: str | int | None) -> FindOutcome:
    """What is found for ``words``."""
    return find(store or small_store(), words, **options)  # type: ignore[arg-type]


def ids(words: str, store: Store | None = None, **options: str | int | None) -> list[str]:
    """The ids of what is found, best first."""
    return [one.id for one in ask(words, store, **options).results]
