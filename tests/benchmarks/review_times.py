"""How long the review takes: a folder of 5,000 sessions listed and filtered, 2,000 turns opened.

    python tests/benchmarks/review_times.py [COUNT]

Prints seconds on the clock and of the processor, the best of three, since a busy machine only ever
adds. "Cold" is without the file of memory; what the system itself keeps of the files stays.
"""

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time

from review_sessions import make_long, make_many

from assistant.journal.catalogue import MEMORY, list_gists, remember, with_looked
from assistant.journal.catalogue_search import Search, Wanted
from assistant.journal.gist import look_through
from assistant.screens.reviewing.opened import open_session
from assistant.screens.reviewing.sections import sections_of

ASKED = ("q", "quarry", "quarry cap", "tech:r.k", "finding:capacitor", "flag:fast", "no such words")


def best(work: Callable[[], object], *, times: int = 3) -> tuple[float, float]:
    """Give the least seconds on the clock and of the processor."""
    clocks, processors = [], []
    for _ in range(times):
        clock, processor = perf_counter(), process_time()
        work()
        clocks.append(perf_counter() - clock)
        processors.append(process_time() - processor)
    return min(clocks), min(processors)


def tell(what: str, seconds: tuple[float, float]) -> None:
    """Print one figure."""
    print(
        f"{what}: {seconds[0] * 1000:.0f} ms on the clock, {seconds[1] * 1000:.0f} ms of processor"
    )


def measure_folder(folder: Path, number: int) -> None:
    """Measure listing and filtering."""
    make_many(folder, number)

    def cold() -> None:
        (folder / MEMORY).unlink(missing_ok=True)
        if len(list_gists(folder)) != number:
            raise SystemExit("Not all sessions are listed.")

    tell(f"{number} sessions listed cold", best(cold))
    gists = list_gists(folder)
    names = [gist.name for gist in gists[:20]]
    tell("20 looked through", best(lambda: [look_through(folder / name) for name in names]))
    remember(folder, with_looked(gists, [look_through(folder / names[0], gists[0].stamp)]))
    tell(f"{number} sessions listed again", best(lambda: list_gists(folder)))
    search = Search(gists)
    tell("made ready to search", best(lambda: Search(gists)))
    for words in ASKED:
        tell(f"filtered by '{words}'", best(lambda words=words: search.find(Wanted(words))))  # type: ignore[misc]


def measure_long(folder: Path) -> None:
    """Measure opening one long session, from its bytes to everything the screen shows."""
    session = make_long(folder)
    turns = len(open_session(session).turns)
    tell(f"{turns} turns opened", best(lambda: sections_of(open_session(session))))


def main() -> None:
    """Measure both."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 5_000
    with tempfile.TemporaryDirectory() as folder:
        measure_long(Path(folder) / "long")
        measure_folder(Path(folder) / "many", number)


if __name__ == "__main__":
    main()
