"""The bench as a technician: each turn of a walk is answered from the place its step names.

What it says are words; they go through the same grammar and doubts as a person's.
"""

from collections.abc import Callable
from copy import copy

import numpy as np

from assistant.bench.errors import BenchError
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

    @property
    def told(self) -> tuple[Reading | None, str]:
        """Give what the last step showed: a reading, or a choice."""
        return self.shown, self._choice

    def say_complaint(self) -> str:
        """Give the complaint in the vocabulary's words."""
        known = self.flow.vocabulary.observations["complaint"].values
        return known.get(self.complaint, (self.complaint,))[0]

    def copy(self) -> "Technician":
        """Give a technician who goes an own way from here; meters are exact from then on."""
        other = copy(self)
        other.rig = self.rig.copy()
        other._chance = None  # noqa: SLF001 - the copy is one of ours
        return other

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
        about, kind = _about(step), self.rig.kind
        if about in kind.calls | kind.uncalls:
            self.rig.is_calling = about in kind.calls
        if about in kind.alters:
            self.rig.alter(about)
        if about == _REPAIR:
            self.rig.repair(self.flow.findings[name] for name in state.findings)
        self.shown, self._choice = self.look_at(state.step)
        if self.shown is not None:
            return say_reading(self.shown)[0]
        return self._phrase(step, self._choice)

    def look_at(self, name: str) -> tuple[Reading | None, str]:
        """Give the reading at a step, or the choice that is true of the unit.

        Args:
            name: a step that takes a turn.

        Raises:
            BenchError: for a step that the bench cannot answer.
        """
        step = self.flow.steps[name]
        if isinstance(step, MeasureStep):
            return self._measure(name, step)
        if isinstance(step, AskStep):
            return self._read(name, step)
        if isinstance(step, DoStep | ObserveStep):
            return None, self._choose(step)
        raise BenchError(f"The bench has no answer at '{name}'.")

    def _measure(self, name: str, step: MeasureStep) -> tuple[Reading | None, str]:
        probes = [step.from_] if step.to is None else [step.from_, step.to]
        absent = [place for place in probes if not self.rig.stand.has_place(place)]
        if absent and not step.choices:
            raise BenchError(
                f"'{name}': this unit has no '{absent[0]}'.",
                "Give the step a choice such as: no such lead.",
            )
        if absent:
            return None, next(iter(step.choices))
        stand, chance = self.rig.stand, self._chance
        return take(stand, step.quantity, step.from_, step.to, step.meter, chance=chance), ""

    def _read(self, name: str, step: AskStep) -> tuple[Reading | None, str]:
        value = value_name(name, step)
        printed = self.rig.kind.printed(self.rig.unit, value)
        if printed is not None and (not step.allowed or printed in step.allowed):
            return Quantity(printed, step.unit), ""
        if step.choices:
            return None, next(iter(step.choices))
        raise BenchError(
            f"The bench knows no rating '{value}' for '{name}'.",
            "Give the step a choice such as: not printed.",
        )

    def _choose(self, step: DoStep | ObserveStep) -> str:
        """Give what is true of the unit; the first answer where it is no observation of one."""
        about = step.about or ""
        if about in _TOLD:
            return _TOLD[about](self)
        if about in self.rig.kind.observers:
            return self.rig.stand.observe(about)
        return next(iter(step.choices))

    def _phrase(self, step: SpokenStep, choice: str) -> str:
        """Give the words for a choice, those of the vocabulary where the step does not take it."""
        answer = step.choices.get(choice)
        if answer is not None:
            return answer.phrases[0]
        observation = self.flow.vocabulary.observations.get(_about(step))
        known = {} if observation is None else observation.values
        return known.get(choice, (choice.replace("_", " "),))[0]

    def _complain(self) -> str:
        return self.complaint

    def _is_gone(self) -> str:
        if self._is_insistent:
            self._is_insistent = False
            return "still_there"
        return "gone" if self.rig.is_right else "still_there"

    def _cold(self) -> str:
        return "still_warm" if self.rig.is_warm else "cold_long"

    def _same(self) -> str:
        """Measuring again gives the same: the bench never mixes leads up."""
        return "same_again"


def _about(step: SpokenStep) -> str:
    return step.about or "" if isinstance(step, DoStep | ObserveStep) else ""


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


_REPAIR = "repair"
_TOLD: dict[str, Callable[[Technician], str]] = {
    "complaint": Technician._complain,  # noqa: SLF001 - the table is the class's own
    "complaint_now": Technician._is_gone,  # noqa: SLF001
    "cold_soak": Technician._cold,  # noqa: SLF001
    "measured_twice": Technician._same,  # noqa: SLF001
}
_ANSWERS: dict[Turn, Callable[[Technician, State], str]] = {
    Turn.CAUTION: Technician._caution,  # noqa: SLF001
    Turn.CONDITION: Technician._condition,  # noqa: SLF001
    Turn.CONFIRM: Technician._confirm,  # noqa: SLF001
    Turn.ANSWER: Technician._step,  # noqa: SLF001
    Turn.STOP: Technician._no,  # noqa: SLF001
    Turn.SKIP_REASON: Technician._reason,  # noqa: SLF001
}
