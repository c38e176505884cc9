"""placeholder until the grammar lands (same names, same meaning)."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Quantity:
    low: float
    high: float
    unit: str
    text: str

    @property
    def value(self) -> float:
        return (self.low + self.high) / 2

    @property
    def is_range(self) -> bool:
        return self.low != self.high


@dataclass(frozen=True, slots=True)
class Unknown:
    text: str = "unknown"


UNKNOWN = Unknown()
