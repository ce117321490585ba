"""Going on through a flow: arriving at steps, leaving them, and what is said and noted on the way.

A `Progress` lives for one input only: it gathers events and utterances and holds the state that
the input leads to.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from assistant.errors import RungsideError
from assistant.flow.linked import Flow, GateStep
from assistant.flow.model import (
    END,
    STOP,
    DecideStep,
    FindStep,
    InteractiveStep,
    SpokenStep,
    WorkOutStep,
)
from assistant.flow.safety import effects, unmet, with_set
from assistant.quantity import OverLimit, Quantity, Reading
from assistant.spoken.meaning import Trouble
from assistant.trade.formulas import FORMULAS, work_out
from assistant.walk import wording
from assistant.walk.ends import Role, Utterance
from assistant.walk.events import (
    AnyEvent,
    Blocked,
    CautionGiven,
    ConditionSet,
    Ended,
    Found,
    Judged,
    Moved,
    NotTaken,
    Said,
    Took,
)
from assistant.walk.machine import REPROVE_OFF, REPROVE_ON, RESUME, FlowMachine
from assistant.walk.state import Outcome, State, Taken, Turn
from assistant.walk.weighing import Weighed, choose_case, given, weigh


class Progress:
    """One input on its way through the flow.

    Args:
        flow: the flow.
        machine: its machine.
        state: where the walk stands before the input.
    """

    def __init__(self, flow: Flow, machine: FlowMachine, state: State) -> None:
        self.flow, self.state = flow, state
        self._machine = machine
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
        before = self.state.conditions
        after = with_set(self.flow.vocabulary, before, leaves)
        for name, value in after.items():
            if before[name] != value:
                self.note(
                    ConditionSet(
                        answer=self.state.answer, step=self.state.step, name=name, value=value
                    )
                )
        self.state = replace(self.state, conditions=after)

    def leave(self, outcome: str) -> None:
        """Leave the present step by an outcome and go on to the next turn."""
        step = self.flow.steps[self.state.step]
        self.set_conditions(effects(step, outcome))
        self.arrive(self._move(outcome))

    def _move(self, outcome: str) -> str:
        target = self._machine.move(self.state.step, outcome)
        self.note(
            Moved(answer=self.state.answer, step=self.state.step, outcome=outcome, target=target)
        )
        return target

    def arrive(self, name: str) -> None:
        """Arrive at a step; the steps that take no turn are walked through at once."""
        while True:
            if name in {END, STOP}:
                self._arrive_at_end(name)
                return
            step = self.flow.steps[name]
            self.state = replace(
                self.state, step=name, turn=Turn.ANSWER, troubles={}, is_digits_only=False
            )
            if isinstance(step, InteractiveStep):
                if self._enter(step):
                    return
                name = self.state.step
                if self.state.is_over:
                    return
                continue
            name = self._move(self._pass_through(step))

    def _pass_through(self, step: object) -> str:
        """Give the outcome of a step that takes no turn."""
        if isinstance(step, DecideStep):
            return choose_case(self.flow, self.state, step)
        if isinstance(step, WorkOutStep):
            return self._work_out(step)
        if isinstance(step, FindStep):
            self._find(step)
            return "next"
        if isinstance(step, GateStep):
            return self._through_gate(step)
        raise TypeError(step)

    def _through_gate(self, gate: GateStep) -> str:
        """Leave an include; after a detour that proved the unit, back to the step that asked."""
        resume = self.state.resume_at
        if gate.way == "in" or not resume:
            return "next"
        if gate.include not in {self.flow.make_safe, self.flow.make_live}:
            return "next"
        self.state = replace(self.state, resume_at="")
        lacking = unmet(self.flow.steps[resume], self.state.conditions)
        return "next" if self._proofs(lacking) else RESUME + resume

    def _proofs(self, lacking: Mapping[str, str]) -> dict[str, str]:
        conditions = self.flow.vocabulary.conditions
        return {n: v for n, v in lacking.items() if conditions[n].by == "proof"}

    def _enter(self, step: InteractiveStep) -> bool:
        """Begin a step's turns; false when the walk must go elsewhere first."""
        lacking = unmet(step, self.state.conditions)
        proofs = self._proofs(lacking)
        if proofs:
            self._detour(proofs)
            return False
        self.state = replace(self.state, cautions_left=step.cautions)
        self.next_turn()
        return True

    def _detour(self, proofs: Mapping[str, str]) -> None:
        """Go to the steps that prove what is lacking, or end where the flow has none."""
        name = self.state.step
        words = tuple(
            self.flow.vocabulary.conditions[n].values[v] for n, v in sorted(proofs.items())
        )
        is_dead = proofs.get("power") == "off" or "capacitor" in proofs
        include = self.flow.make_safe if is_dead else self.flow.make_live
        if include is None or self.state.resume_at == name:
            self.note(Blocked(step=name, lacking=words, instead=STOP))
            self.end("stopped", f"This step needs: {', '.join(words)}. That is not proven.")
            return
        self.note(Blocked(step=name, lacking=words, instead=include))
        self.say(Utterance(Role.NOTICE, f"Not yet: this needs {' and '.join(words)}."))
        target = self._move(REPROVE_OFF if is_dead else REPROVE_ON)
        self.state = replace(self.state, step=target, resume_at=name)

    def resume_turn(self) -> None:
        """Say the turn the state stands at once more, after an answer was taken back."""
        if self.state.turn is Turn.CAUTION:
            self._turn_caution(self.state.subject)
        else:
            self.next_turn()

    def next_turn(self) -> None:
        """Say the step's next turn: a caution, a condition to make true, or the prompt."""
        state, step = self.state, self.flow.steps[self.state.step]
        if not isinstance(step, InteractiveStep):
            return
        if state.cautions_left:
            self._turn_caution(state.cautions_left[0])
            return
        lacking = unmet(step, state.conditions)
        if lacking:
            name, value = next(iter(lacking.items()))
            subject = f"{name}={value}"
            self.state = replace(state, turn=Turn.CONDITION, subject=subject)
            self.say_turn(wording.say_condition(self.flow, subject))
            return
        self.state = replace(state, turn=Turn.ANSWER, subject="", troubles={})
        self.say_turn(wording.say_prompt(step, self.state, "say"))

    def _turn_caution(self, caution: str) -> None:
        self.state = replace(self.state, turn=Turn.CAUTION, subject=caution, troubles={})
        spoken = wording.say_caution(self.flow, caution)
        self.note(CautionGiven(step=self.state.step, caution=caution, text=spoken.text))
        self.say_turn(spoken)

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

    def _work_out(self, step: WorkOutStep) -> str:
        """Work out a value; where one it needs was not taken, say so by the outcome."""
        known = {name: taken.reading for name, taken in self.state.values.items()}
        arguments = given(step, known)
        result = None if arguments is None else _worked_out(step, arguments)
        if result is None:
            return "unknown"
        weighed = weigh(self.flow, self.state, self.state.step, result)
        name = step.name or self.state.step
        self.believe(name, result, weighed, origin="worked_out", said="")
        if step.label:
            self.say(wording.say_worked_out(step.label, result, weighed.deciding))
        return weighed.outcome

    def _find(self, step: FindStep) -> None:
        """Make a finding and say it; one already made is not made twice."""
        finding = self.flow.findings[step.finding]
        if step.finding in self.state.findings:
            return
        texts = wording.finding_texts(finding, self.state.values)
        self.note(
            Found(
                answer=self.state.answer,
                step=self.state.step,
                finding=step.finding,
                part=finding.part,
                reason=texts["reason"].eye,
                evidence=wording.evidence_lines(finding, self.state, self.flow),
                repair=texts["repair"].eye,
                replacement=texts["replacement"].eye,
                faults=finding.faults,
                licensed=finding.licensed,
            )
        )
        self.state = replace(self.state, findings=(*self.state.findings, step.finding))
        self.say(wording.say_finding(finding, self.state.values))

    def _arrive_at_end(self, name: str) -> None:
        if name == STOP:
            self.end("stopped", "The flow stops here: hand over to a licensed person.")
        elif self.state.findings:
            self.end("found", "The flow was walked to its end.")
        else:
            self.end("no_fault", "The flow was walked to its end and found no fault.")

    def end(self, outcome: Outcome, why: str) -> None:
        """End the walk and say how the unit stands."""
        self.state = replace(self.state, turn=Turn.OVER, outcome=outcome, pending=None)
        self.note(Ended(step=self.state.step, outcome=outcome, why=why))
        self.say(Utterance(Role.NOTICE, f"{why} {self._how_it_stands()}".strip()))

    def _how_it_stands(self) -> str:
        """Say what is left open, locked or live, so that nobody walks away from it unknowing."""
        conditions = self.flow.vocabulary.conditions
        now = self.state.conditions
        left = [
            conditions[name].values[value]
            for name, value in (("lock", "locked"), ("power", "on"), ("panels", "open"))
            if now.get(name) == value
        ]
        if now.get("power") == "unknown":
            left.append(conditions["power"].values["unknown"])
        return f"As it stands: {', '.join(left)}. Leave it safe." if left else ""


def _worked_out(step: WorkOutStep, arguments: Mapping[str, Reading | Decimal]) -> Quantity | None:
    """Give a formula's result; None where it cannot take the values.

    Its unit is the step's: the flow does not load otherwise.
    """
    units = FORMULAS[step.formula].parameters
    quantities: dict[str, Quantity] = {}
    for name, value in arguments.items():
        if isinstance(value, OverLimit):
            return None
        quantities[name] = value if isinstance(value, Quantity) else Quantity(value, units[name])
    try:
        return work_out(step.formula, quantities)
    except RungsideError:
        return None
