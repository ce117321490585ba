"""Remarks on a session and its sign-off, read back: a second chained file beside the journal.

The journal is never touched. Each line of `remarks.jsonl` names the journal's last line as it stood
then, by number and hash; so a journal rewritten later no longer fits what was said of it. How many
lines there are, with a code over the last, stands in `remarks.txt`, which anyone can read: a cut at
the end shows there.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias, TypeVar

from assistant.journal.errors import journal_error
from assistant.journal.line import JSON, Line, digest
from assistant.journal.problem import Fault, Problem
from assistant.journal.reading import JOURNAL, Record, one_a_line, read_unsealed
from assistant.journal.seal import seal_code

REMARKS = "remarks.jsonl"
"""The remarks' name in a session's folder."""
REMARKS_TEXT = "remarks.txt"
"""The same remarks as plain text."""

ABOUT, REMARKED, SIGNED_OFF = "about", "remarked", "signed_off"
"""The kinds of lines: which session it is about, a remark, a sign-off."""

_CODE = re.compile(r"Code: (\S+) \((\d{1,9}) lines?\)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Remark:
    """One remark of a lead.

    Args:
        number: its line in `remarks.jsonl`.
        time: when, UTC.
        author: who.
        text: what.
        line: the journal's line that it is about; 0 for the whole session.
    """

    number: int
    time: str
    author: str
    text: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class SignOff:
    """A lead's judgement of the finding.

    Args:
        number: its line in `remarks.jsonl`.
        time: when, UTC.
        author: who.
        agrees: whether with the finding.
        why: why.
        findings: the ids of the findings that were judged; none where the walk found nothing.
        seen: how many lines the journal had then.
    """

    number: int
    time: str
    author: str
    agrees: bool
    why: str
    findings: tuple[str, ...] = ()
    seen: int = 0


@dataclass(frozen=True, slots=True)
class Remarks:
    """All that was said of a session.

    Args:
        remarks: the remarks in order.
        sign_offs: the sign-offs in order; the last one stands.
        problems: what is wrong with them, by line of `remarks.jsonl`.
    """

    remarks: tuple[Remark, ...] = ()
    sign_offs: tuple[SignOff, ...] = ()
    problems: tuple[Problem, ...] = field(default=())

    @property
    def standing(self) -> SignOff | None:
        """Give the sign-off that stands."""
        return self.sign_offs[-1] if self.sign_offs else None

    @property
    def damage(self) -> tuple[Problem, ...]:
        """Give the problems that mean a change or loss of what was said."""
        return tuple(problem for problem in self.problems if problem.is_damage)

    def on(self, line: int) -> tuple[Remark, ...]:
        """Give the remarks on a line of the journal; 0 for those on the whole session."""
        return tuple(one for one in self.remarks if one.line == line)


def read_remarks(folder: Path) -> Remarks:
    """Read the remarks on a session; none where nobody made any.

    Raises:
        JournalError: when a file is there and cannot be read; damage is never an exception.
    """
    content, told = _bytes(folder / REMARKS), _bytes(folder / REMARKS_TEXT)
    if content is None and told is None:
        return Remarks()
    return remarks_of(content, _bytes(folder / JOURNAL) or b"", told)


def _bytes(file: Path) -> bytes | None:
    try:
        return file.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError as error:
        raise journal_error(f"{file} could not be read", error) from error


def remarks_of(content: bytes | None, journal: bytes, told: bytes | None) -> Remarks:
    """Give what the files' bytes say.

    Args:
        content: of `remarks.jsonl`; None where it is not there.
        journal: of `journal.jsonl`.
        told: of `remarks.txt`; None where it is not there.
    """
    if content is None and told is None:
        return Remarks()
    record = read_unsealed(content or b"")
    found = [*record.problems, *_strange(record.lines), *_anchors(record.lines, journal)]
    found += _cut_off(record, told)
    return Remarks(
        tuple(_each(record.lines, REMARKED, _remark)),
        tuple(_each(record.lines, SIGNED_OFF, _sign_off)),
        one_a_line(found),
    )


def journal_end(journal: bytes) -> tuple[int, str]:
    """Give the number and the hash of the last whole line of a journal's bytes."""
    whole = journal[: journal.rfind(b"\n") + 1]
    last = whole[:-1].rpartition(b"\n")[2]
    return whole.count(b"\n"), digest(last)


_Said = TypeVar("_Said", Remark, SignOff)
_Data: TypeAlias = Mapping[str, JSON]


def _each(lines: Sequence[Line], kind: str, read: Callable[[Line], _Said]) -> Iterator[_Said]:
    return (read(line) for line in lines if line.kind == kind and not _lacking(line))


def _remark(line: Line) -> Remark:
    data = line.data
    return Remark(
        line.seq, line.time, str(data["author"]), str(data["text"]), _number(data, "line")
    )


def _sign_off(line: Line) -> SignOff:
    data = line.data
    ids = data.get("findings")
    findings = tuple(str(one) for one in ids) if isinstance(ids, list) else ()
    return SignOff(
        line.seq,
        line.time,
        str(data["author"]),
        data["agrees"] is True,
        str(data["why"]),
        findings,
        _number(data, "seen_lines"),
    )


def _number(data: _Data, key: str) -> int:
    value = data.get(key)
    return value if isinstance(value, int) else 0


_NEEDED: Mapping[str, Mapping[str, type]] = {
    ABOUT: {"session": str, "seen_lines": int, "seen_hash": str},
    REMARKED: {"author": str, "text": str, "line": int, "seen_lines": int, "seen_hash": str},
    SIGNED_OFF: {"author": str, "why": str, "agrees": bool, "seen_lines": int, "seen_hash": str},
}
"""What each kind of line must say."""


def _lacking(line: Line) -> str:
    """Give the first thing that a line of this kind should say and does not; empty when none."""
    needed = _NEEDED.get(line.kind, {})
    return next((key for key, kind in needed.items() if type(line.data.get(key)) is not kind), "")


def _strange(lines: Sequence[Line]) -> Iterator[Problem]:
    """Find lines that do not say what they must."""
    if lines and lines[0].kind != ABOUT:
        sentence = "Line 1 does not say which session the remarks are about."
        yield Problem(1, Fault.EDITED, sentence)
    for line in lines:
        if key := _lacking(line):
            sentence = f"Line {line.seq}: what it says of '{key}' cannot be read."
            yield Problem(line.seq, Fault.EDITED, sentence)


def _anchors(lines: Sequence[Line], journal: bytes) -> Iterator[Problem]:
    """Find lines that were said of a journal other than the one that stands there now."""
    raws = journal.split(b"\n")[:-1]
    for line in lines:
        seen, said = _number(line.data, "seen_lines"), line.data.get("seen_hash")
        if line.kind not in _NEEDED or _lacking(line):
            continue
        if seen > len(raws) or digest(raws[seen - 1] if seen > 0 else b"") != said:
            sentence = (
                f"Line {line.seq} was said of a session whose line {seen} read otherwise than now."
            )
            yield Problem(line.seq, Fault.OTHER_SESSION, sentence)


def _cut_off(record: Record, told: bytes | None) -> Iterator[Problem]:
    """Compare the last line with what the text beside it tells."""
    count = len(record.lines)
    last = (told or b"").decode("utf-8", "replace").rstrip("\n").rpartition("\n")[2]
    match = _CODE.fullmatch(last)
    if match is None:
        sentence = f"{REMARKS_TEXT} tells no code, so a cut at the end of {REMARKS} would not show."
        yield Problem(count + 1, Fault.UNTOLD, sentence)
        return
    code, number = match[1], int(match[2])
    if number > count:
        sentence = f"From line {count + 1} on {REMARKS} is cut off: {REMARKS_TEXT} tells of more."
        yield Problem(count + 1, Fault.CUT_OFF, sentence)
    elif number < 1 or seal_code(record.lines[number - 1]) != code:
        sentence = f"Line {max(number, 1)} does not fit the code in {REMARKS_TEXT}."
        yield Problem(max(number, 1), Fault.EDITED, sentence)
    elif number < count:
        sentence = f"From line {number + 1} on {REMARKS_TEXT} does not tell what {REMARKS} says."
        yield Problem(number + 1, Fault.UNTOLD, sentence)
