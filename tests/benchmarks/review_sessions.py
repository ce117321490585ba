"""Sessions made up for measuring the review: written through the real session, on a clock of ours.

    python tests/benchmarks/review_sessions.py FOLDER COUNT     so many short sessions
    python tests/benchmarks/review_sessions.py FOLDER --long    one of 2,000 turns in 4 hours

The walks are those of the recorded scenario with other readings, technicians and units. Nothing is
synced to the disk, which is what takes the time of real writing.
"""

import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

from assistant.flow.library import open_flow
from assistant.journal.files import DiskFile, DiskFiles, File
from assistant.journal.reading import JOURNAL
from assistant.journal.session import Session
from assistant.journal.sessions import make_session_id
from assistant.walk.ends import Heard
from assistant.walk.walk import Walk

SCENARIO = Path(__file__).parents[2] / "demo_sessions" / "quarry_lane" / "lines.tsv"
START = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
TECHS = ("R.K.", "M.T.", "Q.X.", "J.B.")
UNITS = ("AHU-2 Quarry Lane", "RTU-3 Mill Road", "AHU-7 Harbour", "FCU-1 Old School")
LONG_TURNS = 2_000
LONG_SECONDS = 4 * 3600


class UnsyncedFile(DiskFile):
    """A file that leaves it to the system when to write."""

    def sync(self) -> None:
        """Do nothing."""


class UnsyncedFiles(DiskFiles):
    """A disk that nobody waits for."""

    def create(self, path: Path) -> File:
        """Make a new file."""
        import os

        return UnsyncedFile(path, os.O_CREAT | os.O_EXCL)

    def sync_folder(self, folder: Path) -> None:
        """Do nothing."""
        del folder


def scenario(capacitor: str = "two point nine") -> list[str]:
    """Give the scenario's phrases, with another reading of the capacitor."""
    rows = SCENARIO.read_text(encoding="utf-8").splitlines()
    phrases = [row.split("\t")[1] for row in rows if row]
    return [capacitor if phrase == "two point nine" else phrase for phrase in phrases]


def ticking(start: datetime, seconds: float) -> Callable[[], datetime]:
    """Give a clock that goes on by so many seconds at each look."""
    ticks = count()
    return lambda: start + timedelta(seconds=seconds * next(ticks))


def make_session(  # noqa: PLR0913 - each is a fact of one session
    walk: Walk,
    folder: Path,
    start: datetime,
    phrases: Sequence[str],
    *,
    technician: str,
    unit: str,
    seconds: float = 9.0,
    suffix: str = "a",
) -> Path:
    """Walk phrases to their end, or as far as they go; give the session's folder."""
    session = Session.begin(
        walk,
        folder,
        make_session_id(start, unit, suffix),
        clock=ticking(start, seconds),
        technician=technician,
        unit=unit,
        files=UnsyncedFiles(),
    )
    for phrase in phrases:
        if session.state.is_over:
            break
        session.hear(Heard(phrase))
    session.close()
    return session.journal.folder


def long_phrases() -> Iterator[str]:
    """Give 2,000 phrases: the scenario, with questions, notes and second thoughts in between."""
    whole = scenario()
    between = ("why", "repeat", "help", "note the wheel is dusty", "where am i", "pardon me now")
    extra = LONG_TURNS - len(whole)
    for number in range(extra):
        if number == extra // 2:
            yield from whole[:20]
        yield between[number % len(between)]
    yield from whole[20:]


def make_long(folder: Path, walk: Walk | None = None) -> Path:
    """Make one session of 2,000 turns over 4 hours."""
    return make_session(
        walk or Walk(open_flow("blower-psc")),
        folder,
        START,
        list(long_phrases()),
        technician="R.K.",
        unit="AHU-2 Quarry Lane",
        seconds=LONG_SECONDS / LONG_TURNS,
        suffix="long",
    )


def make_many(folder: Path, number: int) -> None:
    """Make so many sessions: a few walked, the others copied from them under other names.

    A copy verifies as its original does: its chain stands in the file.
    """
    walk = Walk(open_flow("blower-psc"))
    readings = ("two point nine", "seven point four", "seven point one", "six point one")
    originals = [
        make_session(
            walk,
            folder,
            START + timedelta(days=place),
            scenario(reading),
            technician=TECHS[place % len(TECHS)],
            unit=UNITS[place % len(UNITS)],
        )
        for place, reading in enumerate(readings)
    ]
    for place in range(len(originals), number):
        source = originals[place % len(originals)]
        start = START + timedelta(hours=7 * place)
        shutil.copytree(source, folder / make_session_id(start, "unit", f"{place:05d}"))


def cut(folder: Path) -> None:
    """Take a line out of the middle of a session."""
    journal = folder / JOURNAL
    lines = journal.read_bytes().splitlines(keepends=True)
    journal.write_bytes(b"".join(lines[:100] + lines[101:]))


def main() -> None:
    """Make what the command line asks for."""
    folder, what = Path(sys.argv[1]), sys.argv[2]
    if what == "--long":
        print(make_long(folder))
    else:
        make_many(folder, int(what))


if __name__ == "__main__":
    main()
