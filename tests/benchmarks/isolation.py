"""How well the shipped flow finds faults, on shipped and unseen units, with and without noise.

Run: `uv run python tests/benchmarks/isolation.py [--healthy N]`. Prints the matrix, the figures by
unit, the gap to the best order, the seconds of the matrix on all cores, and the walk's own speed.
Exit 1 when a threshold is missed.
"""

import os
import sys
import time
from pathlib import Path

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import fault_cases, figures, healthy_cases
from assistant.bench.matrix import Matrix, lines, measure
from assistant.bench.running import Runner, run_all
from assistant.flow.library import open_flow

DATA = Path(__file__).parent.parent / "bench" / "data"
UNSEEN = [DATA / "unseen_l_277.yaml", DATA / "unseen_t_120.yaml"]
HEALTHY = 200


def failures(title: str, matrix: Matrix) -> list[str]:
    """Give the thresholds that are missed."""
    exact, noisy = figures(matrix.exact), figures(matrix.noisy)
    wanted = {
        "detected": min(exact.detected, noisy.detected) >= 0.98,
        "to one repair": min(exact.isolated_to_one, noisy.isolated_to_one) >= 0.95,
        "to two, of what is detected": exact.isolated_to_two >= exact.detected,
        "wrong without noise": exact.wrong == 0,
        "wrong with noise": noisy.wrong < 0.01,
        "false alarms": not matrix.false_alarms,
        "gap": matrix.gap is not None and matrix.gap <= 0.10,
        "misheard": not matrix.misheard.slips,
    }
    return [f"{title}: {name}" for name, is_met in wanted.items() if not is_met]


def by_unit(matrix: Matrix) -> None:
    """Print the figures of each unit."""
    for unit in matrix.ground.units:
        parts = []
        for marks in (matrix.exact, matrix.noisy):
            found = figures([mark for mark in marks if mark.walked.case.unit == unit])
            parts.append(
                f"{found.detected:7.2%} {found.isolated_to_one:7.2%} {found.wrong:6.2%} "
                f"{found.expected_minutes:5.2f} {found.worst_minutes:5.1f}"
            )
        shares = [share for share in matrix.shares if share.unit == unit]
        flow = sum(share.weight * share.minutes for share in shares)
        least = sum(share.weight * share.least for share in shares)
        print(f"{unit:14} exact {parts[0]} | noise {parts[1]} | gap {flow / least - 1:5.1%}")


def speed(ground: Ground) -> float:
    """Give how many turns a second one core walks, the bench answering."""
    cases = [case for case in fault_cases(ground, [0]) if case.unit == "t_230"]
    runner = Runner(ground)
    runner.run(cases[:5])
    start = time.perf_counter()
    turns = sum(walk.turns for walk in runner.run(cases))
    return turns / (time.perf_counter() - start)


def main() -> int:
    """Measure and print."""
    missed = []
    for title, files in (("shipped units", []), ("unseen units", UNSEEN)):
        ground = lay_ground(open_flow("blower-psc"), files)
        start = time.perf_counter()
        matrix = measure(ground)
        seconds = time.perf_counter() - start
        print(f"== {title}: {seconds:.1f} s on {os.cpu_count()} cores")
        print("\n".join(lines(matrix)))
        by_unit(matrix)
        missed += failures(title, matrix)
    count = int(sys.argv[2]) if sys.argv[1:2] == ["--healthy"] else HEALTHY
    ground = lay_ground(open_flow("blower-psc"))
    _, walks = run_all(ground, [], list(healthy_cases(ground, range(1000, 1000 + count))))
    alarms = [walk for walk in walks if walk.findings]
    print(f"sound units: {len(walks)} walks of {count} seeds each, {len(alarms)} false alarms")
    missed += [f"false alarm: {walk.case} {walk.findings}" for walk in alarms]
    print(f"one core, the bench answering: {speed(ground):.0f} turns a second")
    print("\n".join(missed) or "every threshold is met")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
