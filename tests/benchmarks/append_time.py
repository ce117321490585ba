"""How long a turn takes to reach the disk, against a bare write and sync of the same bytes.

Run it by hand: `python tests/benchmarks/append_time.py [FOLDER] [TURNS]`. Both are timed turn about
in one run and on one disk, so that their ratio holds on any machine.
"""

import os
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter

from assistant.journal.reading import JOURNAL, read_journal
from assistant.journal.store import Event, Journal

TURN: tuple[Event, ...] = (
    {"kind": "heard", "step": "low", "phase": "answer", "words": "seventeen point five"},
    {"kind": "took", "step": "low", "name": "low", "value": "17.5", "unit": "ohm"},
    {"kind": "judged", "step": "low", "rule": "falls", "verdict": "pass", "reason": "17.5 > 14.0"},
    {"kind": "moved", "step": "low", "outcome": "pass", "target": "medium"},
    {"kind": "said", "step": "medium", "role": "prompt", "text": "Next, the medium lead."},
)


def measure(folder: Path, turns: int) -> tuple[list[float], list[float]]:
    """Time so many turns both ways; give the seconds of each append and of each bare write."""
    appends, bares = [], []
    bare = os.open(folder / "bare", os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o600)
    opening = {"kind": "began", "flow": "none"}
    with Journal.create(folder, "timed", opening, clock=lambda: datetime.now(UTC)) as journal:
        path = journal.folder / JOURNAL
        for _ in range(turns):
            before, start = path.stat().st_size, perf_counter()
            journal.append(TURN)
            appends.append(perf_counter() - start)
            same = path.read_bytes()[before:]
            start = perf_counter()
            os.write(bare, same)
            os.fsync(bare)
            bares.append(perf_counter() - start)
    os.close(bare)
    if len(read_journal(path).lines) != 1 + turns * len(TURN):
        raise SystemExit("The journal does not hold what was appended.")
    return appends, bares


def main() -> None:
    """Print median and 95th percentile of both, and their ratio."""
    above = sys.argv[1] if len(sys.argv) > 1 else None
    turns = int(sys.argv[2]) if len(sys.argv) > 2 else 300
    with tempfile.TemporaryDirectory(dir=above) as folder:
        appends, bares = measure(Path(folder), turns)
    for name, times in (("append", appends), ("bare write and sync", bares)):
        high = quantiles(times, n=20)[-1]
        print(f"{name}: median {median(times) * 1000:.3f} ms, 95 % below {high * 1000:.3f} ms")
    print(f"ratio of medians: {median(appends) / median(bares):.2f}")


if __name__ == "__main__":
    main()
