"""What the book promises of itself: how much of each kind there is, and that no entry is thin."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

from benchlore.linking.library import Library
from benchlore.linking.link import link
from benchlore.reading.shelf import read_shelves

KB = Path(__file__).resolve().parents[2] / "kb"
BUILDS = {"turret", "eyelet", "printed", "ribbon"}

# what a hazard looks like in the words of a step that is done with power off
CHARGED = re.compile(r"discharg|prove (it )?dead|proved dead|make safe", re.IGNORECASE)
# what no sentence may say, unless it says so in order to forbid it
NEVER = {
    "a lifted protective earth": re.compile(r"\b(lift|lifting|remove|defeat) (the )?(protective |mains |safety )?(earth|ground)\b(?! pin| wire| reading| lift)", re.IGNORECASE),
    "a larger fuse": re.compile(r"\b(larger|bigger) fuse\b", re.IGNORECASE),
    "a capacitor shorted by a screwdriver": re.compile(r"\b(short|bridge)\w* (it|them|a capacitor|the capacitors?) with a screwdriver", re.IGNORECASE),
}
FORBIDS = re.compile(r"\b(never|not|no|nobody|mistakes|people|if the owner|whoever|saves|will let|lets|would|without|when|steps up)\b", re.IGNORECASE)
PLACEHOLDER = re.compile(r"\b(TODO|TBD|FIXME|XXX|lorem ipsum)\b|\b_m\b")


@pytest.fixture(scope="module")
def shop() -> Library:
    """Both shelves, read and linked."""
    reading = read_shelves([KB / "reference", KB / "workshop"])
    linked = link(reading.entries, reading.broken)
    assert not [*reading.problems, *linked.problems]
    return linked.library


def test_how_much_there_is_on_the_reference_shelf(library: Library) -> None:
    """Sixteen output types, ten small-signal, eight rectifiers; twenty stages; ninety faults; fifty symptoms; eighteen procedures."""
    roles = Counter(tube.role for tube in library.tubes.values())
    assert roles["output"] >= 16 and roles["small signal"] >= 10 and roles["rectifier"] >= 8
    assert len(library.stages) >= 20 and len(library.faults) >= 90 and len(library.symptoms) >= 50 and len(library.procedures) >= 18
    assert {fastener.system for fastener in library.fasteners.values()} >= {"inch", "metric", "wood", "bushing"}


def test_every_fault_can_be_proved_two_ways(library: Library) -> None:
    """At least two checks, each with what passes and what fails; minutes, a mend, a proof of the mend, cautions, symptoms."""
    for fault in library.faults.values():
        assert len(fault.checks) >= 2, fault.id
        assert all(check.passes and check.fails and check.passes != check.fails and check.minutes for check in fault.checks), fault.id
        assert len(fault.shows) >= 2 and fault.cautions and fault.sources and len(fault.fix) >= 2 and len(fault.verify) >= 2, fault.id
        assert len(fault.seen) > 150 and len(fault.why) > 200, fault.id
        assert fault.like and fault.procedures, fault.id


def test_a_check_names_its_danger(library: Library) -> None:
    """With power on, or with the chassis open, a check says what can hurt: the volts, the heat, or that it must be proved dead."""
    for fault in library.faults.values():
        for check in fault.checks:
            where = f"{fault.id}/{check.key}"
            assert check.caution or check.power == "off", where
            assert check.caution or check.setup != "chassis out", where
            if check.setup == "live":
                assert re.search(r"\d|HT|mains|dead|near|same|look only|not on hot|leads", check.caution or "", re.IGNORECASE), where


def test_every_procedure_is_whole(library: Library) -> None:
    """Steps, reasons, an end, mistakes; each step with power on names its hazard; cautions wherever power, charge, heat or glass is met."""
    quiet = {"estimate-talking"}
    for procedure in library.procedures.values():
        assert len(procedure.steps) >= 8 and len(procedure.done_when) >= 2 and len(procedure.mistakes) >= 3, procedure.id
        assert procedure.cautions and procedure.minutes, procedure.id
        for step in procedure.steps:
            assert (step.hazard and step.warning) or step.power == "off", (procedure.id, step.do)
        if any(step.power == "on" for step in procedure.steps) and procedure.id not in quiet:
            assert {caution.hazard for caution in procedure.cautions} & {"high voltage", "mains", "stored charge"}, procedure.id


def test_whoever_opens_it_makes_it_safe_first(library: Library) -> None:
    """Every procedure that works inside begins with making safe, or says so in its steps or cautions."""
    for procedure in library.procedures.values():
        words = " ".join([*(s.do + (s.warning or "") for s in procedure.steps), *(c.words for c in procedure.cautions)])
        assert "making-safe" in procedure.before or CHARGED.search(words) or "unplug" in words.lower(), procedure.id


def test_after_a_live_step_it_is_made_safe_before_hands_go_in(library: Library) -> None:
    """A step that puts hands in after a live one says that it is off, unplugged or proved dead first."""
    hands = re.compile(r"\b(fit|pull|solder|unsolder|lift|exchange|replace|clip|measure|put|mend|cut|bend|tie|press)\b", re.IGNORECASE)
    safe = re.compile(r"make safe|made safe|dead|discharg|\boff\b|unplug|plug out", re.IGNORECASE)
    for procedure in library.procedures.values():
        live = False
        for step in procedure.steps:
            said = safe.search(f"{step.do} {step.warning or ''}")
            assert not (live and step.power == "off" and hands.search(step.do) and not said), (procedure.id, step.do)
            live = step.power == "on" or (live and not said)


def test_discharge_is_one_rule_everywhere(library: Library) -> None:
    """Proved dead means under 5 V, read on a meter that was proved; a resistor of 10k, 10 W; in every place that says a figure."""
    safe = library.procedures["making-safe"]
    words = " ".join([*(step.do for step in safe.steps), *(step.expect or "" for step in safe.steps), *safe.tools, *safe.done_when])
    assert "10k, 10 W" in words and "Under 5 V" in words and "Prove that the meter works" in words and "Prove the meter again" in words
    assert "screwdriver" in " ".join(safe.mistakes)
    others = [c.words for f in library.faults.values() for c in f.cautions if re.search(r"under \d+ V.*dead|dead.*under \d+ V", c.words)]
    assert all("under 5 V" in word for word in others)


def test_every_symptom_leads_somewhere(library: Library) -> None:
    """Owner's words, what to ask, what to look at, and at least two faults that give it."""
    giving = Counter(shown.symptom for fault in library.faults.values() for shown in fault.shows)
    for symptom in library.symptoms.values():
        assert len(symptom.owner_words) >= 3 and len(symptom.ask) >= 3 and len(symptom.first_look) >= 3 and symptom.cautions, symptom.id
        assert giving[symptom.id] >= 2, symptom.id


def test_every_stage_is_known_for_something(library: Library) -> None:
    """Marks to tell it by, figures with a range, faults, lead dress with what is heard, cautions."""
    for stage in library.stages.values():
        assert stage.how_to_tell and stage.usual_troubles and stage.figures and stage.faults and stage.lead_dress and stage.cautions, stage.id


def test_every_tube_tells_its_limits_and_looks(library: Library) -> None:
    """Pins, heater, a rating with its system and source, traps, what may replace it and what may not, and what glass and getter say."""
    for tube in library.tubes.values():
        assert tube.pins and tube.heater and tube.ratings and len(tube.traps) >= 2 and tube.cautions, tube.id
        assert {s.verdict for s in tube.substitutes} >= {"no"} and len(tube.looks) >= 5, tube.id
        assert all(rating.sources for rating in tube.ratings) and tube.pins_sources, tube.id


def test_every_number_has_a_source(library: Library) -> None:
    """Each entry names where its figures are from, or says common practice."""
    for entries in library.entries.values():
        for entry in entries.values():
            assert entry.sources, (entry.kind, entry.id)


def test_the_demonstration_shop(shop: Library) -> None:
    """Fourteen families of six makers and five technicians, 5 to 300 W, every way of biasing and building; 240 findings."""
    families = shop.families.values()
    assert len(families) >= 14 and len({f.maker for f in families}) >= 6
    assert len(shop.findings) == 240 and len({f.technician for f in shop.findings.values()}) == 5
    powers = [f.output.power.value for f in families]
    assert min(powers) == 5 and max(powers) == 300
    assert {build for build in BUILDS if any(build in f.construction for f in families)} == BUILDS
    assert len({f.idle.arrangement for f in families}) >= 4
    assert all(f.variants and f.opening and f.closing and f.hardware and f.lead_dress and f.weak_points and f.cautions for f in families)


def test_every_fastener_of_a_family_can_be_found_and_driven(shop: Library) -> None:
    """As many places as screws, on a view that the family has; a socket that fits the fastener; one protective earth; rings have an order."""
    for family in shop.families.values():
        views = {view.view for view in family.views}
        for piece in family.hardware:
            where = f"{family.id}/{piece.key}"
            assert len(piece.spots) == piece.count and {spot.view for spot in piece.spots} <= views, where
            assert piece.order or piece.count == 1, where
            assert piece.fastener is not None, where
            fastener = shop.fasteners[piece.fastener]
            sizes = re.findall(r"\d+(?:/\d+)?(?:\.\d+)? (?:mm|in)\b", piece.drive)
            flats = fastener.across_flats.text if fastener.across_flats else None
            assert not sizes or flats in sizes or "by make" in fastener.driver, where
        assert sum(bool(piece.earth) for piece in family.hardware) == 1, family.id
        assert all(len(pair.ends) == 2 and {end.view for end in pair.ends} <= views for pair in family.lead_dress), family.id


def test_what_opening_took_off_closing_puts_back(shop: Library) -> None:
    """Backs, panels, grilles, lids and tubes: common practice, and what is most often forgotten."""
    covers = r"\b(back|rear panel|rear grille|grille|lid|cover plate|bottom plate|boards go on|back boards?)\b"
    for family in shop.families.values():
        opened = " ".join(step.do for step in family.opening).lower()
        closed = " ".join(step.do for step in family.closing).lower()
        assert re.search(covers, closed), family.id
        if re.search(r"pull (the )?(both el34|them|kt66)|take them out|pull them|kt66 and gz37 cool, pull", opened):
            assert re.search(r"marked|places", closed), family.id


def test_live_steps_of_opening_and_closing_name_their_danger(shop: Library) -> None:
    """Whatever is read, tried or lit before an amp is closed says what can hurt."""
    live = re.compile(r"\b(currents (read|once)|then power|tried once|bias read|at idle)\b")
    for family in shop.families.values():
        for step in (*family.opening, *family.closing):
            assert not live.search(step.do) or (step.hazard and step.warning), (family.id, step.do)


def test_measuring_idle_says_how_to_keep_hands_out(shop: Library) -> None:
    """Each family's own way to the idle tells how the meter is put on, or what stands near it."""
    careful = re.compile(r"cold|clip|proved dead|one hand|insulated|power off|adaptor|test pin|while it is off|isolating", re.IGNORECASE)
    assert [family.id for family in shop.families.values() if not careful.search(family.idle.how_to_measure)] == []


def test_the_shop_is_not_one_known_story(shop: Library) -> None:
    """No combo with two EL84 whose idle is made cooler and whose speaker is exchanged."""
    for family in shop.families.values():
        if family.build == "combo" and family.idle.tube == "el84" and family.idle.tubes == 2:
            raise AssertionError(family.id)


@pytest.fixture(scope="module")
def sentences() -> list[tuple[str, str]]:
    """Every sentence of both shelves, with the file it stands in; lists of mistakes, of other names and of ways of asking left out."""
    found = []
    for path in sorted(KB.rglob("*.yaml")):
        whole = re.sub(r"^(?:also_called|asked):(?: \[[^\]]*\]|(?:\n +- .*)+)", "", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
        text = re.sub(r"\s+", " ", whole)
        text = re.sub(r"mistakes: .*?(?=(calculators|cautions): )", "", text)
        found += [(str(path.relative_to(KB)), sentence) for sentence in re.split(r"(?<=[.;:!?])\s", text)]
    return found


@pytest.mark.parametrize("what", sorted(NEVER))
def test_no_sentence_advises(sentences: list[tuple[str, str]], what: str) -> None:
    """Advice that kills stands nowhere but in a sentence that forbids it or tells what came of it."""
    said = [f"{path}: {sentence[:160]}" for path, sentence in sentences if NEVER[what].search(sentence) and not FORBIDS.search(sentence)]
    assert said == []


def test_nothing_was_left_to_be_filled_in(sentences: list[tuple[str, str]]) -> None:
    """No placeholder stands in an entry."""
    assert [f"{path}: {sentence[:160]}" for path, sentence in sentences if PLACEHOLDER.search(sentence)] == []


def test_a_speaker_winding_is_never_fed(library: Library) -> None:
    """A few volts there make hundreds on the primary: both places that test a transformer say so, and feed the primary."""
    procedure = library.procedures["output-transformer-testing"]
    assert any("secondary" in mistake for mistake in procedure.mistakes)
    check = next(c for c in library.faults["output-transformer-half-open"].checks if c.key == "ratio-low-volts")
    assert "feed each half of the primary" in check.do and "Never feed the speaker winding" in (check.how or "")
