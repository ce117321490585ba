"""What one thing heard would come to, outside a walk: the record that `rungside hear` prints."""

from collections.abc import Hashable
from dataclasses import dataclass, replace

from assistant.errors import RungsideError
from assistant.flow.conditions import first_conditions
from assistant.flow.linked import Flow
from assistant.flow.model import InteractiveStep
from assistant.flow.problems import nearest
from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.spoken.decision import Decision, Verb, decide
from assistant.spoken.meaning import Command, Expectation, Picked, Value, YesNo
from assistant.spoken.phrasing import ask_back
from assistant.walk.doubting import (
    flipping_neighbours,
    implausible,
    impossible_rating,
    minding_denials,
)
from assistant.walk.ends import Heard
from assistant.walk.expecting import step_expectation
from assistant.walk.state import State, Turn


class WalkError(RungsideError):
    """Something asked of a walk that its flow does not have."""


@dataclass(frozen=True, slots=True)
class Bench:
    """Where an answer is heard without a walk.

    Args:
        expectation: what may be answered.
        flow: the flow, where a step of one is meant.
        step: that step; empty where only a unit is.
        denied: what was denied before, as `sense_of` gives it.
    """

    expectation: Expectation
    flow: Flow | None = None
    step: str = ""
    denied: frozenset[Hashable] = frozenset()


def stand_at(flow: Flow, step: str) -> Bench:
    """Stand at one step of a flow, with no value taken.

    Raises:
        WalkError: when the flow has no such step, or it takes no answer.
    """
    answered = [n for n, s in flow.steps.items() if isinstance(s, InteractiveStep)]
    if step not in answered:
        message = f"The flow '{flow.id}' has no step '{step}' that is answered."
        raise WalkError(message, nearest(step, answered))
    return Bench(step_expectation(flow, step), flow, step)


def weigh_heard(heard: Heard, bench: Bench, *, is_sound: bool) -> dict[str, object]:
    """Give what one thing heard comes to, as the keys of `rungside hear`.

    Args:
        heard: the words and what else the recogniser found.
        bench: where it is heard.
        is_sound: whether it came by sound, so that words that sound alike count.

    Returns:
        `source`, `words`, `value` (digits as said, or `yes`, `no`, a choice), `unit`,
        `over_limit`, `command`, `decision`, `why`, and `second`, `detail`, `question`.
    """
    heard = minding_denials(heard, bench.expectation, bench.denied)
    decision = decide(heard.words, bench.expectation, heard.alternatives, is_sound, heard.doubt)
    if decision.decision is Verb.ACCEPT and isinstance(decision.meaning, Value):
        decision = _weighed_at_step(decision, bench, heard, decision.meaning.reading)
    return _record(heard, decision)


def _weighed_at_step(decision: Decision, bench: Bench, heard: Heard, reading: Reading) -> Decision:
    if bench.flow is None:
        return decision
    flow = bench.flow
    state = State(bench.step, Turn.ANSWER, first_conditions(flow.vocabulary))
    why = impossible_rating(flow, state, reading)
    if why:
        return replace(decision, decision=Verb.REFUSE, why=why)
    why = implausible(flow, state, reading)
    if not why and flipping_neighbours(flow, state, reading, heard.alternatives):
        why = "Mistaken for a value that sounds alike, it would lead elsewhere."
    if not why:
        return decision
    return replace(decision, decision=Verb.ASK, why=why, question=ask_back(reading))


def _record(heard: Heard, decision: Decision) -> dict[str, object]:
    meaning, reading = decision.meaning, decision.value
    is_over = isinstance(reading, OverLimit)
    value = f"{reading.value:f}" if isinstance(reading, Quantity) else None
    unit = None if reading is None or reading.unit is Unit.COUNT else reading.unit.value
    if isinstance(meaning, YesNo):
        value = "yes" if meaning.is_yes else "no"
    if isinstance(meaning, Picked):
        value = meaning.choice
    second = meaning.second if isinstance(meaning, Value) else None
    return {
        "source": heard.source,
        "words": heard.words,
        "value": value,
        "unit": unit,
        "over_limit": is_over,
        "command": meaning.kind.value if isinstance(meaning, Command) else None,
        "decision": decision.decision.value,
        "why": decision.why,
        "second": None if second is None else f"{second.value:f}",
        "detail": meaning.detail if isinstance(meaning, Command) else "",
        "question": decision.question,
        "alternatives": list(heard.alternatives),
    }
