"""What one input comes to, as it is gathered: events, utterances, counts, values, conditions."""

from collections.abc import Mapping
from dataclasses import replace

from assistant.flow.conditions import after_break, taken_back, with_set
from assistant.flow.linked import Flow
from assistant.flow.model import SpokenStep
from assistant.quantity import Reading
from assistant.spoken.meaning import Trouble
from assistant.walk import wording
from assistant.walk.ends import Utterance
from assistant.walk.events import AnyEvent, ConditionSet, Forgot, Judged, NotTaken, Said, Took
from assistant.walk.state import State, Taken, Turn
from assistant.walk.weighing import Weighed


class Telling:
    """Keeps events and words of one input, and the state with them.

    Args:
        flow: the flow.
        state: where the walk stands before the input.
    """

    def __init__(self, flow: Flow, state: State) -> None:
        self.flow, self.state = flow, state
        self.events: list[AnyEvent] = []
        self.utterances: list[Utterance] = []

    def note(self, event: AnyEvent) -> None:
        """Keep an event."""
        self.events.append(event)

    def say(self, utterance: Utterance) -> None:
        """Say something; that it was said is an event too."""
        self.utterances.append(utterance)
        self.note(
            Said(
                step=self.state.step,
                role=utterance.role.value,
                text=utterance.text,
                shown=utterance.shown,
            )
        )

    def say_turn(self, utterance: Utterance) -> None:
        """Say what the present turn asks, and keep it for "repeat"."""
        self.say(utterance)
        self.state = replace(self.state, said=(utterance,))

    def count_trouble(self, trouble: Trouble, why: str) -> int:
        """Count one more trouble of a kind at this step and give how many there were."""
        count = self.state.troubles.get(trouble, 0) + 1
        self.state = replace(self.state, troubles={**self.state.troubles, trouble: count})
        self.note(NotTaken(step=self.state.step, trouble=trouble.value, count=count, why=why))
        return count

    def ask_again(self, count: int = 1) -> None:
        """Ask the present turn again: a step by its shorter prompt, later with its help first."""
        state = self.state
        step = self.flow.steps.get(state.step)
        if state.turn is Turn.ANSWER and isinstance(step, SpokenStep):
            if count > 1:
                self.say(wording.say_prompt(step, state, "help"))
            self.say_turn(wording.say_prompt(step, state, "again"))
            return
        if state.turn is Turn.CAUTION:
            self.say(wording.say_caution_again(self.flow, state.subject))
            return
        for utterance in state.said:
            self.say(utterance)

    def next_answer(self) -> int:
        """Number the answer that was just accepted and remember the state before it."""
        before = replace(self.state, turn=self._turn_to_undo(), pending=None, interrupted=None)
        number = self.state.answer + 1
        self.state = replace(self.state, answer=number, before=before)
        return number

    def _turn_to_undo(self) -> Turn:
        is_aside = self.state.turn in {Turn.CONFIRM, Turn.SKIP_REASON, Turn.STOP}
        return Turn.ANSWER if is_aside else self.state.turn

    def set_conditions(self, leaves: Mapping[str, str]) -> None:
        """Make conditions true, with what follows from them."""
        self._change_conditions(with_set(self.flow.vocabulary, self.state.conditions, leaves))

    def take_back_conditions(self, now: Mapping[str, str]) -> None:
        """Believe of the state's conditions only what still held when its answer was taken back.

        Args:
            now: the conditions that held last.
        """
        believed = taken_back(self.flow.vocabulary, self.state.conditions, now)
        self.state = replace(self.state, conditions=now)
        self._change_conditions(believed)

    def doubt_conditions(self) -> None:
        """Believe nothing of what was proven or made true before a break in the walk."""
        self._change_conditions(after_break(self.flow.vocabulary))

    def _change_conditions(self, after: Mapping[str, str]) -> None:
        before, number = self.state.conditions, self.state.answer
        for name, value in after.items():
            if before[name] != value:
                self.note(ConditionSet(answer=number, step=self.state.step, name=name, value=value))
        self.state = replace(self.state, conditions=after)

    def believe(
        self,
        name: str,
        reading: Reading,
        weighed: Weighed | None,
        *,
        origin: str,
        said: str,
        confirmed: bool = False,
        places: tuple[str, str, str] = ("", "", ""),
    ) -> None:
        """Keep a value with its verdicts."""
        state = self.state
        self.note(
            Took(
                answer=state.answer,
                step=state.step,
                name=name,
                origin=origin,
                said=said,
                value=wording.plain_value(reading),
                unit=reading.unit.value,
                over_limit=reading.is_over_limit,
                retaken=name in state.taken_names,
                confirmed=confirmed,
                quantity=places[0],
                first=places[1],
                second=places[2],
            )
        )
        deciding = None if weighed is None else weighed.deciding
        self._note_verdicts(name, weighed)
        taken = Taken(reading, deciding, said)
        self.state = replace(
            state,
            values={**state.values, name: taken},
            taken_names=state.taken_names | {name},
        )

    def _note_verdicts(self, name: str, weighed: Weighed | None) -> None:
        for rule, verdict in weighed.judged if weighed is not None else ():
            self.note(
                Judged(
                    answer=self.state.answer,
                    step=self.state.step,
                    name=name,
                    rule=rule.rule,
                    verdict=verdict.kind.value,
                    outcome=verdict.outcome,
                    measured=verdict.measured,
                    expected=verdict.expected,
                    reason=verdict.reason,
                    low=wording.plain_limit(verdict.low),
                    high=wording.plain_limit(verdict.high),
                    decides=weighed is not None and verdict is weighed.deciding,
                )
            )

    def forget(self, *names: str) -> None:
        """Drop values that no longer stand, because their step was answered otherwise."""
        for name in names:
            if name in self.state.values:
                self.note(Forgot(answer=self.state.answer, step=self.state.step, name=name))
        values = {name: v for name, v in self.state.values.items() if name not in names}
        self.state = replace(self.state, values=values)
