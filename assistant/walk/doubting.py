"""When a number must be asked back: it is not plausible, or mistaking it would change the way."""

from decimal import Decimal

from assistant.flow.linked import Flow
from assistant.flow.model import NumberStep
from assistant.quantity import OverLimit, Quantity, Reading, format_for_eye
from assistant.spoken.confusion import neighbours
from assistant.walk.expecting import step_expectation
from assistant.walk.state import State
from assistant.walk.weighing import matters_later, weigh

_TEN_LOW, _TEN_HIGH = Decimal(8), Decimal(12)
"""What counts as ten times a rating, the part's own tolerance allowed for."""


def implausible(flow: Flow, state: State, reading: Reading) -> str:
    """Say why a reading is not likely at the present step; empty when it is."""
    step = flow.steps[state.step]
    if not isinstance(step, NumberStep):
        return ""
    if isinstance(reading, OverLimit):
        return "" if step.over_limit else "Over limit is not likely here."
    own = reading.to(step.unit)
    low, high = step.plausible
    if low <= own.value <= high:
        return _ten_times(flow, state, own)
    limits = f"{low:f} to {format_for_eye(Quantity(high, step.unit))}"
    return f"{own.value:f} is outside {limits}."


def _ten_times(flow: Flow, state: State, own: Quantity) -> str:
    """Doubt a value ten times its rating or a tenth of it: a point is easily lost."""
    form = step_expectation(flow, state.step, state).number
    if form is None or not form.typical or not own.value:
        return ""
    ratio = abs(own.value / form.typical)
    if _TEN_LOW <= ratio <= _TEN_HIGH:
        return "That is ten times the rating."
    if 1 / _TEN_HIGH <= ratio <= 1 / _TEN_LOW:
        return "That is a tenth of the rating."
    return ""


def flipping_neighbours(
    flow: Flow, state: State, reading: Reading, alternatives: tuple[str, ...] = ()
) -> tuple[Reading, ...]:
    """Give the values that a number could be mistaken for and that would lead elsewhere.

    A value that later steps rest on (a rating, a reading that is compared) is doubted for any
    neighbour at all, since what it would change lies ahead.

    Args:
        flow: the flow.
        state: where the walk stands.
        reading: the number as heard.
        alternatives: what else the recogniser heard.
    """
    near = neighbours(reading, step_expectation(flow, state.step, state), alternatives)
    if not near:
        return ()
    if matters_later(flow, state.step):
        return tuple(one.reading for one in near)
    own = weigh(flow, state, state.step, reading).signature
    return tuple(
        one.reading for one in near if weigh(flow, state, state.step, one.reading).signature != own
    )
