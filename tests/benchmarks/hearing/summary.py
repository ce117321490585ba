"""Counts of results, for a quick look and for the table."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from functools import partial
from statistics import mean, quantiles

from bounds import upper_bound
from scoring import Count, Outcome

Result = dict[str, object]


def is_reading(result: Result) -> bool:
    """Whether a number or OL was meant."""
    truth = result["truth"]
    return isinstance(truth, dict) and bool(truth["unit"])


def count(results: Sequence[Result]) -> Count:
    """Count outcomes."""
    return Count.of([str(one["outcome"]) for one in results])


def _text(field: str, result: Result) -> str:
    return str(result[field])


def grouped(results: Sequence[Result], key: Callable[[Result], str]) -> dict[str, list[Result]]:
    """Give the results by a key, in the order in which keys are met."""
    groups: dict[str, list[Result]] = defaultdict(list)
    for result in results:
        groups[key(result)].append(result)
    return groups


def group_of(result: Result) -> str:
    """Give what was said: `values`, `paused` (values with a pause in them) or `others`."""
    if not is_reading(result):
        return "others"
    return "paused" if result["style"] == "broken" else "values"


def set_of(result: Result) -> str:
    """Give what is never counted together: part, kind, and what was said."""
    return f"{result['part']} {result['kind']} {group_of(result)}"


def ratio_of(result: Result) -> str:
    """Give the ratio in words."""
    snr = result["snr"]
    return "clean" if snr is None else f"{float(str(snr)):.0f} dB"


RATIOS = ("clean", "20 dB", "10 dB", "5 dB", "0 dB")


def share(part: int, whole: int) -> str:
    """Give a share as "93.1 % (67)"."""
    return f"{100 * part / max(whole, 1):.1f} % ({part})"


def wrong(counted: Count) -> str:
    """Give the wrong ones with the bound: "2, below 0.63 %"."""
    bound = upper_bound(counted.wrong, counted.trials)
    return f"{counted.wrong}, below {100 * bound:.2f} %"


def spread(values: Sequence[float]) -> tuple[float, float]:
    """Give the median and the 95th percentile."""
    if len(values) < 2:
        return (values[0], values[0]) if values else (0.0, 0.0)
    cuts = quantiles(values, n=20, method="inclusive")
    return cuts[9], cuts[18]


def numbers(results: Sequence[Result], field: str) -> list[float]:
    """Give one field of each result."""
    return [float(str(one[field])) for one in results]


def row(name: str, results: Sequence[Result]) -> str:
    """Give one line of counts."""
    found = count(results)
    bound = 100 * upper_bound(found.wrong, found.trials)
    soon = 100 * (found.at_once + found.after_one) / max(found.trials, 1)
    turns = mean(numbers(results, "turns")) if results else 0
    return (
        f"{name:34} {found.trials:5} {found.at_once:5} {found.after_one:5} {found.after_more:5} "
        f"{found.refused:5} {found.wrong:5} {bound:8.2f} {soon:8.1f} {turns:6.2f}"
    )


_HEADS = (
    f"{'':34} {'all':>5} {'once':>5} {'one':>5} {'more':>5} {'none':>5} {'wrong':>5} "
    f"{'bound %':>8} {'soon %':>8} {'turns':>6}"
)
"""`one`: right after one question; `soon`: right at once or after one; `bound`: of wrong, 95 %."""


def print_summary(results: list[Result], *, with_mistakes: bool = False) -> None:
    """Print counts by part, kind, reading or not, and ratio; then by what varies beside it."""
    print(_HEADS)
    by_set = grouped(results, set_of)
    for name, members in by_set.items():
        ratios = grouped(members, ratio_of)
        for ratio in RATIOS:
            if ratio in ratios:
                print(row(f"{name} {ratio}", ratios[ratio]))
    values = [one for one in results if group_of(one) == "values"]
    for field in ("noise", "voice", "distance", "band", "style"):
        for name, members in sorted(grouped(values, partial(_text, field)).items()):
            print(row(f"values, {field} {name}", members))
    _print_times(results)
    if with_mistakes:
        _print_mistakes(results)


def _print_times(results: list[Result]) -> None:
    for field in ("latency", "latency_cpu", "lag", "lag_cpu", "seconds"):
        middle, high = spread(numbers(results, field))
        print(f"{field:12} p50 {middle:6.3f} s   p95 {high:6.3f} s")
    sound = sum(numbers(results, "sound"))
    factor = sum(numbers(results, "busy_cpu")) / max(sound, 1e-9)
    cut = sum(bool(one["is_cut"]) for one in results)
    peak = max(numbers(results, "peak_mb"), default=0)
    print(f"real-time factor {factor:.3f} of processor; peak {peak:.0f} MB")
    print(f"cut before the end of speech {cut}")


def _print_mistakes(results: list[Result]) -> None:
    for one in results:
        if one["outcome"] in {Outcome.WRONG, Outcome.REFUSED}:
            print(f"{one['outcome']:8} {one['how']:9} {one['id']}")
            print(f"    {one['phrase']} -> {one['heard']}")
