"""Every topic that the reference shelf and the demonstration shop were asked to cover, with the entries that cover it.

A row is a topic, the words by which an entry shows that it speaks of it, and the entries.  No source: the list is the brief's own,
and the words are common practice.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

KB = Path(__file__).resolve().parents[2] / "kb"
OUTPUT = ["6aq5", "6ca7", "6k6gt", "6l6gb", "6l6gc", "6v6gt", "5881", "6550", "7189", "7591", "ecl82", "ecl86", "el34", "el84", "el86", "kt66", "kt77", "kt88"]
SMALL = ["12at7", "12au7", "12ax7", "12ay7", "5751", "6eu7", "6sc7", "6sl7gt", "6sn7gt", "ecc88", "ef86"]
RECTIFIERS = ["5r4gyb", "5u4gb", "5v4g", "5y3gt", "6x4", "ez80", "ez81", "gz34", "gz37"]

# topic, what its entries must say, kind, entries
TOPICS: list[tuple[str, str, str, list[str]]] = [
    # ---- tubes
    ("output types with a rating system", r"system: (design centre|design maximum|absolute maximum|not stated)", "tubes", OUTPUT),
    ("small-signal types with a rating system", r"system: (design centre|design maximum|absolute maximum|not stated)", "tubes", SMALL),
    ("rectifiers with a rating system", r"system: (design centre|design maximum|absolute maximum|not stated)", "tubes", RECTIFIERS),
    ("the traps of rating systems", r"(?i)design.(centre|maximum)|rating system|two systems", "tubes", ["el84", "6l6gc", "6v6gt", "kt77", "12ax7"]),
    ("published operating points", r"points:", "tubes", ["el84", "el34", "6v6gt", "6l6gc", "6550", "kt66", "12ax7", "12au7", "ef86", "ez80", "gz34"]),
    ("what substitutes and what does not", r"substitutes:(?s:.)*verdict: no", "tubes", OUTPUT + SMALL + RECTIFIERS),
    ("getter, haze and rattle", r"(?s)getter.*(haze|gas|air).*(rattle|tick|loose)", "tubes", ["el84", "el34", "6l6gc", "kt88"]),
    ("red plate", r"red", "tubes", ["el84", "el34", "6v6gt", "6l6gc", "6550", "kt88"]),
    # ---- stages
    ("fixed bias without adjustment", r"(?i)fixed", "stages", ["fixed-bias-unadjusted"]),
    ("fixed bias with adjustment", r"(?i)trimmer|adjust", "stages", ["fixed-bias-adjustable"]),
    ("cathode bias", r"(?i)cathode", "stages", ["cathode-bias-output"]),
    ("single-ended", r"(?i)single", "stages", ["single-ended-output"]),
    ("phase splitters", r"(?i)split", "stages", ["long-tailed-pair", "cathodyne", "paraphase"]),
    ("spring reverb driver and recovery", r"(?is)driver.*recovery|recovery.*driver", "stages", ["spring-reverb"]),
    ("bias-vary tremolo", r"(?i)bias", "stages", ["tremolo-bias-vary"]),
    ("opto tremolo", r"(?i)lamp|light", "stages", ["tremolo-opto"]),
    ("effects loop", r"(?i)send", "stages", ["effects-loop"]),
    ("channel switching by relay, opto and JFET", r"(?i)relay|opto|field-effect|JFET", "stages", ["switching-relay", "switching-opto", "switching-jfet"]),
    ("solid-state and tube rectifiers", r"(?i)rectif", "stages", ["rectifier-solid-state", "rectifier-tube"]),
    ("standby", r"(?i)standby", "stages", ["standby-switch"]),
    ("DC heater supply", r"(?i)heater", "stages", ["heater-dc", "heater-ac"]),
    ("low-voltage supply for op-amps", r"(?i)op-amp", "stages", ["low-voltage-supply"]),
    ("ribbon-joined boards", r"(?i)ribbon", "stages", ["boards-ribbon-joined"]),
    ("board-mounted sockets", r"(?i)socket", "stages", ["boards-socket-mounted"]),
    ("negative feedback and presence", r"(?is)feedback.*presence|presence.*feedback", "stages", ["feedback-presence"]),
    ("direct out", r"(?i)direct", "stages", ["direct-out"]),
    ("power reduction", r"(?i)power", "stages", ["power-reduction"]),
    # ---- faults
    ("hum from heaters", r"(?i)hum", "faults", ["heater-lead-dress", "heater-center-lost", "tube-heater-cathode-leak", "heater-dc-rectifier-failed"]),
    ("hum from grounds", r"(?i)hum", "faults", ["ground-joint-loose", "ground-loop-internal", "input-jack-ground-lost", "reverb-grounding-hum"]),
    ("hum from the supply", r"(?i)hum", "faults", ["filter-dried", "bias-capacitor-dried", "rectifier-tube-worn"]),
    ("hum from lead dress", r"(?i)hum", "faults", ["transformer-lead-dress", "ribbon-lead-dress", "heater-lead-dress"]),
    ("hum from a tube", r"(?i)hum", "faults", ["tube-mismatched-pair", "tube-heater-cathode-leak"]),
    ("squeal and oscillation", r"(?i)squeal|whistle|oscillat", "faults", ["output-lead-dress", "high-frequency-instability", "grid-stopper-missing", "feedback-reversed"]),
    ("motorboating", r"(?i)motorboat|putt", "faults", ["supply-decoupling-open", "filter-dried"]),
    ("crackle", r"(?i)crackl", "faults", ["plate-resistor-noisy", "tube-noisy", "solder-cracked-joint", "jack-dirty", "pot-worn"]),
    ("thump", r"(?i)thump", "faults", ["standby-switch-failed", "low-voltage-regulator-failed", "opamp-failed"]),
    ("loss of power", r"(?i)power", "faults", ["tube-worn-output", "screen-resistor-open", "output-transformer-half-open", "load-mismatched"]),
    ("no sound", r"(?i)silen|no sound", "faults", ["speaker-open", "choke-open", "dropper-open", "cathode-resistor-open", "standby-switch-failed"]),
    ("blown fuses", r"(?i)fuse", "faults", ["mains-fuse-wrong", "rectifier-diode-shorted", "rectifier-tube-shorted", "filter-shorted", "power-transformer-shorted-turns"]),
    ("red plates", r"(?i)\bred\b|glow", "faults", ["bias-supply-dead", "grid-leak-open", "coupling-leaky-output", "bias-too-hot-stock", "cathode-bypass-shorted"]),
    ("uneven tubes", r"(?i)pair", "faults", ["tube-mismatched-pair", "grid-leak-open", "phase-splitter-unbalanced"]),
    ("lost vacuum and cracked glass", r"(?i)crack", "faults", ["tube-lost-vacuum"]),
    ("worn sockets", r"(?i)contact", "faults", ["socket-worn", "socket-board-cracked", "socket-screws-loose"]),
    ("arcs", r"(?i)\barc", "faults", ["tube-arcing-inside", "socket-dirty-carbon-track", "output-transformer-arcing", "standby-switch-failed"]),
    ("leaking and dried capacitors", r"(?i)leak|dried|dry", "faults", ["filter-leaking", "filter-dried", "coupling-leaky-preamp", "coupling-leaky-output", "cathode-bypass-dried", "bias-capacitor-dried"]),
    ("drifted resistors", r"(?i)drift", "faults", ["plate-resistor-drifted", "cathode-resistor-drifted", "screen-resistor-drifted", "dropper-drifted", "bias-supply-drifted"]),
    ("cracked joints and boards", r"(?i)crack", "faults", ["solder-cracked-joint", "jack-cracked-solder", "socket-board-cracked", "ribbon-cracked", "board-trace-burnt", "board-conductive-leak"]),
    ("failing pots", r"(?i)\bpot|track|trimmer", "faults", ["pot-worn", "pot-dc-on-track", "pot-bushing-loose", "pot-nut-loose", "bias-pot-worn"]),
    ("failing jacks", r"(?i)jack", "faults", ["jack-dirty", "jack-cracked-solder", "jack-switch-contact", "jack-nut-loose", "loop-jack-oxide", "speaker-jack-corroded"]),
    ("failing switches and relays", r"(?i)switch|relay|selector", "faults", ["relay-contact-worn", "optocoupler-failed", "jfet-switch-failed", "footswitch-faulty", "mains-switch-failed", "output-selector-worn"]),
    ("transformers: shorted turns, open half", r"(?i)turns|half", "faults", ["output-transformer-shorted-turns", "power-transformer-shorted-turns", "output-transformer-half-open"]),
    ("reverb tanks and cables", r"(?i)tank|reverb", "faults", ["reverb-tank-open", "reverb-cable-bad", "reverb-spring-off", "reverb-driver-fault"]),
    ("tremolo", r"(?i)tremolo", "faults", ["tremolo-oscillator-weak", "tremolo-opto-failed", "tremolo-tick-dress"]),
    ("speakers: rub, open, loose surround, torn", r"(?i)cone|coil", "faults", ["speaker-voice-coil-rub", "speaker-open", "speaker-surround-loose", "speaker-cone-torn", "speaker-tinsel-broken", "speaker-dust-cap-loose"]),
    ("baffle and cabinet rattles", r"(?i)rattle|buzz", "faults", ["baffle-loose", "back-panel-rattle", "grille-cloth-loose", "logo-trim-rattle", "corner-hardware-loose", "casters-loose"]),
    ("handles and feet", r"(?i)handle|feet|foot", "faults", ["handle-loose-fixing", "feet-missing"]),
    ("covering that grips the chassis", r"(?i)covering", "faults", ["covering-grips-chassis"]),
    ("foil that tears", r"(?is)foil.*t(ea|o)r", "faults", ["shielding-foil-torn"]),
    ("flanges pulled out of square and how to ease them", r"(?is)flange.*(square|bend)", "faults", ["chassis-flange-bent"]),
    # ---- procedures
    ("making safe and proving dead", r"(?i)prove", "procedures", ["making-safe"]),
    ("first power-up with a lamp limiter", r"(?i)limiter", "procedures", ["first-power-up"]),
    ("measuring idle three ways", r"(?s)Way one.*Way two.*Way three", "procedures", ["idle-measuring"]),
    ("setting and cooling the idle", r"(?i)cool", "procedures", ["idle-setting"]),
    ("replacing filter capacitors", r"(?i)bias capacitor sits the other way round", "procedures", ["filter-capacitor-replacing"]),
    ("protective-earth and insulation checks", r"(?is)earth.*insulation", "procedures", ["earth-and-insulation"]),
    ("freeing and lifting out a chassis without tearing", r"(?is)covering.*foil.*flange", "procedures", ["chassis-freeing"]),
    ("exchanging a speaker", r"(?i)speaker", "procedures", ["speaker-exchanging"]),
    ("tightening by feel and by torque", r"(?is)torque.*feel|feel.*torque", "procedures", ["tightening-in-order"]),
    ("going round every fastener", r"(?i)loose", "procedures", ["fastener-round"]),
    ("lead dress", r"(?i)lead", "procedures", ["lead-dress-checking"]),
    ("looking over tubes", r"(?i)getter", "procedures", ["tube-looking-over"]),
    ("chasing hum by stages", r"(?i)stage", "procedures", ["hum-chasing"]),
    ("chasing microphonics", r"(?i)ring", "procedures", ["microphonics-chasing"]),
    ("output-transformer tests", r"(?is)ratio.*insulation|insulation.*ratio", "procedures", ["output-transformer-testing"]),
    ("speaker polarity", r"(?i)cell", "procedures", ["speaker-polarity"]),
    ("comparing with known-good tubes and a known cabinet", r"(?is)tubes.*cabinet", "procedures", ["comparing-known-good"]),
    ("talking the owner through the estimate", r"(?i)range", "procedures", ["estimate-talking"]),
    # ---- fasteners
    ("inch threads", r"system: inch", "fasteners", ["unc-4-40", "unc-6-32", "unc-8-32", "unc-10-24", "unc-10-32", "unc-1-4-20"]),
    ("metric threads", r"system: metric", "fasteners", ["m3", "m4", "m5", "m6", "m8"]),
    ("nuts", r"(?i)nut", "fasteners", ["nut-captive-washer-6", "nut-captive-washer-8", "bushing-3-8-32", "bushing-m7", "bushing-m9", "bushing-m10"]),
    ("driver and socket sizes", r"(?m)^driver: ", "fasteners", ["unc-8-32", "m4", "wood-8", "bushing-m9"]),
    ("usual places", r"(?m)^places:", "fasteners", ["unc-8-32", "m4", "wood-8", "bushing-m9"]),
    ("torque from the nut factor, with its limits", r"(?i)nut factor|K D F|T = K", "fasteners", ["unc-8-32", "m4"]),
    ("the limits of torque", r"(?i)nut factor", "calculators", ["torque"]),
]


@pytest.mark.parametrize(("topic", "says", "kind", "entries"), TOPICS, ids=[row[0] for row in TOPICS])
def test_a_topic_is_covered(topic: str, says: str, kind: str, entries: list[str]) -> None:
    """Each entry named is there and speaks of the topic."""
    for entry in entries:
        path = KB / "reference" / kind / f"{entry}.yaml"
        assert path.is_file(), (topic, entry)
        assert re.search(says, path.read_text(encoding="utf-8")), (topic, entry)
