"""What a turn expects, in words for the eye: "ohms, about 10 to 40, or OL"."""

from collections.abc import Iterator

from assistant.flow.linked import Flow
from assistant.flow.model import MeasureStep
from assistant.quantity import Quantity, Unit, format_for_eye, unit_words
from assistant.spoken.meaning import Choice, Expectation, NumberForm
from assistant.spoken.phrasing import as_spoken
from assistant.walk.state import State, Turn

SINGLE_LINES = 6
"""Up to so many choices stand one a line; more run on."""

_UNIT_NAMES = {
    Unit.RPM: "rpm",
    Unit.CFM: "cfm",
    Unit.IN_WC: "inches of water",
    Unit.DEG_F: "degrees Fahrenheit",
    Unit.COUNT: "a number",
}
"""Where the words for the ear would not do for the eye."""


def expected_lines(flow: Flow, state: State, expects: Expectation) -> tuple[str, ...]:
    """Say what the present turn can be answered with, in lines.

    Args:
        flow: the flow.
        state: where the walk stands.
        expects: what the turn can be answered with.
    """
    if state.is_held:
        return ('Say or type: "go ahead".',)
    return tuple(_lines(flow, state, expects))


def _lines(flow: Flow, state: State, expects: Expectation) -> Iterator[str]:
    if expects.number is not None:
        yield f"Expected: {number_words(expects.number, is_single=expects.digits_only)}."
        yield from _settling(flow, state)
    if expects.takes_yes_no:
        yield "Expected: yes or no."
    if expects.choices:
        opening = "Or say" if expects.number is not None else "Say or type"
        yield from _choices(expects, opening)


def number_words(form: NumberForm, *, is_single: bool = False) -> str:
    """Say which number is expected: its unit, its range or its list, and whether OL is one.

    Args:
        form: what kind of number.
        is_single: whether it is taken one digit at a time.
    """
    unit = form.units[0]
    parts = [f"two numbers in {_unit(unit)}" if form.is_dual else _unit(unit)]
    if form.allowed:
        parts.append(f"one of {', '.join(f'{value:f}' for value in form.allowed)}")
    elif form.plausible is not None:
        low, high = form.plausible
        parts.append(f"about {low:f} to {high:f}".replace("-", "\N{MINUS SIGN}"))
    if form.typical is not None:
        parts.append(f"rating {format_for_eye(Quantity(form.typical, unit))}")
    if form.takes_over_limit:
        parts.append("or OL")
    if is_single:
        parts.append("one digit at a time")
    return ", ".join(parts)


def _unit(unit: Unit) -> str:
    return _UNIT_NAMES.get(unit) or unit_words(unit)


def _settling(flow: Flow, state: State) -> Iterator[str]:
    """Name the meter's setting, where a reading is taken."""
    step = flow.steps.get(state.step)
    if state.turn is Turn.ANSWER and isinstance(step, MeasureStep):
        yield f"Meter: {flow.vocabulary.meters[step.meter].say}."


def _choices(expects: Expectation, opening: str) -> Iterator[str]:
    phrases = [_quoted(choice) for choice in expects.choices]
    if len(phrases) == 1:
        yield f"{opening}: {phrases[0]}."
    elif len(phrases) <= SINGLE_LINES:
        yield f"{opening} one of:"
        yield from (f"  {phrase}" for phrase in phrases)
    else:
        yield f"{opening} one of: {', '.join(phrases)}."


def _quoted(choice: Choice) -> str:
    return f'"{as_spoken(choice.phrases[0])}"'
