"""One flow walked on one unit with one fault, without a journal: what it came to."""

from collections.abc import Callable
from dataclasses import dataclass
from zlib import crc32

import numpy as np

from assistant.bench.equipment import Equipment
from assistant.bench.faults import Catalogue
from assistant.bench.rig import Rig
from assistant.bench.technician import Technician
from assistant.flow.linked import Flow
from assistant.flow.model import InteractiveStep
from assistant.walk.ends import Heard
from assistant.walk.events import AnyEvent, AskedBack, Found, Moved, SentOn
from assistant.walk.state import State
from assistant.walk.walk import Result, Walk

MOST_TURNS, MOST_TROUBLES = 600, 5
"""A walk that takes more turns, or is not understood that often at one step, is stuck."""
STUCK = "stuck"


@dataclass(frozen=True, slots=True)
class Case:
    """What is walked.

    Args:
        unit: the unit's name.
        fault: the fault's id, or `healthy`.
        complaint: what the customer says.
        seed: of the meters' noise; None: exact meters.
        is_insistent: the customer says once that a unit without a fault is as before.
    """

    unit: str
    fault: str
    complaint: str
    seed: int | None = None
    is_insistent: bool = False


@dataclass(frozen=True, slots=True)
class Walked:
    """What a walk came to.

    Args:
        case: what was walked.
        findings: in order.
        found_at: minutes gone when each was made.
        outcome: `found`, `no_fault`, `stopped`, `sent` or `stuck`.
        steps: the interactive steps that were left, in order.
        minutes: their minutes together.
        turns: things heard.
        asked_back: answers that were asked back.
        is_right: whether the unit was sound at the end.
        sent_to: the flow that the walk was sent on to.
    """

    case: Case
    findings: tuple[str, ...]
    found_at: tuple[float, ...]
    outcome: str
    steps: tuple[str, ...]
    minutes: float
    turns: int
    asked_back: int
    is_right: bool
    sent_to: str = ""


def make_technician(flow: Flow, unit: Equipment, case: Case, catalogue: Catalogue) -> Technician:
    """Give the technician who answers for a case; the same case has the same noise."""
    chance = None
    if case.seed is not None:
        name = f"{case.unit} {case.fault} {case.complaint}"
        chance = np.random.default_rng([case.seed, crc32(name.encode())])
    rig = Rig(unit, case.fault, catalogue)
    return Technician(flow, rig, case.complaint, chance=chance, is_insistent=case.is_insistent)


class Tally:
    """What is counted while a walk goes on.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self._flow = flow
        self.steps: list[str] = []
        self.findings: list[str] = []
        self.found_at: list[float] = []
        self.minutes = 0.0
        self.turns = self.asked_back = 0
        self.sent_to = ""

    def take(self, events: tuple[AnyEvent, ...]) -> None:
        """Count one turn's events."""
        for event in events:
            if isinstance(event, Moved):
                step = self._flow.steps[event.step]
                if isinstance(step, InteractiveStep):
                    self.steps.append(event.step)
                    self.minutes += float(step.minutes)
            elif isinstance(event, Found):
                self.findings.append(event.finding)
                self.found_at.append(self.minutes)
            elif isinstance(event, SentOn):
                self.sent_to = event.flow
            elif isinstance(event, AskedBack):
                self.asked_back += 1


Watch = Callable[[State, Technician, Result], None]
"""Is told each turn: where the walk stood, who answered, what it came to."""


def walk_case(
    walk: Walk, unit: Equipment, case: Case, catalogue: Catalogue, watch: Watch | None = None
) -> Walked:
    """Walk one case to its end.

    Args:
        walk: the flow.
        unit: the unit without a fault.
        case: what is wrong, what is said of it, and how noisy the meters are.
        catalogue: where the fault is described.
        watch: told each turn.

    Raises:
        BenchError: for a step that the bench cannot answer, or a fault that does not fit.
    """
    technician = make_technician(walk.flow, unit, case, catalogue)
    begun = walk.begin()
    tally = Tally(walk.flow)
    tally.take(begun.events)
    state = walk_on(walk, begun.state, technician, tally, watch)
    return told(state, technician, tally, case)


def walk_on(
    walk: Walk, state: State, technician: Technician, tally: Tally, watch: Watch | None = None
) -> State:
    """Let the technician answer until the walk is over or stuck; give where it stands."""
    while not state.is_over and not _is_stuck(state, tally):
        words = technician.answer(state)
        result = walk.hear(state, Heard(words, source="bench"))
        tally.turns += 1
        tally.take(result.events)
        if watch is not None:
            watch(state, technician, result)
        state = result.state
    return state


def _is_stuck(state: State, tally: Tally) -> bool:
    return tally.turns >= MOST_TURNS or sum(state.troubles.values()) >= MOST_TROUBLES


def told(state: State, technician: Technician, tally: Tally, case: Case) -> Walked:
    """Give what a walk came to."""
    return Walked(
        case=case,
        findings=tuple(tally.findings),
        found_at=tuple(tally.found_at),
        outcome=state.outcome or STUCK,
        steps=tuple(tally.steps),
        minutes=tally.minutes,
        turns=tally.turns,
        asked_back=tally.asked_back,
        is_right=technician.rig.is_right,
        sent_to=tally.sent_to,
    )
