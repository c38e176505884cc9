"""The kinds of entry; the folder each lives in stands in ``folders``."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from benchlore.entries.calculator import Calculator
from benchlore.entries.common import Entry
from benchlore.entries.family import Family
from benchlore.entries.fastener import Fastener
from benchlore.entries.fault import Fault
from benchlore.entries.finding import Finding
from benchlore.entries.folders import FOLDER_OF, FOLDERS
from benchlore.entries.procedure import Procedure
from benchlore.entries.shop import Shop
from benchlore.entries.stage import Stage
from benchlore.entries.symptom import Symptom
from benchlore.entries.term import Term
from benchlore.entries.tube import Tube

__all__ = ["FOLDERS", "FOLDER_OF", "KINDS"]

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
