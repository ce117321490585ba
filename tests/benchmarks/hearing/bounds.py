"""How large a share may be when few were seen: Clopper and Pearson's upper bound.

Source: C. J. Clopper and E. S. Pearson, "The use of confidence or fiducial limits illustrated in
the case of the binomial", Biometrika 26 (1934). One-sided: with none seen it is the "rule of
three", about 3 divided by the trials.
"""

from math import exp, lgamma, log, log1p

_STEPS = 60


def _chance_of_at_most(seen: int, trials: int, share: float) -> float:
    """Give the binomial chance of `seen` or fewer."""
    if share <= 0:
        return 1.0
    if share >= 1:
        return 1.0 if seen >= trials else 0.0
    whole = lgamma(trials + 1)
    return sum(
        exp(
            whole
            - lgamma(k + 1)
            - lgamma(trials - k + 1)
            + k * log(share)
            + (trials - k) * log1p(-share)
        )
        for k in range(seen + 1)
    )


def upper_bound(seen: int, trials: int, doubt: float = 0.05) -> float:
    """Give the largest share that is not ruled out.

    Args:
        seen: how often it happened.
        trials: how often it could have.
        doubt: 0.05 for the one-sided 95 % bound.

    Returns:
        A share from 0 to 1; 1 where there were no trials.
    """
    if trials == 0 or seen >= trials:
        return 1.0
    low, high = seen / trials, 1.0
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if _chance_of_at_most(seen, trials, middle) > doubt:
            low = middle
        else:
            high = middle
    return high
