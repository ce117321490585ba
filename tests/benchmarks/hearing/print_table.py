"""Print the tables of the hearing bench from its results, as Markdown.

    python tests/benchmarks/hearing/print_table.py RESULTS.jsonl...

Results of `run_trials.py` and of `false_triggers.py` may be given together, also of several
recognisers. Synthetic, natural and human voices, and what was tuned with and what was held out, are
never counted together. A bound is Clopper and Pearson's, one-sided, 95 %.
"""

import argparse
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import mean

from bounds import upper_bound
from results import read_lines
from summary import (
    RATIOS,
    Result,
    count,
    group_of,
    grouped,
    numbers,
    ratio_of,
    set_of,
    share,
    spread,
    wrong,
)

_VOICED = {"babble", "own_voice"}
_HEAD = (
    "| who | ratio | trials | right at once | after one question | after more | refused "
    "| wrong accepted, 95 % bound | turns |\n|---|---|--:|--:|--:|--:|--:|--:|--:|"
)
_TIMES = (
    "| who | answer after the last word, p50 and p95 | of it beyond the pause waited for, p50 and "
    "p95 | seconds a value, mean | cut before its end |\n|---|--:|--:|--:|--:|"
)

_MINUTES = (
    "| sound | hours | words an hour | believed an hour | of it commands | numbers asked about "
    "an hour | numbers believed, 95 % bound an hour |\n|---|--:|--:|--:|--:|--:|--:|"
)


def _row(who: str, ratio: str, members: Sequence[Result]) -> str:
    found = count(members)
    parts = (found.at_once, found.after_one, found.after_more, found.refused)
    shares = " | ".join(share(part, found.trials) for part in parts)
    turns = mean(numbers(members, "turns"))
    return f"| {who} | {ratio} | {found.trials} | {shares} | {wrong(found)} | {turns:.2f} |"


def _by_ratio(who: str, members: Sequence[Result]) -> Iterator[str]:
    ratios = grouped(members, ratio_of)
    for ratio in RATIOS:
        if ratio in ratios:
            yield _row(who, ratio, ratios[ratio])


def _who(result: Result) -> str:
    is_voiced = " in voices" if result["noise"] in _VOICED else ""
    return f"{result['recogniser']}, {set_of(result)}{is_voiced}".replace("_", " ")


def _times_row(who: str, members: Sequence[Result]) -> str:
    late, lag = (spread(numbers(members, name)) for name in ("latency", "lag"))
    seconds = mean(numbers(members, "seconds"))
    cut = sum(bool(one["is_cut"]) for one in members)
    spreads = f"{late[0]:.2f}, {late[1]:.2f} s | {lag[0]:.2f}, {lag[1]:.2f} s"
    return f"| {who} | {spreads} | {seconds:.1f} | {cut} of {len(members)} |"


def _costs(results: Sequence[Result]) -> Iterator[str]:
    for name, members in grouped(results, lambda one: str(one["recogniser"])).items():
        sound = sum(numbers(members, "sound"))
        factor = sum(numbers(members, "busy_cpu")) / max(sound, 1e-9)
        lag = spread(numbers(members, "lag_cpu"))
        yield (
            f"{name}: real-time factor {factor:.2f} of its own processor time, beyond the pause "
            f"{lag[0]:.2f} s (p50) and {lag[1]:.2f} s (p95) of it; peak memory "
            f"{max(numbers(members, 'peak_mb')):.0f} MB."
        )


def _by_field(results: Sequence[Result], field: str) -> Iterator[str]:
    values = [one for one in results if group_of(one) == "values"]
    groups = grouped(values, lambda one: f"{one['recogniser']}, {one['part']} {one['kind']}")
    for name, members in groups.items():
        for way, some in sorted(grouped(members, lambda one: str(one[field])).items()):
            yield _row(name.replace("_", " "), f"{field} {way}", some)


def false_trigger_table(minutes: Sequence[Result]) -> str:
    """Give what hours of noise and talk were taken for.

    Args:
        minutes: lines of `false_triggers.py`.
    """
    names = ("triggers", "answers", "commands", "asked", "numbers")
    rows = [_MINUTES]
    for who, members in grouped(minutes, lambda one: f"{one['recogniser']}, {one['of']}").items():
        hours = len(members) / 60
        total = {name: int(sum(numbers(members, name))) for name in names}
        bad = sum(float(str(one["numbers"])) > 0 for one in members)
        bound = 60 * upper_bound(bad, len(members))
        shares = " | ".join(f"{total[name] / hours:.1f}" for name in names[:-1])
        rows.append(f"| {who} | {hours:.2f} | {shares} | {total['numbers']}, below {bound:.2f} |")
    return "\n".join(rows)


def tables(results: Sequence[Result]) -> str:
    """Give the tables of trials.

    Args:
        results: lines of `run_trials.py`.
    """
    members = grouped(results, _who)
    blocks = [_HEAD]
    blocks += [row for who in sorted(members) for row in _by_ratio(who, members[who])]
    blocks += ["", "Values by noise, distance and band, all ratios:", "", _HEAD]
    blocks += [row for field in ("noise", "distance", "band") for row in _by_field(results, field)]
    blocks += ["", _TIMES, *(_times_row(who, members[who]) for who in sorted(members))]
    return "\n".join([*blocks, "", *_costs(results)])


def main() -> int:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("results", type=Path, nargs="+")
    options = parser.parse_args()
    lines = [line for path in options.results for line in read_lines(path)]
    trials = [line for line in lines if "outcome" in line]
    minutes = [line for line in lines if "minute" in line]
    if trials:
        print(tables(trials))
    if minutes:
        print(f"\n{false_trigger_table(minutes)}")
    return 0 if lines else 1


if __name__ == "__main__":
    sys.exit(main())
