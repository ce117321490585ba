"""Lines of conversation as they are walked: by the bench, or another way from some place on."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from ways import Way, taken

from assistant.bench.errors import BenchError
from assistant.bench.ground import Ground
from assistant.bench.walking import Case, make_technician
from assistant.flow.linked import Flow
from assistant.flow.model import DecideStep
from assistant.walk import progress
from assistant.walk.ends import Heard
from assistant.walk.events import AnyEvent, Found, Moved
from assistant.walk.state import State, Turn
from assistant.walk.walk import Result, Walk
from assistant.walk.weighing import choose_case

MOST_TURNS = 260
"""A line that is longer goes round and is not kept."""

Override = Callable[[int, State], str | None]
"""Gives other words than the bench's at a turn, or none."""


@dataclass(frozen=True, slots=True)
class Line:
    """One walk by words.

    Args:
        case: unit, fault and complaint of the bench that gave the answers.
        words: what was heard, turn by turn.
        results: what each came to; the first is the beginning, before anything was heard.
        is_ended: whether the walk came to its end.
        ours: the answers that were not the bench's, by step.
        decided: each decision's step with the state it was taken in.
        counts: how many decisions were taken after each result.
    """

    case: Case
    words: tuple[str, ...]
    results: tuple[Result, ...]
    is_ended: bool
    ours: Mapping[str, str] = field(default_factory=dict)
    decided: tuple[tuple[str, State], ...] = ()
    counts: tuple[int, ...] = ()

    @property
    def others(self) -> int:
        """Give how many steps were not answered by the bench."""
        return len(self.ours)

    @property
    def states(self) -> tuple[State, ...]:
        """Give where the walk stood before each turn, and at last."""
        return tuple(result.state for result in self.results)

    def ways(self, flow: Flow) -> frozenset[Way]:
        """Give the ways it takes."""
        return frozenset(way for result in self.results for way in taken(flow, result.events))

    def stands(self) -> Iterable[str]:
        """Give the steps at which it stood and could answer."""
        return {state.step for state in self.states if state.turn is Turn.ANSWER}

    def findings(self) -> frozenset[str]:
        """Give the findings it makes."""
        return frozenset(event.finding for event in self._events() if isinstance(event, Found))

    def last_turn_at(self, name: str) -> int:
        """Give the last turn in which a step is left."""
        return max(
            turn
            for turn, result in enumerate(self.results)
            if any(isinstance(event, Moved) and event.step == name for event in result.events)
        )

    def _events(self) -> Iterable[AnyEvent]:
        return (event for result in self.results for event in result.events)


_DECIDED: list[tuple[str, State]] = []


def _choose_and_note(flow: Flow, state: State, step: DecideStep) -> str:
    """Decide as the walk does, and note in which state: events do not tell it."""
    _DECIDED.append((state.step, state))
    return choose_case(flow, state, step)


progress.choose_case = _choose_and_note  # type: ignore[attr-defined]


class Walker:
    """Walks lines of one flow on the bench.

    Args:
        walk: the flow's walk.
        ground: units and faults.
    """

    def __init__(self, walk: Walk, ground: Ground) -> None:
        self.walk, self.ground = walk, ground

    def line(self, case: Case, override: Override | None = None) -> Line:
        """Walk one case to its end, with other words where the override gives them.

        What the bench cannot answer is answered by the step's first choice.
        """
        technician = make_technician(
            self.ground.flow, self.ground.units[case.unit], case, self.ground.catalogue
        )
        _DECIDED.clear()
        results, words = [self.walk.begin()], list[str]()
        counts = [len(_DECIDED)]
        ours: dict[str, str] = {}
        is_ours = False
        while not results[-1].state.is_over and len(words) < MOST_TURNS:
            state = results[-1].state
            benched = self._answer(technician, state)
            said = override(len(words), state) if override is not None else None
            if said is None and is_ours and state.turn is Turn.CONFIRM:
                said = "yes"
            is_ours = said is not None and said != benched
            said = benched if said is None else said
            if said is None:
                break
            if is_ours and state.turn is Turn.ANSWER:
                ours[state.step] = said
            words.append(said)
            results.append(self.walk.hear(state, Heard(said)))
            counts.append(len(_DECIDED))
            if sum(results[-1].state.troubles.values()) > 2:
                break
        is_over = results[-1].state.is_over
        return Line(
            case, tuple(words), tuple(results), is_over, ours, tuple(_DECIDED), tuple(counts)
        )

    def _answer(self, technician: object, state: State) -> str | None:
        try:
            return str(technician.answer(state))  # type: ignore[attr-defined]
        except BenchError:
            step = self.walk.flow.steps[state.step]
            choices = getattr(step, "choices", {})
            return next((c.phrases[0] for c in choices.values()), None)


def at_turn(line: Line, turn: int, words: tuple[str, ...]) -> Override:
    """Go as a line to one turn, answer otherwise there, and go on as the line or the bench."""
    used = {state.step for state in line.states[: turn + 1] if state.turn is Turn.ANSWER}

    def override(now: int, state: State) -> str | None:
        if now < turn:
            return line.words[now]
        if now < turn + len(words):
            return words[now - turn]
        if state.turn is not Turn.ANSWER or state.step in used:
            return None
        used.add(state.step)
        return line.ours.get(state.step)

    return override
