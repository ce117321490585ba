"""What each turn can be answered with, made from the step and the state."""

from assistant.flow.judging import WithinPercent
from assistant.flow.linked import Flow
from assistant.flow.model import InteractiveStep, MeasureStep, NumberStep, is_hold
from assistant.quantity import Current, Quantity, Unit
from assistant.spoken.meaning import Choice, Expectation, NumberForm
from assistant.walk.state import State, Turn

AGREED = "agreed"
"""The one choice of a caution or a condition turn."""

FAMILIES: tuple[tuple[Unit, ...], ...] = (
    (Unit.OHM, Unit.KILOHM, Unit.MEGOHM),
    (Unit.IN_WC, Unit.PASCAL),
    (Unit.DEG_F, Unit.DEG_C),
)
"""Units that a technician may say in place of one another."""


def expectation(flow: Flow, state: State) -> Expectation:
    """Give what the present turn can be answered with."""
    if state.is_held:
        return Expectation(is_held=True)
    match state.turn:
        case Turn.CAUTION:
            return _named(flow.cautions[state.subject].answer)
        case Turn.CONDITION:
            return _named(_condition_phrases(flow, state.subject))
        case Turn.SKIP_REASON:
            reasons = flow.vocabulary.skip_reasons
            return Expectation(choices=tuple(Choice(n, p) for n, p in reasons.items()))
        case Turn.ANSWER:
            return step_expectation(flow, state.step, state)
        case Turn.CONFIRM | Turn.STOP | Turn.OVER:
            return Expectation(takes_yes_no=state.turn is not Turn.OVER)


def _named(phrases: tuple[str, ...]) -> Expectation:
    """Expect one phrase that names the state; a number of a choice would not name it."""
    return Expectation(choices=(Choice(AGREED, phrases),), takes_numbered_choice=False)


def _condition_phrases(flow: Flow, subject: str) -> tuple[str, ...]:
    name, _, value = subject.partition("=")
    return flow.vocabulary.conditions[name].phrases[value]


def step_expectation(flow: Flow, name: str, state: State | None = None) -> Expectation:
    """Give what a step can be answered with.

    Args:
        flow: the flow.
        name: a step that takes a turn.
        state: where the walk stands; None for a step on its own (values unknown).

    Where a number is expected, "number one" is not a choice: it may be the number.
    """
    step = flow.steps[name]
    if not isinstance(step, InteractiveStep):
        return Expectation()
    choices = tuple(Choice(n, a.phrases) for n, a in step.choices.items())
    if not isinstance(step, NumberStep):
        return Expectation(choices=choices, takes_numbered_choice=not is_hold(step))
    return Expectation(
        number=_number_form(flow, step, state),
        choices=choices,
        takes_numbered_choice=False,
        digits_only=state is not None and state.is_digits_only,
    )


def _number_form(flow: Flow, step: NumberStep, state: State | None) -> NumberForm:
    family = next((f for f in FAMILIES if step.unit in f), (step.unit,))
    units = (step.unit, *(unit for unit in family if unit is not step.unit))
    typical = None
    for rule in step.judge:
        if isinstance(rule, WithinPercent) and state is not None and isinstance(rule.rating, str):
            taken = state.values.get(rule.rating)
            if taken is not None and isinstance(taken.reading, Quantity):
                typical = taken.reading.to(step.unit).value
    return NumberForm(
        units=units,
        takes_over_limit=step.over_limit,
        plausible=step.plausible,
        allowed=step.allowed,
        is_dual=step.dual,
        takes_negative=step.plausible[0] < 0,
        typical=typical,
        current=_current(flow, step),
    )


def _current(flow: Flow, step: NumberStep) -> Current | None:
    return flow.vocabulary.meters[step.meter].current if isinstance(step, MeasureStep) else None
