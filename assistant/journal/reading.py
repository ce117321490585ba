"""A journal read back: every whole line, everything that is wrong with it, nothing skipped."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.journal.chain import chain_problems
from assistant.journal.entry import Entry, split
from assistant.journal.errors import JournalError, journal_error
from assistant.journal.line import SCHEMA, Line
from assistant.journal.problem import Fault, Problem
from assistant.journal.seal import SEALED, is_sound_seal, seal_fault
from assistant.journal.upgrading import UPGRADES, Upgrade, upgrade

JOURNAL = "journal.jsonl"
"""The journal's name in a session's folder."""
TOMBSTONE = "purged.jsonl"
"""What was purged of a session, when, and what its seal was, in its folder."""


@dataclass(frozen=True, slots=True)
class Record:
    """What a journal holds.

    Args:
        lines: every readable line in file order, old schema versions upgraded, unknown kinds
            kept; lines that `problems` names are among them as long as they can be read.
        problems: what is wrong, in the order of the lines it names.
        is_sealed: whether the last line is a seal that fits itself and nothing is behind it.
        torn: the bytes behind the last whole line; empty unless a write was interrupted.
    """

    lines: tuple[Line, ...]
    problems: tuple[Problem, ...]
    is_sealed: bool
    torn: bytes

    @property
    def damage(self) -> tuple[Problem, ...]:
        """Give the problems that mean a change or loss of what was recorded."""
        return tuple(problem for problem in self.problems if problem.is_damage)

    @property
    def seal_code(self) -> str:
        """Give the code of the seal; empty when there is no sound one at the end."""
        return str(self.lines[-1].data["code"]) if self.is_sealed else ""


def read_journal(path: Path, upgrades: Mapping[int, Upgrade] = UPGRADES) -> Record:
    """Read a session.

    Args:
        path: the session's folder or its `journal.jsonl`.
        upgrades: how old schema versions are read.

    Raises:
        JournalError: when the file cannot be read at all; damage is never an exception.
    """
    file = path / JOURNAL if path.is_dir() else path
    try:
        content = file.read_bytes()
    except FileNotFoundError as error:
        raise JournalError(
            f"There is no session at {path}.", f"Name a folder that holds {JOURNAL}."
        ) from error
    except OSError as error:
        raise journal_error(f"The session in {file} could not be read", error) from error
    return read_content(content, upgrades)


def read_content(content: bytes, upgrades: Mapping[int, Upgrade] = UPGRADES) -> Record:
    """Read a session from a journal's bytes."""
    return _read(content, upgrades, needs_seal=True)


def read_unsealed(content: bytes, upgrades: Mapping[int, Upgrade] = UPGRADES) -> Record:
    """Read a file of chained lines that is never sealed, since more may always be added."""
    return _read(content, upgrades, needs_seal=False)


def _read(content: bytes, upgrades: Mapping[int, Upgrade], *, needs_seal: bool) -> Record:
    entries, torn = split(content)
    lines = [upgrade(entry.line, upgrades) for entry in entries if entry.line is not None]
    last = entries[-1].line if entries else None
    is_sealed = last is not None and not torn and is_sound_seal(last)
    found = [*_seal_problems(entries), *chain_problems(entries)]
    found += _newer(entries, upgrades)
    has_seal = _has_seal(entries)
    found += _torn(len(entries), torn, has_seal=has_seal)
    if needs_seal and not is_sealed and not has_seal:
        found.append(_unsealed(len(entries)))
    return Record(tuple(lines), one_a_line(found), is_sealed, torn)


def one_a_line(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """Keep the first damage that names a line, with all that is no damage, in line order."""
    damage: dict[int, Problem] = {}
    rest = []
    for problem in problems:
        if problem.is_damage:
            damage.setdefault(problem.line, problem)
        else:
            rest.append(problem)
    return tuple(sorted([*damage.values(), *rest], key=lambda problem: problem.line))


def _has_seal(entries: Sequence[Entry]) -> bool:
    return any(entry.line is not None and is_sound_seal(entry.line) for entry in entries)


def _seal_problems(entries: Sequence[Entry]) -> Iterator[Problem]:
    """Find seals that do not fit themselves, and what was added behind the first that does.

    A line with a lower number than the seal's is no addition but out of place.
    """
    seal_number, seal_seq = 0, 0
    for entry in entries:
        if seal_number:
            if entry.line is None or entry.line.seq > seal_seq:
                sentence = f"Line {entry.number} stands behind the seal in line {seal_number}."
                yield Problem(entry.number, Fault.AFTER_SEAL, sentence)
        elif entry.line is not None and entry.line.kind == SEALED:
            if why := seal_fault(entry.line):
                sentence = f"The seal in line {entry.number} {why}."
                yield Problem(entry.number, Fault.BAD_SEAL, sentence)
            else:
                seal_number, seal_seq = entry.number, entry.line.seq


def _newer(entries: Sequence[Entry], upgrades: Mapping[int, Upgrade]) -> Iterator[Problem]:
    for entry in entries:
        if entry.line is None or upgrade(entry.line, upgrades).schema == SCHEMA:
            continue
        sentence = (
            f"Line {entry.number} is of schema version {entry.line.schema}, which this Rungside"
            " does not know."
        )
        yield Problem(entry.number, Fault.NEWER, sentence)


def _torn(count: int, torn: bytes, *, has_seal: bool) -> Iterator[Problem]:
    number = count + 1
    if torn and has_seal:
        sentence = f"Line {number} stands behind the seal and has no end."
        yield Problem(number, Fault.AFTER_SEAL, sentence)
    elif torn:
        sentence = f"Line {number} was not written to its end: {len(torn)} bytes are left of it."
        yield Problem(number, Fault.TORN, sentence)


def _unsealed(count: int) -> Problem:
    sentence = (
        f"Line {count} is the last and is no seal: the session is open or was interrupted."
        if count
        else "The journal holds no whole line."
    )
    return Problem(max(count, 1), Fault.UNSEALED, sentence)
