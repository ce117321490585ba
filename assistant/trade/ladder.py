"""Where a ladder's feet stand."""

from assistant.trade.bounds import need_above_zero

SLOPE = 4.0
"""Feet of working length for each foot of base: 29 CFR 1926.1053(b)(5)(i) (standard)."""


def base_ft(working_length_ft: float) -> float:
    """Give the distance from the wall to the foot of a leaning ladder, in feet.

    Args:
        working_length_ft: from the foot to the top support along the ladder, above 0.

    Raises:
        TradeError: outside that range.

    Source: 29 CFR 1926.1053(b)(5)(i), a quarter of the working length (standard).
    """
    need_above_zero(working_length_ft=working_length_ft)
    return working_length_ft / SLOPE
