"""Going on through a flow: arriving at steps, leaving them, and what is said and noted on the way.

A `Progress` lives for one input only: it gathers events and utterances and holds the state that
the input leads to.
"""

from collections.abc import Mapping
from dataclasses import replace

from assistant.flow.conditions import (
    effects,
    first_conditions,
    leads_to_live,
    proofs,
    unmet,
)
from assistant.flow.linked import Flow, GateStep
from assistant.flow.model import (
    STOP,
    TO_FLOW,
    DecideStep,
    FindStep,
    InteractiveStep,
    WorkOutStep,
    is_end,
    value_name,
)
from assistant.walk import wording
from assistant.walk.ends import Role, Utterance
from assistant.walk.events import Blocked, CautionGiven, Ended, Found, Moved, SentOn
from assistant.walk.machine import REPROVE_OFF, REPROVE_ON, RESUME, FlowMachine
from assistant.walk.state import Outcome, State, Turn
from assistant.walk.telling import Telling
from assistant.walk.weighing import choose_case, weigh, worked_out

_ROUNDS = 4
"""How often the steps that take no turn may all be passed before it is a circle."""


class Progress(Telling):
    """One input on its way through the flow.

    Args:
        flow: the flow.
        machine: its machine.
        state: where the walk stands before the input.
    """

    def __init__(self, flow: Flow, machine: FlowMachine, state: State) -> None:
        super().__init__(flow, state)
        self._machine = machine

    def leave(self, outcome: str, *, is_proven: bool = True) -> None:
        """Leave the present step by an outcome and go on to the next turn.

        Args:
            outcome: the outcome.
            is_proven: of a number, whether rules judged it and each let it pass.
        """
        step = self.flow.steps[self.state.step]
        self.set_conditions(effects(self.flow.vocabulary, step, outcome, is_proven=is_proven))
        self.arrive(self._move(outcome))

    def _move(self, outcome: str) -> str:
        target = self._machine.move(self.state.step, outcome)
        self.note(
            Moved(answer=self.state.answer, step=self.state.step, outcome=outcome, target=target)
        )
        return target

    def arrive(self, name: str) -> None:
        """Arrive at a step; the steps that take no turn are walked through at once."""
        for _ in range(_ROUNDS * len(self.flow.steps)):
            if is_end(name):
                self._arrive_at_end(name)
                return
            step = self.flow.steps[name]
            self.state = replace(
                self.state,
                step=name,
                turn=Turn.ANSWER,
                troubles={},
                is_digits_only=False,
                denied=frozenset(),
            )
            if isinstance(step, InteractiveStep):
                if self._enter(step):
                    return
                name = self.state.step
                if self.state.is_over:
                    return
                continue
            name = self._move(self._pass_through(step))
        self.end("stopped", "The flow goes round without a question: it must be mended.")

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
        """Leave an include; after a detour that proved the unit, back to the step that asked.

        Where the detour failed, the flow itself says what comes next.
        """
        waiting = self.state.resume_at
        if gate.way == "in" or not waiting:
            return "next"
        if gate.include not in {self.flow.make_safe, self.flow.make_live}:
            return "next"
        if self.lacking_proofs(waiting[-1]):
            self.state = replace(self.state, resume_at=())
            return "next"
        self.state = replace(self.state, resume_at=waiting[:-1])
        return RESUME + waiting[-1]

    def lacking_proofs(self, name: str) -> dict[str, str]:
        """Give what must be proven before a step and is not."""
        lacking = unmet(self.flow.steps[name], self.state.conditions)
        return proofs(self.flow.vocabulary, lacking)

    def _enter(self, step: InteractiveStep) -> bool:
        """Begin a step's turns; false when the walk must go elsewhere first."""
        name, waiting = self.state.step, self.state.resume_at
        lacking = self.lacking_proofs(name)
        if lacking:
            self._detour(lacking)
            return False
        if name in waiting:  # the detour itself led here: nothing is left to go back to
            waiting = waiting[: waiting.index(name)]
        self.state = replace(self.state, cautions_left=step.cautions, resume_at=waiting)
        self.next_turn()
        return True

    def _detour(self, lacking: Mapping[str, str]) -> None:
        """Go to the steps that prove what is lacking, or end where the flow has none."""
        name, waiting = self.state.step, self.state.resume_at
        words = tuple(
            self.flow.vocabulary.conditions[n].values[v] for n, v in sorted(lacking.items())
        )
        is_live = leads_to_live(self.flow, name, self.state.conditions)
        include = self.flow.make_live if is_live else self.flow.make_safe
        if include is None or name in waiting:
            self.note(Blocked(step=name, lacking=words, instead=STOP))
            self.end("stopped", f"This step needs: {', '.join(words)}. That is not proven.")
            return
        self.note(Blocked(step=name, lacking=words, instead=include))
        self.say(Utterance(Role.NOTICE, f"Not yet: this needs {' and '.join(words)}."))
        target = self._move(REPROVE_ON if is_live else REPROVE_OFF)
        self.state = replace(self.state, step=target, resume_at=(*waiting, name))

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
        if proofs(self.flow.vocabulary, lacking):
            self.arrive(state.step)  # what hands just did undid a proof
            return
        if lacking:
            name, value = next(iter(lacking.items()))
            subject = f"{name}={value}"
            self.state = replace(state, turn=Turn.CONDITION, subject=subject, troubles={})
            self.say_turn(wording.say_condition(self.flow, subject))
            return
        self.state = replace(state, turn=Turn.ANSWER, subject="", troubles={})
        self.say_turn(wording.say_prompt(step, self.state, "say"))

    def _turn_caution(self, caution: str) -> None:
        self.state = replace(self.state, turn=Turn.CAUTION, subject=caution, troubles={})
        spoken = wording.say_caution(self.flow, caution)
        self.note(CautionGiven(step=self.state.step, caution=caution, text=spoken.text))
        self.say_turn(spoken)

    def _work_out(self, step: WorkOutStep) -> str:
        """Work out a value; where one it needs was not taken, say so by the outcome."""
        known = {name: taken.reading for name, taken in self.state.values.items()}
        name = value_name(self.state.step, step)
        result = worked_out(step, known)
        if result is None:
            self.forget(name)
            return "unknown"
        weighed = weigh(self.flow, self.state, self.state.step, result)
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
        if name.startswith(TO_FLOW):
            self._send_on(name.removeprefix(TO_FLOW))
        elif name == STOP:
            self.end("stopped", "The flow stops here: hand over to a licensed person.")
        elif self.state.findings:
            self.end("found", "The flow was walked to its end.")
        else:
            self.end("no_fault", "The flow was walked to its end and found no fault.")

    def _send_on(self, flow: str) -> None:
        self.note(SentOn(step=self.state.step, flow=flow))
        self.end("sent", f"Next comes: {flow.replace('-', ' ')}.")

    def end(self, outcome: Outcome, why: str) -> None:
        """End the walk and say how the unit stands."""
        self.state = replace(self.state, turn=Turn.OVER, outcome=outcome, pending=None)
        self.note(Ended(step=self.state.step, outcome=outcome, why=why))
        is_untouched = self.state.conditions == first_conditions(self.flow.vocabulary)
        is_sent = outcome == "sent" and is_untouched
        stands = "" if is_sent else wording.say_how_it_stands(self.flow, self.state)
        self.say(Utterance(Role.NOTICE, f"{why} {stands}".strip()))
