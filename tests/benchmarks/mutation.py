"""How many changed limits, comparisons and targets of a flow its golden conversations find out.

    python tests/benchmarks/mutation.py FLOW…                      every mutant
    python tests/benchmarks/mutation.py --sample 200 --seed 1 FLOW…

Each mutant changes the loaded flow at one written place (`tests/walks/mutants.py`); it is killed
when a conversation comes out otherwise than its file tells. Mutants that the loader refuses are
counted apart and not in the score. Survivors are listed by file, line and step. Exit 1 below 95 %.
"""

import argparse
import random
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

TESTS = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(TESTS / "walks"))

from conversation import Stage, read_all  # noqa: E402
from killing import ALIVE, KILLED, REFUSED, Court, judged, score  # noqa: E402
from mutants import Mutant, mutants  # noqa: E402

from assistant.flow.library import open_flow  # noqa: E402
from assistant.walk.walk import Walk  # noqa: E402

LEAST = 0.95
_PROCESSES = 2
_COURTS: dict[str, tuple[Court, list[Mutant]]] = {}


def _court(flow: str) -> tuple[Court, list[Mutant]]:
    if flow not in _COURTS:
        stage = Stage(Walk(open_flow(flow)), read_all(flow))
        _COURTS[flow] = Court(stage), mutants(stage.walk.flow)
    return _COURTS[flow]


def _judge_part(part: tuple[str, list[int]]) -> list[tuple[int, str]]:
    flow, chosen = part
    court, known = _court(flow)
    verdicts = judged(court, (known[number] for number in chosen))
    return [(number, verdict) for number, (_, verdict) in zip(chosen, verdicts, strict=True)]


def judge_all(flow: str, sample: int, seed: int) -> list[tuple[Mutant, str]]:
    """Judge a flow's mutants, or some of them, in two processes."""
    _, known = _court(flow)
    chosen = list(range(len(known)))
    if sample and sample < len(chosen):
        chosen = sorted(random.Random(seed).sample(chosen, sample))  # noqa: S311 - no secret
    parts = [(flow, chosen[start::_PROCESSES]) for start in range(_PROCESSES)]
    with ProcessPoolExecutor(_PROCESSES, mp_context=get_context("fork")) as pool:
        verdicts = [pair for part in pool.map(_judge_part, parts) for pair in part]
    return [(known[number], verdict) for number, verdict in sorted(verdicts)]


def report(flow: str, results: list[tuple[Mutant, str]], seconds: float) -> float:
    """Print the score by kind, and the survivors."""
    whole = score(results)
    conversations = len(_court(flow)[0].conversations)
    print(
        f"{flow}: {whole:.1%} of {len(results)} mutants, {conversations} conversations, "
        f"{seconds:.0f} s"
    )
    for kind in dict.fromkeys(mutant.kind for mutant, _ in results):
        own = [(mutant, verdict) for mutant, verdict in results if mutant.kind == kind]
        count = {v: sum(one == v for _, one in own) for v in (KILLED, REFUSED, ALIVE)}
        print(
            f"  {kind:10} {score(own):7.1%}  killed {count[KILLED]:4}  "
            f"refused by the loader {count[REFUSED]:3}  alive {count[ALIVE]:3}"
        )
    for mutant, verdict in results:
        if verdict == ALIVE:
            print(f"    alive: {mutant.place}: {mutant.kind}: {mutant.what}")
    return whole


def main() -> int:
    """Judge each flow of the command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("flows", nargs="+")
    parser.add_argument("--sample", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    scores = []
    for flow in arguments.flows:
        begun = time.perf_counter()
        results = judge_all(flow, arguments.sample, arguments.seed)
        scores.append(report(flow, results, time.perf_counter() - begun))
    return 0 if min(scores) >= LEAST else 1


if __name__ == "__main__":
    sys.exit(main())
