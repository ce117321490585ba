"""Practising: a hidden fault, what meter and eyes show on the way, and what it came to."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from random import Random

from assistant.bench.errors import BenchError
from assistant.bench.ground import Ground
from assistant.bench.isolation import complaints_of, fault_cases
from assistant.bench.running import Runner, shares
from assistant.bench.technician import Technician
from assistant.bench.walking import Case, Tally
from assistant.flow.model import (
    AskStep,
    DoStep,
    MeasureStep,
    ObserveStep,
    SpokenStep,
)
from assistant.flow.problems import nearest
from assistant.quantity import Quantity, Reading, Unit, format_for_eye, with_one_stop
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Ears, Sound
from assistant.walk.events import (
    Answered,
    AnyEvent,
    CautionAnswered,
    CautionGiven,
    NotTaken,
    Took,
)
from assistant.walk.state import State, Turn


def hide_fault(ground: Ground, seed: int, fault: str | None = None) -> Case:
    """Choose a unit and a fault on it; the same seed hides the same.

    Args:
        ground: units and faults to choose from.
        seed: of the choice.
        fault: the fault, where it is not to be drawn by how often each is met.

    Raises:
        BenchError: when there is no such fault, or no unit here can have it.
    """
    if fault is not None and fault not in ground.catalogue.faults:
        raise BenchError(f"There is no fault '{fault}'.", nearest(fault, ground.catalogue.faults))
    chance = Random(seed)  # noqa: S311 - a choice to practise on, no secret
    faults = [fault] if fault else [one for one in ground.faults if ground.is_covered(one)]
    pairs = [(unit, one) for unit in ground.units for one in faults if ground.fits(unit, one)]
    if not pairs:
        raise BenchError(
            f"No unit here can have the fault '{fault or 'any'}'.",
            "Give another unit with --bench.",
        )
    weights = [ground.catalogue.weight(one) for _, one in pairs]
    unit, hidden = chance.choices(pairs, weights)[0]
    return Case(unit, hidden, chance.choice(complaints_of(ground, hidden)))


class ShownEars:
    """A trainee's ears: before each answer the bench shows what meter and eyes would.

    Args:
        ears: where the trainee's words come from.
        technician: who knows the unit.
        look: gives where the walk stands.
        show: shows one line to the trainee.
    """

    def __init__(
        self,
        ears: Ears,
        technician: Technician,
        look: Callable[[], State],
        show: Callable[[str], None],
    ) -> None:
        self._ears, self._technician, self._look, self._show = ears, technician, look, show
        self._at: tuple[str, int, int] | None = None
        self.shown: dict[tuple[str, int], tuple[Reading | None, str]] = {}

    def listen(self, expectation: Expectation) -> Sound:
        """Show what there is to be seen, once a turn, and wait for the trainee's words."""
        state = self._look()
        at = (state.step, state.answer, state.turn is Turn.ANSWER)
        if state.turn is Turn.ANSWER and not state.is_held and at != self._at:
            self._at = at
            self._technician.answer(state)
            told = self._technician.told
            self.shown[state.step, state.answer + 1] = told
            line = describe(self._technician, state.step, *told)
            if line:
                self._show(line)
        return self._ears.listen(expectation)

    def close(self) -> None:
        """Let go of the trainee's ears."""
        self._ears.close()


def describe(technician: Technician, name: str, shown: Reading | None, choice: str) -> str:
    """Say what meter, plate or eyes show at a step; empty where there is nothing to see.

    Args:
        technician: who looked.
        name: the step.
        shown: the reading, if there is one.
        choice: the observation, if there is one.
    """
    step = technician.flow.steps[name]
    if isinstance(step, MeasureStep) and shown is not None:
        return with_one_stop(f"The meter shows {format_for_eye(shown)}.")
    if isinstance(step, AskStep):
        return with_one_stop(f"It says {format_for_eye(shown)}.") if shown else "It cannot be read."
    if isinstance(step, SpokenStep):
        about = step.about if isinstance(step, DoStep | ObserveStep) else None
        observation = technician.flow.vocabulary.observations.get(about or "")
        if observation is not None and choice in observation.values:
            return f"You find {observation.say}: {observation.values[choice][0]}."
        if isinstance(step, MeasureStep):
            return "There is no such lead here."
    return ""


@dataclass(frozen=True, slots=True)
class Misjudged:
    """An answer that is not what the bench showed.

    Args:
        step: where.
        shown: what was shown.
        said: what was said.
    """

    step: str
    shown: str
    said: str


class Coach:
    """Watches a practice walk and tells at its end what it came to.

    Args:
        ground: flow, units and faults.
        case: what was hidden.
        ears: what was shown; None where the bench answered for itself.
    """

    def __init__(self, ground: Ground, case: Case, ears: ShownEars | None) -> None:
        self._ground, self._case, self._ears = ground, case, ears
        self._tally = Tally(ground.flow)
        self._given: list[str] = []
        self._answered: list[str] = []
        self._phase = ""
        self.hesitated: list[str] = []
        self.misjudged: list[Misjudged] = []

    def watch(self, events: Sequence[AnyEvent]) -> None:
        """Take the events of one turn."""
        self._tally.take(tuple(events))
        for event in events:
            if isinstance(event, CautionGiven):
                self._given.append(event.caution)
                self._phase = event.caution
            elif isinstance(event, CautionAnswered):
                self._answered.append(event.caution)
                self._phase = ""
            elif isinstance(event, NotTaken) and self._phase:
                self.hesitated.append(self._phase)
            elif isinstance(event, Took) and event.origin != "worked_out":
                self._compare_reading(event)
            elif isinstance(event, Answered):
                self._compare_choice(event)

    def _compare_reading(self, event: Took) -> None:
        shown = self._shown(event.step, event.answer)
        if shown is None or event.name.endswith("_second"):
            return
        reading, choice = shown
        said = "OL" if event.over_limit else f"{event.value} {event.unit}"
        if reading is None or not _is_said(reading, event):
            self._note(event.step, format_for_eye(reading) if reading else choice, said)

    def _compare_choice(self, event: Answered) -> None:
        shown = self._shown(event.step, event.answer)
        step = self._ground.flow.steps[event.step]
        if shown is None or (isinstance(step, DoStep) and step.about in {None, "repair"}):
            return
        reading, choice = shown
        if reading is not None or choice != event.choice:
            seen = format_for_eye(reading) if reading else choice.replace("_", " ")
            self._note(event.step, seen, event.meaning)

    def _shown(self, step: str, answer: int) -> tuple[Reading | None, str] | None:
        return None if self._ears is None else self._ears.shown.get((step, answer))

    def _note(self, step: str, shown: str, said: str) -> None:
        self.misjudged.append(Misjudged(step, shown, said))

    def summary(self) -> Iterator[str]:
        """Say what it was, what was found, and how it was walked against the best possible."""
        ground, case, tally = self._ground, self._case, self._tally
        parts = ground.catalogue.parts(case.fault)
        yield f"It was: {' and '.join(part.fault for part in parts)}, on {case.unit}."
        yield f"What puts it right: {'; '.join(part.repair for part in parts)}."
        if not ground.is_covered(case.fault):
            yield f"The flow '{ground.flow.id}' does not cover it."
        found = [ground.flow.findings[name].part for name in tally.findings]
        yield f"Found: {', '.join(found) if found else 'nothing'}. {self._judgement()}"
        yield from self._against_the_best()
        missed = sorted({*self._given} - {*self._answered} | {*self.hesitated})
        yield f"Cautions missed: {', '.join(missed) or 'none'}."
        yield f"Readings misjudged: {len(self.misjudged) or 'none'}."
        for one in self.misjudged:
            yield f"  {one.step}: shown {one.shown}, said {one.said}."

    def _judgement(self) -> str:
        if self._tally.sent_to:
            is_right = self._ground.is_sent_right(self._case.fault, self._tally.sent_to)
            verdict = "That is right." if is_right else "That is not where it lies."
            return f"Sent on to {self._tally.sent_to.replace('-', ' ')}. {verdict}"
        wanted = self._ground.repairs(self._case.fault)
        named = [self._ground.groups(name) for name in self._tally.findings]
        if any(groups and not groups & wanted for groups in named):
            return "That is not it, or not all of it."
        return "That is it." if any(groups & wanted for groups in named) else "It stays hidden."

    def _against_the_best(self) -> Iterator[str]:
        """Compare steps and minutes with the same walk without a detour, and the best order."""
        tally, best = self._tally, Runner(self._ground).run([self._case])[0]
        yield (
            f"Steps {len(tally.steps)}, minutes {tally.minutes:.1f}; without a detour "
            f"{len(best.steps)} and {best.minutes:.1f}."
        )
        if tally.found_at and best.found_at and self._ground.is_covered(self._case.fault):
            least = least_expected(self._ground, self._case)
            yield (
                f"To the first finding {tally.found_at[0]:.1f} minutes, without a detour "
                f"{best.found_at[0]:.1f}; the best order for this complaint takes {least:.1f} on "
                "average."
            )


def least_expected(ground: Ground, case: Case) -> float:
    """Give the least expected minutes to a finding for a complaint on a unit.

    Args:
        ground: flow, units and faults.
        case: names the unit and the complaint.
    """
    same = [one for one in fault_cases(ground, [None]) if one.unit == case.unit]
    traces = Runner(ground).trace(same)
    return next(shares(ground, traces, case.complaint)).least


def _is_said(reading: Reading, event: Took) -> bool:
    """Whether what was believed is what was shown, in the unit that was believed."""
    if event.over_limit or not isinstance(reading, Quantity):
        return event.over_limit and not isinstance(reading, Quantity)
    return reading.to(Unit(event.unit)).value == Decimal(event.value)
