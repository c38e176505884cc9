"""What a saved job sheet knows of its finding. The file may come from anybody: it is bounded, and only ever text.

The owner's data on the sheet (name, contact, ticket, serial) is never looked at.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from benchlore.reading.files import NAME
from benchlore.writing import in_plain_words

LARGEST = 2_000_000
WHAT = "benchlore job"
WHOLE = re.compile(r"([0-9]{1,4})(?: ?min)?")
AMOUNT = re.compile(r"[0-9]{1,7}(?:\.[0-9]{1,2})?")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class NoJob(Exception):
    """The file is no job sheet's; the words say why."""


def finding_of(path: Path) -> dict[str, Any]:
    """The fields of a finding that a job file fills in, as ``draft`` takes them. Raises NoJob, MachineRefused."""
    with in_plain_words(f"read {path}"), path.open("rb") as stream:
        data = stream.read(LARGEST + 1)
    fields = _fields(data, str(path))
    found: dict[str, Any] = {
        "title": fields.get("finding-title", ""),
        "family": _id(fields.get("family", "")),
        "revision": fields.get("revision", ""),
        "symptoms": [id for id, value in _under(fields, "sign") if value == "present"],
        "absent": [id for id, value in _under(fields, "sign") if value == "absent"],
        "faults": [id for id, value in _under(fields, "fault") if value],
        "request": _line(fields.get("asked", "")),
        "fix": fields.get("work", "").strip(),
        "checks": [
            {"check": id, "result": value} for id, value in _under(fields, "check") if value in ("pass", "fail")
        ],
        "minutes": (WHOLE.fullmatch(fields.get("minutes", "").strip()) or ["", ""])[1],
        "parts_cost": (AMOUNT.fullmatch(fields.get("parts-cost", "").strip().replace(",", ".")) or [""])[0],
        "technician": fields.get("technician", "").strip()[:6],
        "date": (DAY.fullmatch(fields.get("date", "").strip()) or [""])[0],
        "learned": fields.get("learned", "").strip(),
    }
    return {name: value for name, value in found.items() if value or name in ("symptoms", "faults")}


def _fields(data: bytes, file: str) -> Mapping[str, str]:
    """The sheet's fields, each a text."""
    try:
        job = json.loads(data.decode("utf-8")) if len(data) <= LARGEST else None
        if job is None or job["what"] != WHAT or not isinstance(job["fields"], dict):
            raise ValueError
    except (ValueError, KeyError, TypeError, RecursionError):
        raise NoJob(f"{file} is no whole file of a job sheet; save it there by 'Save to a file'") from None
    return {key: value for key, value in job["fields"].items() if isinstance(value, str)}


def _under(fields: Mapping[str, str], name: str) -> list[tuple[str, str]]:
    """The fields ``name/ID`` by their ids (of a check ``FAULT/KEY``), none that could not be one."""
    begun = f"{name}/"
    items = [(key.removeprefix(begun), value) for key, value in fields.items() if key.startswith(begun)]
    return [(id, value) for id, value in items if all(NAME.fullmatch(part) for part in id.split("/"))]


def _id(text: str) -> str:
    return text if NAME.fullmatch(text) else ""


def _line(text: str) -> str:
    return " ".join(text.split())
