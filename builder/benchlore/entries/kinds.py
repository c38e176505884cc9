"""The kinds of entry, and the folder each lives in."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from benchlore.entries.calculator import Calculator
from benchlore.entries.common import Entry
from benchlore.entries.family import Family
from benchlore.entries.fastener import Fastener
from benchlore.entries.fault import Fault
from benchlore.entries.finding import Finding
from benchlore.entries.procedure import Procedure
from benchlore.entries.shop import Shop
from benchlore.entries.stage import Stage
from benchlore.entries.symptom import Symptom
from benchlore.entries.term import Term
from benchlore.entries.tube import Tube

KINDS: Mapping[str, type[Entry]] = MappingProxyType(
    {
        "family": Family,
        "stage": Stage,
        "fault": Fault,
        "symptom": Symptom,
        "tube": Tube,
        "procedure": Procedure,
        "calculator": Calculator,
        "finding": Finding,
        "shop": Shop,
        "term": Term,
        "fastener": Fastener,
    }
)

FOLDERS: Mapping[str, str] = MappingProxyType(
    {
        "families": "family",
        "stages": "stage",
        "faults": "fault",
        "symptoms": "symptom",
        "tubes": "tube",
        "procedures": "procedure",
        "calculators": "calculator",
        "findings": "finding",
        "terms": "term",
        "fasteners": "fastener",
    }
)
"""Folder of a shelf to kind. The shop is the one file ``shop.yaml`` at the shelf's root."""

FOLDER_OF: Mapping[str, str] = MappingProxyType({kind: folder for folder, kind in FOLDERS.items()})
