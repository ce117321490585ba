"""Static pressure: the total across a unit, the drop of a part, its share, the system curve."""

import math

from assistant.trade.bounds import TradeError, need_above_zero, need_within, need_zero_or_more

BUDGET_TOTAL_INWC = 0.5
BUDGET_INWC = {
    "coil": (0.20, 0.25),
    "filter": (0.0, 0.10),
    "supply": (0.08, 0.10),
    "return": (0.08, 0.10),
}
"""Shares of a 0.50 in. w.c. budget, least and most (common practice, no source)."""
SUSPECT_SHARE_PERCENT = {"filter": 20.0, "coil": 40.0}
"""Past this share of the total a part is the first suspect (common practice, no source)."""
_MOST_INWC = 20.0


def total_external_inwc(supply_inwc: float, return_inwc: float) -> float:
    """Give the total external static pressure, in inches of water.

    Args:
        supply_inwc: supply side against the room, -20 to 20; the sign does not matter.
        return_inwc: return side against the room, -20 to 20; the sign does not matter.

    Raises:
        TradeError: outside those ranges.

    Source: sum of magnitudes across the unit (handbook).
    """
    need_within(-_MOST_INWC, _MOST_INWC, supply_inwc=supply_inwc, return_inwc=return_inwc)
    return abs(supply_inwc) + abs(return_inwc)


def component_drop_inwc(upstream_inwc: float, downstream_inwc: float) -> float:
    """Give the drop across a part, in inches of water; both readings with their sign.

    Args:
        upstream_inwc: where the air enters the part, -20 to 20.
        downstream_inwc: where it leaves, -20 to 20, not above upstream.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_within(
        -_MOST_INWC, _MOST_INWC, upstream_inwc=upstream_inwc, downstream_inwc=downstream_inwc
    )
    if downstream_inwc > upstream_inwc:
        raise TradeError(
            f"The pressure rises from {upstream_inwc:g} to {downstream_inwc:g} across the part.",
            "Give the upstream reading first, and each with its sign.",
        )
    return upstream_inwc - downstream_inwc


def share_percent(drop_inwc: float, total_inwc: float) -> float:
    """Give a part's share of the total, in percent.

    Args:
        drop_inwc: across the part, 0 or more.
        total_inwc: total external static pressure, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(drop_inwc=drop_inwc)
    need_above_zero(total_inwc=total_inwc)
    return drop_inwc / total_inwc * 100


def is_suspect(part: str, drop_inwc: float, total_inwc: float) -> bool:
    """Tell whether a filter takes over 20 percent of the total, or a coil over 40.

    Args:
        part: `filter` or `coil`.
        drop_inwc: across the part, 0 or more.
        total_inwc: total external static pressure, above 0.

    Raises:
        TradeError: for another part, or outside those ranges.

    Source: common practice, no source.
    """
    if part not in SUSPECT_SHARE_PERCENT:
        raise TradeError(f"'{part}' has no share of its own.", "Give filter or coil.")
    return share_percent(drop_inwc, total_inwc) > SUSPECT_SHARE_PERCENT[part]


def system_curve_inwc(cfm: float, static_inwc: float, new_cfm: float) -> float:
    """Give the static pressure of the same ducts at another airflow, in inches of water.

    Args:
        cfm: airflow at `static_inwc`, above 0.
        static_inwc: static pressure, 0 or more.
        new_cfm: the other airflow, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: square law of turbulent flow (handbook).
    """
    need_above_zero(cfm=cfm)
    need_zero_or_more(static_inwc=static_inwc, new_cfm=new_cfm)
    return static_inwc * (new_cfm / cfm) ** 2


def system_curve_cfm(cfm: float, static_inwc: float, new_static_inwc: float) -> float:
    """Give the airflow of the same ducts at another static pressure, in cfm.

    Args:
        cfm: airflow at `static_inwc`, 0 or more.
        static_inwc: static pressure, above 0.
        new_static_inwc: the other static pressure, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: square law of turbulent flow (handbook).
    """
    need_above_zero(static_inwc=static_inwc)
    need_zero_or_more(cfm=cfm, new_static_inwc=new_static_inwc)
    return cfm * math.sqrt(new_static_inwc / static_inwc)
