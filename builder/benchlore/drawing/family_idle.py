"""The idle chart of a family: its measured point against its tube's limit and its own aim."""

from __future__ import annotations

from benchlore.drawing.cases import measured
from benchlore.drawing.idle import idle_chart
from benchlore.drawing.sheet import Drawn, Sheet, finished
from benchlore.entries.family import Family, Idle
from benchlore.linking.library import Library
from benchlore.quantity import Quantity, Unknown


def family_idle(library: Library, family: Family) -> Drawn | None:
    """The chart, or None where the tube's limit is not known."""
    idle, tube = family.idle, library.tubes.get(family.idle.tube)
    rating = tube.rating if tube else None
    if rating is None or rating.plate_dissipation is None:
        return None
    limit = rating.plate_dissipation.value
    volts = idle.plate_volts.value - _value(idle.cathode_volts)
    current = idle.cathode_current.value - _value(idle.screen_current)
    if volts <= 0 or current <= 0:
        return None
    least = most = current
    if isinstance(idle.stock_share, Quantity) and idle.stock_share.is_range:
        least, most = (share * limit / volts for share in (idle.stock_share.low, idle.stock_share.high))
    values = {
        "limit": limit,
        "plate_to_cathode": volts,
        "plate_current": current,
        "low_share": idle.aim.low,
        "high_share": idle.aim.high,
        "slope": _slope(idle, current),
        "volts_limit": rating.plate_volts.value if rating.plate_volts else 0.0,
    }
    sheet = Sheet()
    idle_chart(sheet, measured(values), least, most)
    return finished(sheet)


def _slope(idle: Idle, current: float) -> float:
    """Volts by which the plates rise for each ampere of plate current less in one tube."""
    if idle.supply_resistance is None:
        return 0.0
    return idle.supply_resistance.value * idle.tubes * idle.cathode_current.value / current


def _value(quantity: Quantity | Unknown | None) -> float:
    """What is not known counts as nothing; the page says so beside the figure."""
    return quantity.value if isinstance(quantity, Quantity) else 0.0
