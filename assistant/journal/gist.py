"""What a session is about, in the few words a list shows.

A first look reads the few lines that matter and follows no chain; looking through reads all, and so
knows damage and flags. A first look never says that a session is sound.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from assistant.journal.errors import JournalError
from assistant.journal.flags import find_flags
from assistant.journal.fold import fold
from assistant.journal.line import Line, decode
from assistant.journal.reading import JOURNAL
from assistant.journal.remarks import Remarks, read_remarks
from assistant.journal.seal import is_sound_seal
from assistant.journal.verifying import read_verified

LONGEST_NOTES = 20_000
"""So many characters of a session's notes are searched."""

NOTHING = "The journal holds no whole line."


@dataclass(frozen=True, slots=True)
class Gist:
    """A session as a list shows it.

    Args:
        name: the session's folder.
        stamp: size and times of its files; another stamp is another content.
        started: time of the first line; empty where it cannot be read.
        technician: initials or name as given.
        unit: the equipment as given.
        flow: the flow's id.
        title: the flow's title.
        outcome: `found`, `no_fault`, `stopped` or `sent`.
        findings: the parts found faulty, in order.
        notes: the technician's own words.
        is_sealed: whether its last line is a seal that fits itself.
        signed: `agrees` or `disagrees` where a lead signed it off.
        is_looked: whether it was looked through, so that `flags` and `damage` say something.
        flags: kinds of flags with how many there are, the gravest first.
        damage: what is wrong with the record or its remarks, one sentence; empty when nothing is.
    """

    name: str
    stamp: str = ""
    started: str = ""
    technician: str = ""
    unit: str = ""
    flow: str = ""
    title: str = ""
    outcome: str = "stopped"
    findings: tuple[str, ...] = ()
    notes: str = ""
    is_sealed: bool = False
    signed: str = ""
    is_looked: bool = False
    flags: tuple[tuple[str, int], ...] = ()
    damage: str = ""


_WANTED = (b'"kind":"found"', b'"kind":"scratched"', b'"kind":"noted"')
_ENDED = b'"kind":"ended"'
_TAIL = 8192
"""A walk's end stands in the last so many bytes: only what is said of it comes behind."""


def glance(folder: Path, stamp: str = "", *, has_remarks: bool = True) -> Gist:
    """Take a first look at a session, whatever state it is in; never fails.

    Args:
        folder: the session's folder.
        stamp: what its files' sizes and times were before.
        has_remarks: false where it is known that nobody made any, which saves looking.
    """
    try:
        content = (folder / JOURNAL).read_bytes()
        signed = _signed(read_remarks(folder)) if has_remarks else ""
    except (OSError, JournalError) as error:
        return Gist(folder.name, stamp, damage=f"It cannot be read: {_reason(error)}")
    lines = list(_lines(_few(content)))
    if b"\n" not in content:
        return Gist(folder.name, stamp, outcome="", damage=NOTHING)
    is_sealed = bool(lines) and content.endswith(b"\n") and is_sound_seal(lines[-1])
    return replace(_told(folder.name, stamp, lines), is_sealed=is_sealed, signed=signed)


def look_through(folder: Path, stamp: str = "") -> Gist:
    """Read a session from end to end, with its remarks; never fails.

    Args:
        folder: the session's folder.
        stamp: what its files' sizes and times were before.
    """
    try:
        record, remarks = read_verified(folder), read_remarks(folder)
    except JournalError as error:
        why = f"It cannot be read: {error.message}"
        return Gist(folder.name, stamp, is_looked=True, damage=why)
    damage = [problem.sentence for problem in record.damage]
    damage += [f"In the remarks: {problem.sentence}" for problem in remarks.damage]
    if not record.lines:
        damage.insert(0, NOTHING)
    counts = Counter(flag.kind for flag in find_flags(record))
    return replace(
        _told(folder.name, stamp, record.lines),
        is_sealed=record.is_sealed,
        signed=_signed(remarks),
        is_looked=True,
        flags=tuple(counts.items()),
        damage=damage[0] if damage else "",
    )


def _reason(error: OSError | JournalError) -> str:
    return error.message if isinstance(error, JournalError) else (error.strerror or "no access")


def _signed(remarks: Remarks) -> str:
    standing = remarks.standing
    if standing is None:
        return ""
    return "agrees" if standing.agrees else "disagrees"


def _few(content: bytes) -> Iterator[bytes]:
    """Give the first line, the last, and those between that say what a session came to."""
    end = content.find(b"\n")
    yield content[:end]
    last = content.rfind(b"\n", 0, len(content) - 1) + 1
    wanted = {place for mark in _WANTED for place in _places(content, mark, end + 1, last)}
    wanted.update(_places(content, _ENDED, max(end + 1, last - _TAIL), last))
    for place in sorted(wanted):
        yield content[content.rfind(b"\n", 0, place) + 1 : content.find(b"\n", place)]
    if last > end:
        yield content[last:].rstrip(b"\n")


def _places(content: bytes, mark: bytes, start: int, stop: int) -> Iterator[int]:
    # Plain searches take half the time of one pattern with several ends.
    place = content.find(mark, start, stop)
    while place >= 0:
        yield place
        place = content.find(mark, place + 1, stop)


def _lines(raws: Iterable[bytes]) -> Iterator[Line]:
    for raw in raws:
        try:
            yield decode(raw)
        except ValueError:
            continue


@dataclass
class _Telling:
    """What a session came to, in progress; nobody else sees it."""

    head: Mapping[str, object]
    outcome: str
    found: list[tuple[int, str]]
    notes: list[str]


def _told(name: str, stamp: str, lines: Iterable[Line]) -> Gist:
    lines = list(lines)
    told = fold(lines, _REDUCERS, _Telling({}, "stopped", [], []))
    head = told.head
    return Gist(
        name=name,
        stamp=stamp,
        started=lines[0].time if lines and lines[0].seq == 1 else "",
        technician=str(head.get("technician", "")),
        unit=str(head.get("unit", "")),
        flow=str(head.get("flow", "")),
        title=str(head.get("title", "")),
        outcome=told.outcome if head else "",
        findings=tuple(dict.fromkeys(part for _, part in told.found)),
        notes="\n".join(told.notes)[:LONGEST_NOTES],
    )


def _began(told: _Telling, line: Line) -> _Telling:
    told.head = line.data
    return told


def _ended(told: _Telling, line: Line) -> _Telling:
    told.outcome = str(line.data.get("outcome", ""))
    return told


def _found(told: _Telling, line: Line) -> _Telling:
    part = str(line.data.get("part") or line.data.get("finding") or "")
    told.found.append((_answer(line), part))
    return told


def _scratched(told: _Telling, line: Line) -> _Telling:
    told.found = [one for one in told.found if one[0] < _answer(line)]
    return told


def _noted(told: _Telling, line: Line) -> _Telling:
    told.notes.append(str(line.data.get("text", "")))
    return told


def _answer(line: Line) -> int:
    number = line.data.get("answer")
    return number if isinstance(number, int) else 0


_REDUCERS: Mapping[str, Callable[[_Telling, Line], _Telling]] = {
    "began": _began,
    "ended": _ended,
    "found": _found,
    "scratched": _scratched,
    "noted": _noted,
}
