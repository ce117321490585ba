"""The bench as a technician: each turn of a walk is answered from the place its step names.

What it says are words; they go through the same grammar and doubts as a person's.
"""

from collections.abc import Callable

import numpy as np

from assistant.bench.errors import BenchError
from assistant.bench.nameplates import read_plate
from assistant.bench.observations import OBSERVERS, observe
from assistant.bench.readings import take
from assistant.bench.rig import Rig
from assistant.flow.linked import Flow
from assistant.flow.model import (
    AskStep,
    DoStep,
    InteractiveStep,
    MeasureStep,
    ObserveStep,
    SpokenStep,
    value_name,
)
from assistant.quantity import OverLimit, Quantity, Reading
from assistant.spoken.meaning import Expectation
from assistant.spoken.phrasing import say_reading
from assistant.walk.ends import Heard
from assistant.walk.state import Pending, State, Turn

_CALLS = frozenset({"run_state", "relay_click", "run_watch", "rotation", "air_at_grilles"})
"""Observations for which the fan is called."""
_UNCALLS = frozenset({"blower_stops"})
"""Observations for which the call is taken off."""


class Technician:
    """Answers turns from a unit on the bench.

    Args:
        flow: the flow being walked.
        rig: the unit.
        complaint: what the customer says.
        chance: draws each meter's error; None: meters are exact.
        is_insistent: the customer says once that a unit without a fault is as before.
    """

    def __init__(
        self,
        flow: Flow,
        rig: Rig,
        complaint: str,
        *,
        chance: np.random.Generator | None = None,
        is_insistent: bool = False,
    ) -> None:
        self.flow, self.rig, self.complaint = flow, rig, complaint
        self._chance, self._is_insistent = chance, is_insistent
        self.shown: Reading | None = None
        self._choice = ""

    def answer(self, state: State) -> str:
        """Give the words for the present turn, and do with the hands what they say.

        Raises:
            BenchError: for a step that the bench cannot answer.
        """
        self.rig.follow(state.conditions)
        return _ANSWERS[state.turn](self, state)

    def _caution(self, state: State) -> str:
        return self.flow.cautions[state.subject].answer[0]

    def _condition(self, state: State) -> str:
        name, _, value = state.subject.partition("=")
        return self.flow.vocabulary.conditions[name].phrases[value][0]

    def _confirm(self, state: State) -> str:
        return "yes" if self._is_meant(state.pending) else "no"

    def _is_meant(self, pending: Pending | None) -> bool:
        if pending is None:
            return False
        if pending.reading is None:
            return pending.choice == self._choice
        shown = self.shown
        if isinstance(shown, OverLimit) or isinstance(pending.reading, OverLimit):
            return isinstance(shown, OverLimit) and isinstance(pending.reading, OverLimit)
        return shown is not None and pending.reading == shown

    def _no(self, state: State) -> str:
        del state
        return "no"

    def _reason(self, state: State) -> str:
        del state
        return next(iter(self.flow.vocabulary.skip_reasons.values()))[0]

    def _step(self, state: State) -> str:
        step = self.flow.steps[state.step]
        if not isinstance(step, InteractiveStep):
            raise BenchError(f"The bench has no answer at '{state.step}'.")
        self.rig.wait(float(step.minutes))
        self.shown, self._choice = None, ""
        if isinstance(step, MeasureStep):
            return self._measure(state, step)
        if isinstance(step, AskStep):
            return self._ask(state, step)
        return self._pick(step, self.choose(state, step))

    def _measure(self, state: State, step: MeasureStep) -> str:
        leads, places = self.rig.unit.motor.leads, self.flow.vocabulary.places
        probes = [step.from_] if step.to is None else [step.from_, step.to]
        kinds = {place: places[place].kind for place in probes}
        absent = [p for p, k in kinds.items() if k == "motor_lead" and p not in (*leads, _ALL)]
        if absent and step.choices:
            return self._pick(step, next(iter(step.choices)))
        if absent:
            raise BenchError(f"'{state.step}': this motor has no lead '{absent[0]}'.")
        return self._say(
            take(
                self.rig.stand, step.quantity, step.from_, step.to, step.meter, chance=self._chance
            )
        )

    def _ask(self, state: State, step: AskStep) -> str:
        printed = read_plate(self.rig.unit, value_name(state.step, step))
        is_possible = printed is not None and (not step.allowed or printed in step.allowed)
        if printed is not None and is_possible:
            return self._say(Quantity(printed, step.unit))
        if step.choices:
            return self._pick(step, next(iter(step.choices)))
        raise BenchError(
            f"The bench knows no rating '{value_name(state.step, step)}' for '{state.step}'.",
            "Give the step a choice such as: not printed.",
        )

    def _say(self, reading: Reading) -> str:
        self.shown = reading
        return say_reading(reading)[0]

    def _pick(self, step: SpokenStep, choice: str) -> str:
        self._choice = choice
        answer = step.choices.get(choice)
        if answer is not None:
            return answer.phrases[0]
        about = step.about if isinstance(step, DoStep | ObserveStep) else None
        phrases = self.flow.vocabulary.observations[about].values.get(choice) if about else None
        return phrases[0] if phrases else choice.replace("_", " ")

    def choose(self, state: State, step: DoStep | ObserveStep) -> str:
        """Give the choice that is true of the unit; the careful one where it is no observation."""
        about = step.about
        if about in _CALLS or about in _UNCALLS:
            self.rig.is_calling = about in _CALLS
        if about in _TOLD:
            return _TOLD[about](self, state)
        if about in OBSERVERS:
            return observe(self.rig.stand, about)
        return next(iter(step.choices))

    def _complain(self, state: State) -> str:
        del state
        return self.complaint

    def _is_gone(self, state: State) -> str:
        del state
        if self._is_insistent:
            self._is_insistent = False
            return "still_there"
        return "gone" if self.rig.is_right else "still_there"

    def _repair(self, state: State) -> str:
        self.rig.repair(self.flow.findings[name] for name in state.findings)
        return "repaired"

    def _same(self, state: State) -> str:
        """Measuring again gives the same: the bench never mixes leads up."""
        del state
        return "same_again"

    def _cold(self, state: State) -> str:
        del state
        return "still_warm" if self.rig.is_warm else "cold_long"


class BenchEars:
    """Ears for which the bench answers; the unit is looked at anew each turn.

    Args:
        technician: who answers.
        look: gives where the walk stands.
    """

    def __init__(self, technician: Technician, look: Callable[[], State]) -> None:
        self._technician, self._look = technician, look

    def listen(self, expectation: Expectation) -> Heard:
        """Give the bench's words for the present turn."""
        del expectation
        return Heard(self._technician.answer(self._look()), source="bench")

    def close(self) -> None:
        """Let go of nothing."""


_ALL = "motor_leads"
_TOLD: dict[str | None, Callable[[Technician, State], str]] = {
    "complaint": Technician._complain,  # noqa: SLF001 - the table is the class's own
    "measured_twice": Technician._same,  # noqa: SLF001
    "complaint_now": Technician._is_gone,  # noqa: SLF001
    "repair": Technician._repair,  # noqa: SLF001
    "cold_soak": Technician._cold,  # noqa: SLF001
}
_ANSWERS: dict[Turn, Callable[[Technician, State], str]] = {
    Turn.CAUTION: Technician._caution,  # noqa: SLF001
    Turn.CONDITION: Technician._condition,  # noqa: SLF001
    Turn.CONFIRM: Technician._confirm,  # noqa: SLF001
    Turn.ANSWER: Technician._step,  # noqa: SLF001
    Turn.STOP: Technician._no,  # noqa: SLF001
    Turn.SKIP_REASON: Technician._reason,  # noqa: SLF001
}
