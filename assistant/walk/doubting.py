"""When an answer must be asked back.

It is not plausible, mistaking it would change the way, or it was denied before.
"""

from collections.abc import Collection, Hashable
from dataclasses import replace
from decimal import Decimal

from assistant.flow.linked import Flow
from assistant.flow.model import AskStep, NumberStep
from assistant.quantity import OverLimit, Quantity, Reading
from assistant.rules.verdict import spoken_limit
from assistant.spoken.confusion import neighbours
from assistant.spoken.meaning import Expectation, Picked, Value, sense_of
from assistant.spoken.understanding import understand
from assistant.walk.ends import Heard
from assistant.walk.expecting import step_expectation
from assistant.walk.state import State
from assistant.walk.weighing import matters_later, weigh

SAME_AGAIN = "I hear the same again."
PERHAPS_THIS = "Then it may be this."
OF_DENIALS = frozenset({SAME_AGAIN, PERHAPS_THIS})

_TEN_LOW, _TEN_HIGH = Decimal(8), Decimal(12)
"""What counts as ten times a rating, the part's own tolerance allowed for."""


def minding_denials(heard: Heard, expectation: Expectation, denied: Collection[Hashable]) -> Heard:
    """Doubt what is heard again after it was denied; what else was heard comes before it.

    Args:
        heard: the newest words.
        expectation: what may be answered.
        denied: what was denied at this step, as `sense_of` gives it.
    """
    if not denied or sense_of(understand(heard.words, expectation)) not in denied:
        return heard
    for words in heard.alternatives:
        meaning = understand(words, expectation)
        if isinstance(meaning, Value | Picked) and sense_of(meaning) not in denied:
            others = (heard.words, *(other for other in heard.alternatives if other != words))
            return replace(heard, words=words, alternatives=others, doubt=PERHAPS_THIS)
    return replace(heard, doubt=SAME_AGAIN)


def implausible(flow: Flow, state: State, reading: Reading, second: Quantity | None = None) -> str:
    """Say why an answer is not likely at the present step; empty when it is.

    Args:
        flow: the flow.
        state: where the walk stands.
        reading: the number as heard.
        second: the second number of a dual rating.
    """
    step = flow.steps[state.step]
    if not isinstance(step, NumberStep):
        return ""
    if isinstance(reading, OverLimit):
        return "" if step.over_limit else "Over limit is not likely here."
    low, high = step.plausible
    for one in (reading, second):
        if one is not None and not low <= one.to(step.unit).value <= high:
            limits = f"{low:f} to {spoken_limit(high, step.unit)}"
            return f"{one.to(step.unit).value:f} is outside {limits}."
    return _ten_times(flow, state, reading.to(step.unit))


def impossible_rating(
    flow: Flow, state: State, reading: Reading, second: Quantity | None = None
) -> str:
    """Say why a printed value cannot be what is printed; empty when it can, or for a reading.

    A meter may show anything on a broken unit, so an unlikely reading is asked back. A label does
    not break: a rating outside what is made was misread, and a yes would not make it safe.
    """
    if not isinstance(flow.steps[state.step], AskStep):
        return ""
    return implausible(flow, state, reading, second)


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


def rival_seconds(
    flow: Flow, state: State, second: Quantity, alternatives: tuple[str, ...] = ()
) -> tuple[Reading, ...]:
    """Give the values that the second number of a dual rating could be mistaken for.

    It is a rating, so any of them is a reason to ask.
    """
    expects = step_expectation(flow, state.step, state)
    near = tuple(one.reading for one in neighbours(second, expects))
    others = (understand(words, expects) for words in alternatives)
    heard = (other.second for other in others if isinstance(other, Value))
    return (*near, *(one for one in heard if one is not None and one != second))


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
