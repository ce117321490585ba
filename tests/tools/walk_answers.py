"""What else could be answered at a place: every choice, a skip, numbers on both sides of limits."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from itertools import pairwise

from assistant.bench.meter import METERS
from assistant.errors import RungsideError
from assistant.flow.clauses import Compare
from assistant.flow.linked import Flow
from assistant.flow.model import (
    AskStep,
    DecideStep,
    MeasureStep,
    NumberStep,
    SpokenStep,
    is_hold,
    value_name,
)
from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.spoken.phrasing import say_reading
from assistant.walk.ends import Heard
from assistant.walk.events import AskedBack, Judged, Moved, NotTaken
from assistant.walk.state import State, Turn
from assistant.walk.walk import Result, Walk

_SHARES = [
    Decimal(s)
    for s in [
        "0.02",
        "0.04",
        "0.06",
        "0.5",
        "0.88",
        "0.92",
        "0.96",
        "1",
        "1.02",
        "1.04",
        "1.08",
        "1.12",
        "2",
    ]
]
"""Shares of a value taken earlier at which a limit that is made from it may lie."""
_PLACES = {Unit.AMPERE: 1, Unit.MICROFARAD: 1, Unit.IN_WC: 2}
"""Decimals of a printed value; none where not given."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer and what it comes to.

    Args:
        words: what is said, with the yes to what is asked back.
        results: what each came to.
        mark: what must not change: the way out, each rule's outcome, whether it was doubted.
    """

    words: tuple[str, ...]
    results: tuple[Result, ...]
    mark: tuple[str, ...]


def say(walk: Walk, state: State, words: str) -> Answer:
    """Give an answer at a place, confirmed where it is asked back."""
    results = [walk.hear(state, Heard(words))]
    said = [words]
    if results[-1].state.turn is Turn.CONFIRM:
        said.append("yes")
        results.append(walk.hear(results[-1].state, Heard("yes")))
    return Answer(tuple(said), tuple(results), tuple(_marks(results)))


def say_all(walk: Walk, state: State, words: tuple[str, ...]) -> Answer:
    """Say words one after another, whatever they come to."""
    results: list[Result] = []
    for one in words:
        results.append(walk.hear(state, Heard(one)))
        state = results[-1].state
    return Answer(words, tuple(results), tuple(_marks(results)))


def _marks(results: list[Result]) -> Iterator[str]:
    for result in results:
        for event in result.events:
            if isinstance(event, Moved):
                yield f"{event.step} {event.outcome}"
            elif isinstance(event, Judged):
                yield f"{event.rule} {event.outcome}"
            elif (isinstance(event, NotTaken) and event.trouble == "out_of_range") or (
                isinstance(event, AskedBack) and "outside" in event.why
            ):
                yield "doubted"


def choices(walk: Walk, state: State) -> Iterator[Answer]:
    """Give each named answer, and the step skipped with a reason."""
    step = walk.flow.steps[state.step]
    if not isinstance(step, SpokenStep):
        return
    for choice in step.choices.values():
        yield say(walk, state, choice.phrases[0])
    if is_hold(step):
        yield say(walk, state, "number one")
    if step.skipped is not None and not is_hold(step):
        reasons = walk.flow.vocabulary.skip_reasons.values()
        reason = next(iter(reasons))[0]
        first = walk.hear(state, Heard("skip it"))
        second = walk.hear(first.state, Heard(reason))
        results = (first, second)
        yield Answer(("skip it", reason), results, tuple(_marks([*results])))


def compared(flow: Flow, value: str) -> Iterator[Decimal]:
    """Give the numbers that decisions compare a value with."""
    for step in flow.steps.values():
        for case in step.cases if isinstance(step, DecideStep) else ():
            for clause in case.when:
                if isinstance(clause, Compare) and clause.value == value:
                    limits = clause.at_least, clause.below
                    yield from (one for one in limits if isinstance(one, Decimal))


class Numbers:
    """The numbers to answer a step with: on both sides of wherever another one leads elsewhere.

    Args:
        walk: the flow's walk.
        state: where it stands: at a step that takes a number.
    """

    def __init__(self, walk: Walk, state: State) -> None:
        self._walk, self._state = walk, state
        step = walk.flow.steps[state.step]
        if not isinstance(step, NumberStep):
            raise TypeError(state.step)
        self._step = step
        self._known: dict[str, Answer] = {}

    def answers(self) -> Iterator[Answer]:
        """Give answers: each allowed value, or both sides of every limit, and OL."""
        step = self._step
        if step.allowed:
            beside = [step.allowed[0] - 1, step.allowed[-1] + 1]
            for value in (*step.allowed, *beside):
                yield self._hear(Quantity(value, step.unit))
        else:
            yield from self._limits()
        if isinstance(step, MeasureStep):
            yield self._hear(OverLimit(step.unit))
        if step.dual:
            yield say(self._walk, self._state, "forty five and five microfarads")

    def both_sides(self, mark: Callable[[str], str]) -> Iterator[str]:
        """Give the words of numbers on both sides of each place where something changes.

        Args:
            mark: tells what is watched for words, which may lie far behind this step.
        """
        low, high = self._step.plausible
        points = sorted({*(high / Decimal(3) ** part for part in range(9)), low})
        words = [self._word(float(point)) for point in points]
        for at, (one, other) in enumerate(pairwise(points)):
            below, above = words[at], words[at + 1]
            if mark(below) == mark(above):
                continue
            yield from self._closing(float(one), float(other), below, above, mark)

    def _closing(
        self, low: float, high: float, below: str, above: str, mark: Callable[[str], str]
    ) -> Iterator[str]:
        for _ in range(14):
            middle = (low + high) / 2
            word = self._word(middle)
            if word in (below, above):
                break
            if mark(word) == mark(below):
                low, below = middle, word
            else:
                high, above = middle, word
        yield below
        yield above

    def _word(self, value: float) -> str:
        return say_reading(self._shown(value))[0]

    def _limits(self) -> Iterator[Answer]:
        points = sorted({float(point) for point in self._points()})
        pairs = list(pairwise(points))
        lowest = self._hear(self._shown(points[0]))
        yield lowest
        yielded: set[str] = {lowest.words[0]}
        for low, high in pairs:
            for reading in self._between(low, high):
                answer = self._hear(reading)
                if answer.words[0] not in yielded:
                    yielded.add(answer.words[0])
                    yield answer

    def _between(self, low: float, high: float) -> Iterator[Reading]:
        """Give both sides of one place between two values where the mark changes."""
        below, above = self._shown(low), self._shown(high)
        if self._hear(below).mark == self._hear(above).mark:
            return
        for _ in range(40):
            middle = (low + high) / 2
            reading = self._shown(middle)
            if reading in (below, above):
                break
            if self._hear(reading).mark == self._hear(below).mark:
                low, below = middle, reading
            else:
                high, above = middle, reading
        yield below
        yield above

    def _points(self) -> Iterator[Decimal]:
        """Give values to look at first: over the range, and about every number that may count."""
        low, high = self._step.plausible
        width = high - low
        yield from (low + width * part / 24 for part in range(25))
        yield from (high / Decimal(3) ** part for part in range(1, 14))
        digit = max(abs(high), Decimal(1)) / 500
        yield from (high + digit, low - digit if low > digit or low < 0 else low)
        for anchor in self._anchors():
            for share in _SHARES:
                for value in (anchor * share, -anchor * share):
                    if low <= value <= high:
                        yield value

    def _anchors(self) -> Iterator[Decimal]:
        """Give the numbers that this step's value may be compared with, in its unit."""
        flow, step = self._walk.flow, self._step
        own = value_name(self._state.step, step)
        taken = {}
        for name, value in self._state.values.items():
            if isinstance(value.reading, Quantity) and name != own:
                try:
                    taken[name] = value.reading.to(step.unit).value
                except RungsideError:
                    continue
        for rule in step.judge:
            yield from (one for one in rule.operands() if isinstance(one, Decimal))
        yield from taken.values()
        parts = (name for rule in step.judge for name in getattr(rule, "parts", ()))
        yield sum((taken.get(name, Decimal(0)) for name in parts), Decimal(0))
        yield from compared(flow, own)

    def _shown(self, value: float) -> Reading:
        """Give a value with the digits that its meter shows, or that are printed."""
        step = self._step
        exact = Decimal(repr(value))
        if isinstance(step, AskStep) or step.meter not in METERS:
            places = Decimal(1).scaleb(-_PLACES.get(step.unit, 0))
            return Quantity(exact.quantize(places, rounding=ROUND_HALF_EVEN), step.unit)
        assert isinstance(step, MeasureStep)
        meter = METERS[step.meter]
        base = meter.ranges[0].unit
        true = Quantity(exact, step.unit).to(base).value
        shown = meter.show(float(true) - meter.lead_ohms)
        if not isinstance(shown, OverLimit):
            return shown
        return Quantity(exact.quantize(Decimal(1), rounding=ROUND_HALF_EVEN), step.unit)

    def _hear(self, reading: Reading) -> Answer:
        words = say_reading(reading)[0]
        if words not in self._known:
            self._known[words] = say(self._walk, self._state, words)
        return self._known[words]
