"""The folder that each kind of entry lives in; apart from the kinds, so that who only lists files loads none of them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

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
