"""Whether a session is as it was written, told by line."""

from dataclasses import replace
from pathlib import Path

from assistant.journal.problem import Fault, Problem
from assistant.journal.reading import JOURNAL, Record, read_journal
from assistant.journal.transcript import TRANSCRIPT, is_told_as_sealed


def verify(path: Path) -> tuple[Problem, ...]:
    """Name everything that is wrong with a session, in the order of its lines.

    A change of the last line of a session that is not sealed cannot always be seen: nothing
    behind it holds its hash. Nor can a session be told that was written anew as a whole: compare
    the seal's code with the one noted elsewhere.

    Args:
        path: the session's folder or its `journal.jsonl`.

    Returns:
        No problem when it is whole and sealed; an open session has one that is no damage.

    Raises:
        JournalError: when the journal cannot be read at all.
    """
    return read_verified(path).problems


def read_verified(path: Path) -> Record:
    """Read a session with everything that is wrong with it, a seal that it lost among it.

    Args:
        path: the session's folder or its `journal.jsonl`.

    Raises:
        JournalError: when the journal cannot be read at all.
    """
    record = read_journal(path)
    folder = path if path.is_dir() else path.parent
    found = [*record.problems, *_cut_off(folder, record)]
    return replace(record, problems=tuple(sorted(found, key=lambda problem: problem.line)))


def _cut_off(folder: Path, record: Record) -> tuple[Problem, ...]:
    """Find a seal that the transcript tells of and the journal has lost."""
    try:
        told = (folder / TRANSCRIPT).read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ()
    if record.is_sealed or not is_told_as_sealed(told) or _is_seal_named(record):
        return ()
    number = len(record.lines) + 1
    sentence = f"From line {number} on {JOURNAL} is cut off: {TRANSCRIPT} tells of a seal."
    return (Problem(number, Fault.CUT_OFF, sentence),)


def _is_seal_named(record: Record) -> bool:
    return any(p.fault in {Fault.BAD_SEAL, Fault.AFTER_SEAL} for p in record.problems)
