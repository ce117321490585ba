"""What a flow can take on a unit, and what each fault would show: the table the optimum is over.

The flow's own walks say under which circumstances a step is taken (power, call, time off), between
which states of power the flow goes, and what evidence a finding rests on. Each step is then taken
on every fault of the same complaint, and judged by the step's own rules.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile

from assistant.bench.ground import Ground
from assistant.bench.isolation import weight_of
from assistant.bench.optimum import Search, Trial
from assistant.bench.rig import Rig
from assistant.bench.technician import Technician
from assistant.bench.walking import Case
from assistant.flow.conditions import first_conditions
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import (
    TO_FLOW,
    DoStep,
    InteractiveStep,
    JudgedStep,
    NumberStep,
    ObserveStep,
    WorkOutStep,
    value_name,
)
from assistant.quantity import Reading
from assistant.walk.events import Found, Moved, SentOn
from assistant.walk.state import State, Taken, Turn
from assistant.walk.walk import Result
from assistant.walk.weighing import weigh, worked_out

FOUND, DEAD, LIVE = "found", "dead", "live"
"""States of power: as the unit was found, proven dead, agreed live."""


@dataclass(frozen=True, slots=True)
class Circumstance:
    """Under what a step was taken.

    Args:
        is_powered: whether the disconnect was closed.
        is_calling: whether the fan was called.
        minutes_off: minutes without power before it.
        mode: the state of power.
        ahead: minutes of what was done just before, only for this step.
        altered: works done before it that are no repair.
    """

    is_powered: bool
    is_calling: bool
    minutes_off: float
    mode: str
    ahead: float
    altered: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trace:
    """One walk up to its first right finding, as the table needs it.

    Args:
        case: what was walked.
        steps: interactive steps in order, each with its circumstance.
        finding: the first right finding, or the flow that the walk was rightly sent on to.
        minutes: until it.
    """

    case: Case
    steps: tuple[tuple[str, Circumstance], ...]
    finding: str
    minutes: float


def mode_of(conditions: Mapping[str, str]) -> str:
    """Give the state of power that conditions describe."""
    if conditions.get("power") == "off":
        return DEAD
    return LIVE if conditions.get("live_work") == "agreed" else FOUND


class Tracer:
    """Watches a walk and keeps under what each step was taken, up to the first right finding.

    Args:
        ground: the flow.
        case: what is walked.
    """

    def __init__(self, ground: Ground, case: Case) -> None:
        self._ground, self._case = ground, case
        self._wanted = ground.repairs(case.fault)
        self._steps: list[tuple[str, Circumstance]] = []
        self._ahead = self._minutes = 0.0
        self.trace: Trace | None = None

    def watch(self, state: State, technician: Technician, result: Result) -> None:
        """Take one turn."""
        for event in result.events:
            if self.trace is not None:
                return
            if isinstance(event, Moved):
                self._leave(event.step, state, technician.rig)
            elif isinstance(event, Found) and self._ground.groups(event.finding) & self._wanted:
                self._end(event.finding)
            elif isinstance(event, SentOn) and self._ground.is_sent_right(
                self._case.fault, event.flow
            ):
                self._end(f"{TO_FLOW}{event.flow}")

    def _end(self, finding: str) -> None:
        self.trace = Trace(self._case, tuple(self._steps), finding, self._minutes)

    def _leave(self, name: str, state: State, rig: Rig) -> None:
        step = self._ground.flow.steps[name]
        if not isinstance(step, InteractiveStep):
            return
        minutes = float(step.minutes)
        self._minutes += minutes
        when = Circumstance(
            is_powered=rig.is_powered,
            is_calling=rig.is_calling,
            minutes_off=rig.minutes_off,
            mode=mode_of(state.conditions),
            ahead=self._ahead,
            altered=rig.altered,
        )
        self._steps.append((name, when))
        is_only_doing = isinstance(step, DoStep) and step.about is None and not step.leaves
        self._ahead = self._ahead + minutes if is_only_doing and "/" not in name else 0.0


class Table:
    """What can be taken for one complaint on one unit.

    Args:
        ground: flow and faults.
        traces: the flow's walks for that complaint on that unit, one a fault.
        order: what the flow does on that unit, whatever the complaint.
    """

    def __init__(self, ground: Ground, traces: Sequence[Trace], order: "Order") -> None:
        self.ground, self.traces, self._order = ground, tuple(traces), order
        self.flow: Flow = ground.flow
        self._when: dict[str, Circumstance] = {}
        for trace in traces:
            for name, circumstance in trace.steps:
                self._when.setdefault(name, circumstance)

    def search(self) -> Search:
        """Give the search for the least minutes, after the beginning that all walks share."""
        names = self._names()
        results = [self._results(trace, names) for trace in self.traces]
        trials = tuple(
            Trial(
                name,
                self._minutes(name),
                self._modes(name),
                tuple(one[name] for one in results),
                self._before(name, names),
            )
            for name in names
        )
        return Search(
            weights=tuple(weight_of(self.ground, trace.case, 1) for trace in self.traces),
            findings=tuple(trace.finding for trace in self.traces),
            evidence=tuple(self._evidence(trace, names) for trace in self.traces),
            trials=trials,
            moves=self._moves(),
            start=FOUND,
            taken=sum(1 << at for at, name in enumerate(names) if name in self._order.beginning),
        )

    def _names(self) -> list[str]:
        """Give what can be taken: the steps that were, and what is worked out of them."""
        steps = self.flow.steps
        taken = [name for name in self._when if self._is_trial(steps[name])]
        values = {value_name(n, s) for n in taken if isinstance(s := steps[n], JudgedStep)}
        out = list(taken)
        for name, step in steps.items():
            if isinstance(step, WorkOutStep):
                needs = {one for one in step.given.values() if isinstance(one, str)}
                if needs <= values:
                    out.append(name)
                    values.add(value_name(name, step))
        return out

    def _is_trial(self, step: LinkedStep) -> bool:
        is_seen = isinstance(step, ObserveStep) and step.about != "complaint"
        return isinstance(step, NumberStep) or is_seen

    def _minutes(self, name: str) -> float:
        step = self.flow.steps[name]
        if isinstance(step, WorkOutStep):
            return 0.0
        return float(step.minutes) + self._when[name].ahead

    def _modes(self, name: str) -> frozenset[str]:
        """Give the states of power in which the flow itself takes a step; a formula has any."""
        if isinstance(self.flow.steps[name], WorkOutStep):
            return frozenset({FOUND, DEAD, LIVE})
        return self._order.modes[name]

    def _operands(self, name: str) -> set[str]:
        """Give the values that a step is judged by, besides its own."""
        step = self.flow.steps[name]
        used: set[str] = set()
        if isinstance(step, WorkOutStep):
            used |= {one for one in step.given.values() if isinstance(one, str)}
        if isinstance(step, JudgedStep):
            own = value_name(name, step)
            for rule in step.judge:
                used |= {one for one in rule.operands() if isinstance(one, str) and one != own}
        return used

    def _before(self, name: str, names: Sequence[str]) -> int:
        operands = self._operands(name)
        return sum(
            1 << place
            for place, other in enumerate(names)
            if other != name and self._gives(other) in operands and self._is_first(other, names)
        )

    def _is_first(self, name: str, names: Sequence[str]) -> bool:
        """Whether a step is the first that gives its value: only one of them is needed."""
        value = self._gives(name)
        return next(other for other in names if self._gives(other) == value) == name

    def _gives(self, name: str) -> str:
        step = self.flow.steps[name]
        return value_name(name, step) if isinstance(step, JudgedStep) else ""

    def _evidence(self, trace: Trace, names: Sequence[str]) -> int:
        """Give what a finding rests on, its replacement's ratings too, as the walk has it.

        Where a walk is only sent on, nothing is condemned.
        """
        if trace.finding.startswith(TO_FLOW):
            return 0
        finding = self.flow.findings[trace.finding]
        walked = [name for name, _ in trace.steps]
        ratings: tuple[str, ...] = ()
        if finding.replacement is not None:
            named = (finding.replacement.microfarads, finding.replacement.volts)
            ratings = tuple(one for one in named if one is not None)
        bits = 0
        for cited in (*finding.evidence, *ratings):
            for name in walked:
                if name in names and cited in {name, self._gives(name)}:
                    bits |= 1 << names.index(name)
        return bits

    def _moves(self) -> dict[tuple[str, str], float]:
        """Give the ways between states of power that the flow takes here, with their minutes."""
        ways: dict[tuple[str, str], list[float]] = {}
        for trace in self.traces:
            mode, spent = FOUND, 0.0
            for name, circumstance in trace.steps:
                if circumstance.mode != mode and not self._is_between(name):
                    ways.setdefault((mode, circumstance.mode), []).append(spent)
                    mode, spent = circumstance.mode, 0.0
                elif not self._is_between(name):
                    spent = 0.0
                if self._is_between(name):
                    spent += float(self.flow.steps[name].minutes)
        return {way: min(minutes) for way, minutes in ways.items()}

    def _is_between(self, name: str) -> bool:
        """Whether a step only leads from one state of power to another."""
        step = self.flow.steps[name]
        if is_of_power(self.flow, name):
            return True
        return isinstance(step, DoStep) and "power" in step.leaves

    def _results(self, trace: Trace, names: Sequence[str]) -> dict[str, str]:
        """Give what each trial shows for one fault."""
        values: dict[str, Taken] = {}
        seen: dict[str, str] = {}
        rig = Rig(self.ground.units[trace.case.unit], trace.case.fault, self.ground.catalogue)
        technician = Technician(self.flow, rig, trace.case.complaint)
        for _ in range(2):  # what is judged by a later value is judged again with it
            for name in names:
                self._stand(name, technician, trace)
                seen[name] = self._result(name, technician, values)
        return seen

    def _stand(self, name: str, technician: Technician, trace: Trace) -> None:
        """Bring the unit to where a step finds it: power as in the flow, works as in this walk.

        A work that this fault calls for is done before all that its walk did not take before it.
        """
        if name not in self._when:
            return
        when, altered = self._when[name], trace.steps[-1][1].altered
        own = next((held for step, held in trace.steps if step == name), None)
        technician.rig.stand_as(
            when.is_powered,
            when.is_calling,
            when.minutes_off,
            altered if own is None else own.altered,
        )

    def _result(self, name: str, technician: Technician, values: dict[str, Taken]) -> str:
        step = self.flow.steps[name]
        if isinstance(step, WorkOutStep):
            known = {one: taken.reading for one, taken in values.items()}
            return self._judged(name, worked_out(step, known), values)
        reading, choice = technician.look_at(name)
        if reading is None:
            return f"choice.{choice}"
        return self._judged(name, reading, values)

    def _judged(self, name: str, reading: Reading | None, values: dict[str, Taken]) -> str:
        if reading is None:
            return "unknown"
        state = State(name, Turn.ANSWER, first_conditions(self.flow.vocabulary), values=values)
        weighed = weigh(self.flow, state, name, reading)
        values[self._gives(name)] = Taken(reading, weighed.deciding)
        return " ".join(weighed.signature)


@dataclass(frozen=True, slots=True)
class Order:
    """The flow's own order on one unit, over all its walks.

    Args:
        beginning: steps that every walk begins with, before anything is told apart.
        modes: the states of power in which each step is taken.
    """

    beginning: tuple[str, ...]
    modes: Mapping[str, frozenset[str]]


def own_order(flow: Flow, traces: Sequence[Trace]) -> Order:
    """Give the order that walks on one unit keep.

    Args:
        flow: what was walked.
        traces: all of its walks there.
    """
    walks = [_as_found(flow, trace) for trace in traces]
    together = takewhile(lambda steps: len(set(steps)) == 1, zip(*walks, strict=False))
    modes: dict[str, set[str]] = {}
    for trace in traces:
        for name, when in trace.steps:
            modes.setdefault(name, set()).add(when.mode)
    return Order(
        tuple(steps[0] for steps in together),
        {name: frozenset(found) for name, found in modes.items()},
    )


def _as_found(flow: Flow, trace: Trace) -> list[str]:
    """Give the steps taken before the state of power was changed."""
    own = takewhile(
        lambda pair: not is_of_power(flow, pair[0]) and pair[1].mode == FOUND, trace.steps
    )
    return [name for name, _ in own]


def is_of_power(flow: Flow, name: str) -> bool:
    """Whether a step belongs to the includes that make the unit dead or live."""
    return name.startswith((f"{flow.make_safe}/", f"{flow.make_live}/"))
