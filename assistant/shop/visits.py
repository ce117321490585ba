"""A record's stays at steps, its cautions and what was counted, folded from its lines."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from assistant.journal.flag_finders import saying_seconds, seconds_between
from assistant.journal.fold import Reducer, fold
from assistant.journal.line import Line
from assistant.journal.reading import Record

HELPING = frozenset({"help", "why", "repeat"})
"""Standing commands that say a step was not clear at once."""
HELD = "hold"


@dataclass(slots=True)
class Visit:
    """A stay at a step, from what was heard before it to what led on.

    Args:
        line: the line of the first thing heard there.
        step: the step.
        since: when the stay began.
        until: when it ended.
        heard: how many things were heard.
        silences: how often nothing was.
        not_taken: how often what was heard was no answer.
        asked_back: how often a number was asked back.
        helped: how often help, the reason or the words again were wanted.
        is_timed: whether it was left by an answer and never put on hold or broken off.
    """

    line: int
    step: str
    since: str
    until: str
    heard: int = 0
    silences: int = 0
    not_taken: int = 0
    asked_back: int = 0
    helped: int = 0
    is_timed: bool = False
    is_held: bool = False
    is_left: bool = False

    @property
    def seconds(self) -> float:
        """Give how long it was; a clock set back counts as no time."""
        return max(0.0, seconds_between(self.since, self.until))


@dataclass(slots=True)
class Warned:
    """A caution, as it was said and answered.

    Args:
        line: the line in which it is said.
        caution: its id.
        step: the step it belongs to.
        needed: the seconds that saying it takes at least.
        given_at: when it was said.
        seconds: until the answer; None where none came before it was said again.
    """

    line: int
    caution: str
    step: str
    needed: float
    given_at: str
    seconds: float | None = None

    @property
    def is_fast(self) -> bool:
        """Whether it was answered sooner than it can have been heard or read."""
        return self.seconds is not None and 0 <= self.seconds < self.needed


@dataclass(slots=True)
class Trail:
    """The fold in progress, filled in place."""

    visits: list[Visit] = field(default_factory=list)
    cautions: list[Warned] = field(default_factory=list)
    waiting: dict[str, Warned] = field(default_factory=dict)
    took: dict[tuple[str, int], int] = field(default_factory=dict)
    found: dict[tuple[str, int], int] = field(default_factory=dict)
    open: Visit | None = None
    since: str = ""
    skipped: int = 0
    blocked: int = 0
    held: int = 0
    retaken: int = 0


def follow(record: Record) -> Trail:
    """Fold a record into stays, cautions and counts.

    Raises:
        KeyError: when an event lacks what its kind must say.
    """
    return fold(record.lines, TRAIL_REDUCERS, Trail())


def _began(trail: Trail, line: Line) -> Trail:
    trail.since = line.time
    return trail


def _heard(trail: Trail, line: Line) -> Trail:
    step = line.data["step"]
    visit = trail.open
    if visit is None or visit.step != step or visit.is_left:
        visit = Visit(line.seq, str(step), trail.since or line.time, line.time)
        trail.visits.append(visit)
        trail.open = visit
    visit.heard += 1
    if line.data["is_silence"]:
        visit.silences += 1
    visit.until = trail.since = line.time
    return trail


def _moved(trail: Trail, line: Line) -> Trail:
    visit = trail.open
    if visit is not None and line.data["step"] == visit.step and not visit.is_left:
        visit.is_left = True
        visit.is_timed = not visit.is_held
    return trail


def _resumed(trail: Trail, line: Line) -> Trail:
    trail.since = line.time
    if trail.open is not None:
        trail.open.is_held = True
    return trail


def _commanded(trail: Trail, line: Line) -> Trail:
    command = line.data["command"]
    if command == HELD:
        trail.held += 1
    if trail.open is not None and command == HELD:
        trail.open.is_held = True
    elif trail.open is not None and command in HELPING:
        trail.open.helped += 1
    return trail


def _not_taken(trail: Trail, line: Line) -> Trail:
    del line
    if trail.open is not None:
        trail.open.not_taken += 1
    return trail


def _asked_back(trail: Trail, line: Line) -> Trail:
    del line
    if trail.open is not None:
        trail.open.asked_back += 1
    return trail


def _caution_given(trail: Trail, line: Line) -> Trail:
    text, name = str(line.data["text"]), str(line.data["caution"])
    warned = Warned(line.seq, name, str(line.data["step"]), saying_seconds(text), line.time)
    trail.cautions.append(warned)
    trail.waiting[name] = warned
    return trail


def _caution_answered(trail: Trail, line: Line) -> Trail:
    warned = trail.waiting.pop(str(line.data["caution"]), None)
    if warned is not None:
        warned.seconds = seconds_between(warned.given_at, line.time)
    return trail


def _took(trail: Trail, line: Line) -> Trail:
    trail.took[str(line.data["name"]), _number(line)] = line.seq
    trail.retaken += bool(line.data["retaken"]) and line.data["origin"] != "worked_out"
    return trail


def _found(trail: Trail, line: Line) -> Trail:
    trail.found[str(line.data["finding"]), _number(line)] = line.seq
    return trail


def _number(line: Line) -> int:
    number = line.data["answer"]
    return number if isinstance(number, int) else 0


def _skipped(trail: Trail, line: Line) -> Trail:
    del line
    trail.skipped += 1
    return trail


def _blocked(trail: Trail, line: Line) -> Trail:
    del line
    trail.blocked += 1
    return trail


TRAIL_REDUCERS: Mapping[str, Reducer[Trail]] = {
    "began": _began,
    "heard": _heard,
    "moved": _moved,
    "resumed": _resumed,
    "commanded": _commanded,
    "not_taken": _not_taken,
    "asked_back": _asked_back,
    "caution_given": _caution_given,
    "caution_answered": _caution_answered,
    "took": _took,
    "found": _found,
    "skipped": _skipped,
    "blocked": _blocked,
}
"""One function a kind of event; each fills the trail."""
