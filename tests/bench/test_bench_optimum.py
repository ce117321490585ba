"""The least expected minutes: against trying every order out, and against Huffman's own code."""

import math
import random
from functools import cache

import pytest

from assistant.bench.ground import lay_ground
from assistant.bench.isolation import fault_cases
from assistant.bench.optimum import (
    Search,
    Trial,
    huffman_minutes,
    least_minutes,
    result_masks,
    shortest_ways,
)
from assistant.bench.running import Runner
from assistant.flow.library import open_flow

ANY = frozenset({"dead", "live"})


def _least_by_trying(search: Search) -> float:
    """Try every trial in every state; no bound, no order, one mode at a time."""

    @cache
    def least(faults: frozenset[int], mode: str, taken: int) -> float:
        if len({search.findings[fault] for fault in faults}) == 1:
            return sum(search.weights[f] * _prove(search, f, mode, taken) for f in faults)
        best = math.inf
        for number, trial in enumerate(search.trials):
            if taken >> number & 1 or trial.before & ~taken:
                continue
            parts: dict[str, set[int]] = {}
            for fault in faults:
                parts.setdefault(trial.results[fault], set()).add(fault)
            for target in trial.modes:
                cost = (_move(search, mode, target) + trial.minutes) * sum(
                    search.weights[f] for f in faults
                )
                rest = sum(
                    least(frozenset(part), target, taken | 1 << number) for part in parts.values()
                )
                best = min(best, cost + rest)
        return best

    whole = frozenset(range(len(search.weights)))
    return least(whole, search.start, 0) / sum(search.weights)


def _move(search: Search, mode: str, target: str) -> float:
    return 0.0 if mode == target else search.moves.get((mode, target), math.inf)


def _prove(search: Search, fault: int, mode: str, taken: int) -> float:
    """Try every order of what a finding still rests on."""
    missing = search.evidence[fault] & ~taken
    best = math.inf if missing else 0.0
    for number, trial in enumerate(search.trials):
        if missing >> number & 1:
            for target in trial.modes:
                later = _prove(search, fault, target, taken | 1 << number)
                best = min(best, _move(search, mode, target) + trial.minutes + later)
    return best


def _random_search(chance: random.Random) -> Search:
    count = chance.randint(2, 5)
    trials = [
        Trial(
            f"t{number}",
            chance.choice([0.2, 0.5, 1.0, 3.0]),
            frozenset({chance.choice(["dead", "live"])}) if chance.random() < 0.6 else ANY,
            tuple(chance.choice("abc") for _ in range(count)),
        )
        for number in range(chance.randint(2, 4))
    ]
    trials.append(Trial("tells", 4.0, ANY, tuple(str(fault) for fault in range(count))))
    return Search(
        weights=tuple(float(chance.choice([1, 2, 4, 8])) for _ in range(count)),
        findings=tuple(chance.choice("pqr") for _ in range(count)),
        evidence=tuple(chance.randrange(1 << len(trials)) for _ in range(count)),
        trials=tuple(trials),
        moves={("live", "dead"): 5.0, ("dead", "live"): 1.0},
        start="live",
    )


@pytest.mark.parametrize("seed", range(60))
def test_as_good_as_trying_everything(seed: int) -> None:
    """On small searches branch and bound gives what trying every order gives."""
    search = _random_search(random.Random(seed))  # noqa: S311 - shapes to try, no secret
    assert least_minutes(search) == pytest.approx(_least_by_trying(search))


def test_what_must_come_before_is_paid() -> None:
    """A trial that needs another costs both, and one that needs it elsewhere pays the way."""
    asked = Trial("rating", 0.3, frozenset({"dead"}), ("x", "x"))
    volts = Trial("volts", 0.7, frozenset({"live"}), ("low", "good"), before=1)
    moves = {("found", "dead"): 5.0, ("dead", "live"): 1.0}
    search = Search((1, 1), ("p", "q"), (0, 0), (asked, volts), moves, "found")
    assert least_minutes(search) == pytest.approx(5 + 0.3 + 1 + 0.7)


def test_no_way_is_never() -> None:
    """What cannot be told apart has no least minutes."""
    same = Trial("same", 1, ANY, ("x", "x"))
    search = Search((1, 1), ("p", "q"), (0, 0), (same,), {}, "dead")
    assert math.isinf(least_minutes(search))


@pytest.mark.parametrize(
    ("weights", "ways", "expected"),
    [
        ([1], 2, 0),
        ([1, 1], 2, 2),
        ([1, 1, 1, 1], 2, 8),
        ([5, 2, 1, 1], 2, 15),  # code lengths 1, 2, 3, 3 (values from memory of the method)
        ([1, 1, 1], 3, 3),
        ([1, 1, 1, 1], 3, 6),
    ],
)
def test_huffman(weights: list[float], ways: int, expected: float) -> None:
    """The weighted length of the best code, two or three letters wide."""
    assert huffman_minutes(weights, ways, 1.0) == pytest.approx(expected)
    assert huffman_minutes(weights, ways, 2.5) == pytest.approx(2.5 * expected)


def test_ways_between_states_of_power() -> None:
    """The way through another state is taken where it is the only or the shorter one."""
    ways = shortest_ways({("a", "b"): 1.0, ("b", "c"): 2.0, ("a", "c"): 9.0}, {"a", "b", "c"})
    assert (3.0, 0.0) == (ways["a", "c"], ways["b", "b"])
    assert math.isinf(ways["c", "a"])
    assert (0b101, 0b010) == result_masks(("x", "y", "x"))


def test_the_flow_is_close_to_its_best_order() -> None:
    """Expected minutes are within ten percent of the least, and never under it."""
    ground = lay_ground(open_flow("blower-psc"))
    cases = [case for case in fault_cases(ground, [None]) if case.unit == "t_115"]
    study = Runner(ground).study(cases)
    for share in study.shares:
        assert share.least <= share.minutes + 1e-9, share.complaint
    weight = sum(share.weight for share in study.shares)
    flow = sum(share.weight * share.minutes for share in study.shares) / weight
    least = sum(share.weight * share.least for share in study.shares) / weight
    assert flow <= 1.10 * least
    assert study.misheard.tried > 1000
    assert study.misheard.slips == ()
