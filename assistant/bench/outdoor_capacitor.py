"""What ohms and microfarads show between the terminals of a run capacitor, dual or single."""

from assistant.bench.outdoor_unit import OutdoorCapacitor
from assistant.trade.capacitor import series_uf

FAN = frozenset({"dual_common", "dual_fan"})
HERM = frozenset({"dual_common", "dual_herm"})
ENDS = frozenset({"dual_fan", "dual_herm"})
SINGLE = frozenset({"capacitor_1", "capacitor_2"})


def capacitor_ohms(part: OutdoorCapacitor, first: str, second: str) -> tuple[float | None, bool]:
    """Give the ohms between two terminals, wires off, and whether both are its terminals.

    Args:
        part: the capacitor.
        first: a place.
        second: another.

    Returns:
        Ohms or None for no path, and False where the places are no pair of terminals.
    """
    pair = frozenset({first, second})
    shorts = (part.short_ohms, part.herm_short_ohms)
    if pair in (FAN, SINGLE):
        return (None if part.has_open_common else shorts[0]), True
    if pair == HERM:
        return (None if part.has_open_common else shorts[1]), True
    if pair == ENDS:
        both = None if None in shorts else sum(one for one in shorts if one is not None)
        return both, True
    return None, False


def capacitor_uf(part: OutdoorCapacitor, first: str, second: str) -> float | None:
    """Give the microfarads between two terminals, wires off; None: over limit, as with a short.

    HERM to FAN reads both sections in a row; a section that is shorted leaves the other one.

    Args:
        part: the capacitor.
        first: a place.
        second: another.
    """
    pair = frozenset({first, second})
    fan = None if part.short_ohms is not None else part.uf
    herm = None if part.herm_short_ohms is not None else part.herm_uf
    if pair == ENDS:
        return _in_a_row(fan, herm)
    if pair in (FAN, SINGLE):
        return 0.0 if part.has_open_common else fan
    if pair == HERM:
        return 0.0 if part.has_open_common else herm
    return 0.0


def _in_a_row(fan: float | None, herm: float | None) -> float | None:
    if fan is None or herm is None:
        return fan if herm is None else herm
    return series_uf((fan, herm)) if fan and herm else 0.0
