"""A session verified for a command: what is wrong with it, line by line, and its seal's code."""

from collections.abc import Iterator
from pathlib import Path

from assistant.desk.opening import sessions_folder
from assistant.desk.output import show
from assistant.journal.clips import ClipState, read_clips
from assistant.journal.opening import title
from assistant.journal.problem import Problem
from assistant.journal.purging import read_tombstone, tell_tombstone
from assistant.journal.reading import TOMBSTONE, Record
from assistant.journal.remarks import REMARKS, read_remarks
from assistant.journal.sessions import find_session
from assistant.journal.verifying import read_verified


def verify_session(session: str, sessions: Path | None) -> int:
    """Print everything that is wrong with a session, one sentence each, and its seal's code.

    Args:
        session: the session's folder, its journal or its name.
        sessions: the folder that holds the sessions.

    Returns:
        0 when it is sealed and neither it nor the remarks on it are damaged, else 1.

    Raises:
        JournalError: when there is none, or its journal cannot be read at all.
    """
    folder = find_session(session, sessions_folder(sessions))
    record, remarks = read_verified(folder), read_remarks(folder)
    changed = list(_changed_sounds(record, folder))
    tombstone = read_tombstone(folder) or Record((), (), is_sealed=False, torn=b"")
    for sentence in (
        *_sentences(record.problems),
        *_of(REMARKS, remarks.problems),
        *_of(TOMBSTONE, tombstone.problems),
        *changed,
        *tell_tombstone(folder, tombstone.lines),
    ):
        show(sentence)
    count = sum(map(len, (record.damage, remarks.damage, tombstone.damage, changed)))
    show(_verdict(title(folder), record, count))
    return 0 if record.is_sealed and not count else 1


def _sentences(problems: tuple[Problem, ...]) -> Iterator[str]:
    return (problem.sentence for problem in problems)


def _of(name: str, problems: tuple[Problem, ...]) -> Iterator[str]:
    return (f"{name}: {sentence}" for sentence in _sentences(problems))


def _changed_sounds(record: Record, folder: Path) -> Iterator[str]:
    """Name the answers whose sound is there but is another; one that was purged is no damage."""
    for clip in read_clips(record, folder):
        if clip.state is ClipState.CHANGED:
            yield f"The sound kept for line {clip.line} was changed: it is not what was heard."


def _verdict(called: str, record: Record, count: int) -> str:
    if count:
        found = "1 thing is" if count == 1 else f"{count} things are"
        return f"{called} is not as it was written: {found} wrong with it."
    if not record.is_sealed:
        return f"{called} is not sealed, so a loss at its end would not show; the rest is whole."
    lines = len(record.lines)
    return f"{called} is whole: {lines} lines, seal {record.seal_code}. Compare the seal by phone."
