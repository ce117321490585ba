"""The way a walk took, read from its session: moves in order, skips, findings, the end."""

from dataclasses import dataclass, field
from typing import Any

from assistant.flow.model import is_end
from assistant.journal.fold import Reducer, fold
from assistant.journal.line import Line
from assistant.journal.reading import Record


@dataclass(frozen=True, slots=True)
class Move:
    """One step left by one outcome."""

    step: str
    outcome: str
    target: str
    answer: int


@dataclass(frozen=True, slots=True)
class Trail:
    """The way a walk took; what was taken back is not in it.

    Args:
        flow: the flow's id.
        edition: the flow's edition.
        digest: the flow's content hash.
        moves: the moves in order.
        skipped: the steps that were skipped, with the answer that did it.
        findings: the steps where a finding was made, with its answer.
        ended: the step where the walk ended; empty while it is not over.
        why: why it ended, one sentence.
        scratched: how many answers were taken back.
        damaged: how many lines of the record are not as they were written.
    """

    flow: str = ""
    edition: str = ""
    digest: str = ""
    moves: tuple[Move, ...] = ()
    skipped: tuple[tuple[str, int], ...] = ()
    findings: tuple[tuple[str, int], ...] = ()
    ended: str = ""
    why: str = ""
    scratched: int = 0
    damaged: int = 0

    @property
    def stands_at(self) -> str:
        """Give the last step: where it ended, or where it waits for an answer."""
        last = self.moves[-1].target if self.moves else ""
        return self.ended if self.ended or is_end(last) else last

    @property
    def visits(self) -> tuple[str, ...]:
        """Give every step in the order it was stood at; one visited twice stands there twice."""
        steps = [move.step for move in self.moves]
        if self.moves and not is_end(self.moves[-1].target):
            steps.append(self.moves[-1].target)
        elif not self.moves and self.ended:
            steps.append(self.ended)
        return tuple(steps)


@dataclass
class _Way:
    """The trail in progress; nobody else sees it."""

    head: dict[str, Any] = field(default_factory=dict)
    moves: list[Move] = field(default_factory=list)
    skipped: list[tuple[str, int]] = field(default_factory=list)
    findings: list[tuple[str, int]] = field(default_factory=list)
    ended: tuple[str, str] = ("", "")
    scratched: int = 0


def follow_trail(record: Record) -> Trail:
    """Give the way that a recorded walk took.

    Args:
        record: a journal as read; it may be cut, what is whole counts.
    """
    way = fold(record.lines, _REDUCERS, _Way())
    return Trail(
        flow=str(way.head.get("flow", "")),
        edition=str(way.head.get("edition", "")),
        digest=str(way.head.get("digest", "")),
        moves=tuple(way.moves),
        skipped=tuple(way.skipped),
        findings=tuple(way.findings),
        ended=way.ended[0],
        why=way.ended[1],
        scratched=way.scratched,
        damaged=len(record.damage),
    )


def _began(way: _Way, line: Line) -> _Way:
    way.head = dict(line.data)
    return way


def _moved(way: _Way, line: Line) -> _Way:
    step, outcome, target = (str(line.data.get(key, "")) for key in ("step", "outcome", "target"))
    way.moves.append(Move(step, outcome, target, _answer(line)))
    return way


def _skipped(way: _Way, line: Line) -> _Way:
    way.skipped.append((str(line.data.get("step", "")), _answer(line)))
    return way


def _found(way: _Way, line: Line) -> _Way:
    way.findings.append((str(line.data.get("step", "")), _answer(line)))
    return way


def _scratched(way: _Way, line: Line) -> _Way:
    number = _answer(line)
    way.scratched += 1
    way.moves = [one for one in way.moves if one.answer < number]
    way.skipped = [one for one in way.skipped if one[1] < number]
    way.findings = [one for one in way.findings if one[1] < number]
    return way


def _ended(way: _Way, line: Line) -> _Way:
    way.ended = (str(line.data.get("step", "")), str(line.data.get("why", "")))
    return way


def _answer(line: Line) -> int:
    """Give the number of the answer a line follows from; 0 where a damaged line has none."""
    number = line.data.get("answer", 0)
    return number if isinstance(number, int) else 0


_REDUCERS: dict[str, Reducer[_Way]] = {
    "began": _began,
    "moved": _moved,
    "skipped": _skipped,
    "found": _found,
    "scratched": _scratched,
    "ended": _ended,
}
