"""How sure a share is that was counted."""

import math

SURE = 1.96
"""Standard deviations on either side that hold 95 % of a normal distribution."""


def wilson(hits: int, tries: int, deviations: float = SURE) -> tuple[float, float]:
    """Give the interval that a counted share stands for.

    Args:
        hits: how often it was so.
        tries: out of how many.
        deviations: standard deviations on either side.

    Returns:
        The least and the greatest share, 0 to 1; 0 and 1 where nothing was counted.

    Source: E. B. Wilson, "Probable inference, the law of succession, and statistical inference",
    J. Am. Stat. Assoc. 22 (1927) 209-212.
    """
    if tries == 0:
        return 0.0, 1.0
    share, square = hits / tries, deviations**2
    middle = share + square / (2 * tries)
    reach = deviations * math.sqrt(share * (1 - share) / tries + square / (4 * tries**2))
    whole = 1 + square / tries
    least = (middle - reach) / whole if hits else 0.0
    most = (middle + reach) / whole if hits < tries else 1.0
    return least, most


def shared_deviations(comparisons: int) -> float:
    """Give the deviations that keep 95 % over several comparisons together.

    Args:
        comparisons: how many are made at once; at least 1.

    Source: the inequality of C. E. Bonferroni (1936), each comparison at 5 % over their number.
    """
    from statistics import NormalDist

    return NormalDist().inv_cdf(1 - 0.05 / (2 * max(1, comparisons)))
