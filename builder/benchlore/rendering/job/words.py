"""Lines of the job sheet that come with no entry: what is always looked at, and what a touched part asks for."""

from __future__ import annotations

from collections.abc import Mapping

TOUCHED: Mapping[str, str] = {
    "tubes": "Tubes exchanged or moved",
    "bias": "Bias network changed or idle set",
    "speaker": "Speaker exchanged or taken out",
    "filter capacitors": "Filter capacitors replaced",
    "transformer": "Transformer replaced or its leads moved",
    "board": "Board or wiring soldered, ribbons or leads moved",
    "jacks": "Jacks or controls worked on",
    "reverb": "Reverb worked on",
    "mains wiring": "Mains side worked on: cord, inlet, fuse holder, switch, selector",
    "cabinet": "Cabinet worked on: handle, feet, baffle, cloth, panel",
}
"""What a fault's fix can touch, in the words of the sheet."""

ASKS: Mapping[str, tuple[str, ...]] = {
    "tubes": ("tube-looking-over", "idle-measuring"),
    "bias": ("idle-setting",),
    "speaker": ("speaker-exchanging", "speaker-polarity"),
    "filter capacitors": ("filter-capacitor-replacing", "first-power-up"),
    "transformer": ("output-transformer-testing", "first-power-up"),
    "board": ("soldering-boards",),
    "mains wiring": ("earth-and-insulation",),
}
"""Procedures whose 'done when' must hold before the amp is closed, by what was touched."""

CLOSING: Mapping[str, tuple[str, ...]] = {
    "tubes": ("Retainers and shields are on, and nothing leans on glass",),
    "bias": (
        "Idle measured again on every output tube after ten minutes with the real load, on the mains of the day",
        "Plate and screen volts are within the tube's limits with the new idle: they rise when the idle falls",
    ),
    "speaker": (
        "Polarity proved: the cone moves outwards with plus on the tip",
        "Load fits the tap that is plugged",
        "Screws drawn up cross-wise, in two rounds",
        "Gasket even all round, cone free, terminals clear of the frame",
    ),
    "filter capacitors": ("Polarity of every new capacitor looked at twice, and its volts against the highest mains",),
    "transformer": ("Transformer bolts tight, no lead pinched, feedback the right way round",),
    "board": ("New joints pressed with a wooden stick while it plays: no crackle, no change of hum",),
    "jacks": (
        "Each jack holds its plug, and nothing is heard while the cord is moved",
        "No jack or control turns on its leads when its nut is tried",
    ),
    "reverb": ("Reverb plugs on the right ends; no hum with the reverb control at noon",),
    "mains wiring": (
        "Live goes to the fuse first, earth lead is the longest, cord grip holds when pulled and twisted",
    ),
    "cabinet": ("No buzz from panel, baffle, cloth or corner while low notes are played",),
}
"""Lines of our own, by what was touched."""

ALWAYS: tuple[tuple[str, str], ...] = (
    ("handle", "Handle holds when the amp is lifted by it"),
    ("feet", "All feet are there and firm"),
    ("jacks", "Every jack tried with a plug that is moved"),
    ("baffle", "Baffle, back panel and cloth do not buzz on low notes"),
    ("clips", "Clips, discharge lead and tools are out; screws and washers are all used"),
    ("sweep", "Every control, channel, input and switch tried with the amp closed"),
    ("played", "Played for half an hour, closed, then heard again"),
)
"""Looked at before any amp is handed over: key and words."""

LOOKING: tuple[tuple[str, str], ...] = (
    ("scorched", "Scorched, bulged or swollen parts, browned board"),
    ("sockets", "Sockets: spread contacts, carbon tracks, cracked bodies"),
    ("wires", "Wires and ribbons: cracked, pinched, laid where they do not belong"),
    ("mains", "Mains cord, inlet, fuse and earth screw"),
    ("loose", "Loose hardware and signs of earlier work"),
)
"""What is looked over inside besides the tubes: key and words."""

SAFE_WITHOUT_BOOK: tuple[tuple[str, str], ...] = (
    ("Pull the mains plug at both ends and keep it in sight.", "mains"),
    (
        "Prove the meter on a known source, then measure every filter capacitor and discharge it through a resistor until it reads under 5 V.",
        "stored charge",
    ),
    ("Prove the meter again, and leave the discharge lead clipped on while you work.", "stored charge"),
)
"""Steps of making safe where the book has no procedure for it: words and hazard."""
