"""The records a flow file becomes: a flow, its steps by kind, its findings.

Records are frozen. A step knows its exits (outcome name -> target), so that the machine of a walk,
the checks and the drawing all read the same arrows.
"""

from collections.abc import Iterator
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from assistant.flow.clauses import Case, Record
from assistant.flow.judging import CONTINUE, Operand, Rule
from assistant.quantity import Unit

END = "end"
"""The target that ends a walk."""
STOP = "stop"
"""The target that ends a walk early: a licensed person takes over."""
RETURN = "return."
"""Prefix of the targets that leave an included flow, as `return.safe`."""
TO_FLOW = "flow."
"""Prefix of the targets that send the walk on to another flow, as `flow.capacitor`."""


class QuantityKind(StrEnum):
    """What is measured."""

    RESISTANCE = "resistance"
    CAPACITANCE = "capacitance"
    VOLTAGE = "voltage"
    STORED_VOLTAGE = "stored_voltage"
    CURRENT = "current"
    POWER = "power"
    SPEED = "speed"
    STATIC_PRESSURE = "static_pressure"
    TEMPERATURE = "temperature"
    INSULATION = "insulation"


class Answer(Record):
    """One named answer to a step.

    Args:
        phrases: the words that mean it; taken from the vocabulary where the step is `about` an
            observation.
        leaves: conditions that are true after it.
        next: where it leads; the step's own `next` where it is not given.
    """

    phrases: tuple[str, ...] = ()
    leaves: dict[str, str] = Field(default_factory=dict)
    next: str | None = None


class StepBase(Record):
    """Common to all steps.

    Args:
        minutes: the time the step usually takes.
        next: where the walk goes on.
    """

    minutes: Decimal = Decimal("0.2")
    next: str | None = None

    def exits(self) -> Iterator[tuple[str, str]]:
        """Give each outcome that leaves the step, with its target."""
        if self.next is not None:
            yield "next", self.next


class SpokenStep(StepBase):
    """A step that says something and waits for an answer.

    Args:
        say: the prompt, first time; short, one action, the form of answer expected.
        again: the prompt when it is said again.
        help: how it is done, for someone who asks.
        why: why it is done.
        cautions: hazards said before the step; each must be answered.
        needs: conditions that must hold.
        leaves: conditions that are true once the step is answered.
        choices: answers that are not numbers.
        skipped: where skipping leads; the step cannot be skipped where it is not given.
    """

    say: str
    again: str
    help: str
    why: str
    cautions: tuple[str, ...] = ()
    needs: dict[str, str] = Field(default_factory=dict)
    leaves: dict[str, str] = Field(default_factory=dict)
    choices: dict[str, Answer] = Field(default_factory=dict)
    skipped: str | None = None

    def exits(self) -> Iterator[tuple[str, str]]:
        """Give each outcome with its target: choices first, then `next`, then `skipped`."""
        for name, answer in self.choices.items():
            target = answer.next or self.next
            if target is not None:
                yield f"choice.{name}", target
        if self.skipped is not None:
            yield "skipped", self.skipped


class DoStep(SpokenStep):
    """An action, answered by the state seen, never by "done".

    Args:
        about: the observation of the vocabulary that the answer is, where it is one.
        hold: a hold point: cannot be passed, skipped or answered by number; only its own phrase
            confirms it.
    """

    kind: Literal["do"]
    about: str | None = None
    hold: bool = False


class ObserveStep(SpokenStep):
    """A question to eyes, ears and hands, with named choices from the vocabulary."""

    kind: Literal["observe"]
    about: str


class JudgedStep(StepBase):
    """A step that gives a value which rules judge, in order.

    Args:
        name: the value's name; the step's own where it is not given.
        judge: the rules, in order; the first whose outcome leads elsewhere decides.
    """

    name: str | None = Field(default=None, alias="as")
    judge: tuple[Rule, ...] = ()

    def judged_exits(self) -> Iterator[tuple[str, str]]:
        """Give each outcome of each rule that leads elsewhere, then `next`."""
        for position, rule in enumerate(self.judge):
            for outcome in rule.outcomes:
                target = rule.target(outcome)
                if target is not None and target != CONTINUE:
                    yield f"rule{position}.{outcome}", target
        if self.next is not None:
            yield "next", self.next


class NumberStep(SpokenStep, JudgedStep):
    """A step answered by a number.

    Args:
        unit: its unit.
        plausible: lowest and highest value that is possible; others are asked back.
        allowed: the only values that can be printed, where they are a closed list.
        over_limit: whether OL is an answer.
        dual: whether two numbers are expected; the second is kept as `<name>_second`.
    """

    unit: Unit
    plausible: tuple[Decimal, Decimal]
    allowed: tuple[Decimal, ...] = ()
    over_limit: bool = False
    dual: bool = False

    def exits(self) -> Iterator[tuple[str, str]]:
        """Give choices, skip, then what the rules decide."""
        yield from SpokenStep.exits(self)
        yield from self.judged_exits()


class MeasureStep(NumberStep):
    """A reading, with the physical place it is taken.

    Args:
        quantity: what is measured.
        from_: the place of the first probe, or the only place.
        to: the place of the second probe, where there is one.
        meter: the meter setting, from the vocabulary.
        settle: seconds to let the reading settle.
    """

    kind: Literal["measure"]
    quantity: QuantityKind
    from_: str = Field(alias="from")
    to: str | None = None
    meter: str
    settle: Decimal = Decimal(2)


class AskStep(NumberStep):
    """A nameplate value or another number that is not measured."""

    kind: Literal["ask"]


class WorkOutStep(JudgedStep):
    """A named formula over values taken earlier.

    Args:
        formula: its name in the trade's table.
        given: the formula's parameters, each a number or a value's name.
        unit: the unit of the result, as the formula gives it.
        unknown: where the walk goes when a value it needs was not taken.
        meter: the meter whose error the result carries into its rules.
        label: what the result is called aloud; a step between others has none and is not said.
    """

    kind: Literal["work_out"]
    formula: str
    given: dict[str, Operand] = Field(alias="with")
    unit: Unit
    unknown: str
    meter: str | None = None
    label: str = ""

    def exits(self) -> Iterator[tuple[str, str]]:
        """Give `unknown`, then what the rules decide."""
        yield "unknown", self.unknown
        yield from self.judged_exits()


class DecideStep(StepBase):
    """A branch on what is already known; the first case that holds, else `otherwise`."""

    kind: Literal["decide"]
    cases: tuple[Case, ...]
    otherwise: str

    def exits(self) -> Iterator[tuple[str, str]]:
        """Give each case's target, then `otherwise`."""
        for position, case in enumerate(self.cases):
            yield f"case{position}", case.next
        yield "otherwise", self.otherwise


class IncludeStep(StepBase):
    """Another flow's steps, written once, returning here.

    Args:
        flow: the file, relative to this one.
        returns: where each of its returns leads.
    """

    kind: Literal["include"]
    flow: str
    returns: dict[str, str]

    def exits(self) -> Iterator[tuple[str, str]]:
        """Give each return with its target."""
        for name, target in self.returns.items():
            yield f"return.{name}", target


class FindStep(StepBase):
    """A finding; the walk says it and goes on (repair, checks, or the next cause)."""

    kind: Literal["find"]
    finding: str


Step = Annotated[
    DoStep
    | ObserveStep
    | MeasureStep
    | AskStep
    | WorkOutStep
    | DecideStep
    | IncludeStep
    | FindStep,
    Field(discriminator="kind"),
]


class Caution(Record):
    """A hazard, said in full, answered by a phrase that names the state."""

    say: str
    answer: tuple[str, ...]


class Replacement(Record):
    """What may be put in.

    Args:
        text: the rule in words, for eye and ear, with `{value}` places.
        microfarads: name of the value that gives the microfarads, for a capacitor.
        volts: name of the value that gives the least volts, for a capacitor.
    """

    text: str
    microfarads: str | None = None
    volts: str | None = None


class Finding(Record):
    """A fault that a walk can isolate.

    Args:
        part: the part, in the trade's words.
        reason: what is wrong, one sentence, speakable, with `{value}` places.
        evidence: names of values and answered steps that show it.
        repair: what to do.
        replacement: what may be put in, where a part is replaced.
        proof: the steps that prove the repair.
        faults: the catalogue's faults that it stands for.
        licensed: whether a licensed person must take over.
    """

    part: str
    reason: str
    evidence: tuple[str, ...]
    repair: str
    replacement: Replacement | None = None
    proof: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    licensed: bool = False


class FlowFile(Record):
    """One flow file as written.

    Args:
        flow: its id.
        title: for people.
        edition: changed whenever its steps change.
        covers: faults of the catalogue that it can find.
        ambiguous: groups of covered faults that it cannot tell apart, and says so.
        complaints: complaints it answers, from the vocabulary.
        start: the first step.
        make_safe: the include step that proves the unit dead; walked again when that proof is lost.
        make_live: the include step that brings power back; walked again when that proof is lost.
        returns: names of the ways out, for a file that others include.
        cautions: cautions of its own.
        steps: the steps by id.
        findings: the findings by id.
    """

    flow: str
    title: str
    edition: str
    covers: tuple[str, ...] = ()
    ambiguous: tuple[tuple[str, ...], ...] = ()
    complaints: tuple[str, ...] = ()
    start: str
    make_safe: str | None = None
    make_live: str | None = None
    returns: tuple[str, ...] = ()
    cautions: dict[str, Caution] = Field(default_factory=dict)
    steps: dict[str, Step]
    findings: dict[str, Finding] = Field(default_factory=dict)


InteractiveStep = DoStep | ObserveStep | MeasureStep | AskStep
"""The steps that take a turn."""


def is_end(target: str) -> bool:
    """Whether a walk ends at a target."""
    return target in {END, STOP} or target.startswith(TO_FLOW)


def is_hold(step: object) -> bool:
    """Whether a step is a hold point: only its own phrase passes it."""
    return isinstance(step, DoStep) and step.hold


def value_name(step_id: str, step: JudgedStep) -> str:
    """Give the name a step's value is kept under."""
    return step.name or step_id
