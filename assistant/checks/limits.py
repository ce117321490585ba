"""Rules that can pass and can fail: limits inside what is believed, apart by what a meter shows."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TypeAlias

from assistant.checks.check import Check, Subject
from assistant.checks.decisions import plausible_spans
from assistant.errors import RungsideError
from assistant.flow.judging import (
    CONTINUE,
    AtLeast,
    AtMost,
    IsOverLimit,
    NearZero,
    NotOverLimit,
    NotZero,
    ReplacementAllowed,
    Rule,
    SameAs,
    SumOfParts,
    Within,
    WithinPercent,
    WithinVoltage,
)
from assistant.flow.model import JudgedStep, MeasureStep, NumberStep, WorkOutStep, value_name
from assistant.flow.problems import Problem
from assistant.flow.vocabulary import Meter
from assistant.quantity import RESISTANCE_UNITS, Quantity, Unit

_Span: TypeAlias = tuple[Decimal, Decimal]
_LEAST, _MOST = Decimal("-Infinity"), Decimal("Infinity")


def _rules(subject: Subject) -> Iterator[tuple[str, JudgedStep, int, Rule]]:
    for name, step in subject.flow.steps.items():
        if isinstance(step, JudgedStep):
            for position, rule in enumerate(step.judge):
                yield name, step, position, rule


def find_outside(subject: Subject) -> Iterator[Problem]:
    """Complain of a limit, written as a number, that no believable reading reaches."""
    for name, step, position, rule in _rules(subject):
        if not isinstance(step, NumberStep):
            continue
        low, high = step.plausible
        for key, limit in _limits(rule):
            if not low <= limit <= high:
                message = f"No reading of '{name}' that is believed comes near {limit:f}."
                hint = f"It is plausible from {low:f} to {high:f}."
                yield subject.problem(name, ("judge", position, key), message, hint)
        if not isinstance(rule, NearZero):
            yield from _never_failing(subject, name, step, position)


def _never_failing(
    subject: Subject, name: str, step: NumberStep, position: int
) -> Iterator[Problem]:
    """Complain of a limit at the end of what is believed: what fails it is asked back for ever.

    At zero it may be meant: nothing reads less than no volts.
    """
    span = passing(step.judge[position])
    for place, edge in enumerate(span or ()):
        if edge and edge == step.plausible[place]:
            which = "below" if place == 0 else "above"
            message = f"A reading {which} {edge:f} fails this, and is not believed at '{name}'."
            hint = "Widen 'plausible', so that a faulty reading lies in it."
            yield subject.problem(name, ("plausible", place), message, hint)


def _limits(rule: Rule) -> Iterator[tuple[str, Decimal]]:
    """Give the limits of a rule that are numbers, in the step's unit, by key."""
    for key in ("low", "high", "limit", "rating", "upper", "other"):
        limit = getattr(rule, key, None)
        if isinstance(limit, Decimal):
            yield key, limit


def passing(rule: Rule) -> _Span | None:  # noqa: PLR0911 - one row a rule
    """Give the span of readings that pass a rule, where its limits are numbers."""
    match rule:
        case Within(low=Decimal() as low, high=Decimal() as high):
            return low, high
        case AtLeast(limit=Decimal() as limit):
            return limit, _MOST
        case AtMost(limit=Decimal() as limit, percent=percent):
            return _LEAST, limit * percent / 100
        case NearZero(limit=limit):
            return -limit, limit
        case WithinPercent(rating=Decimal() as rating):
            minus = rule.minus if isinstance(rule.minus, Decimal) else rule.default
            plus = rule.plus if isinstance(rule.plus, Decimal) else rule.default
            return rating * (1 - minus / 100), rating * (1 + plus / 100)
        case WithinVoltage(rating=Decimal() as rating, percent=percent):
            upper = rule.upper if isinstance(rule.upper, Decimal) else rating
            return rating * (1 - percent / 100), upper * (1 + percent / 100)
    return None


def find_reversed(subject: Subject) -> Iterator[Problem]:
    """Complain of limits between which nothing lies."""
    for name, _, position, rule in _rules(subject):
        span = passing(rule)
        if span is not None and span[0] >= span[1] and not isinstance(rule, NearZero):
            way = ("judge", position, "low") if isinstance(rule, Within) else ("judge", position)
            message = "No reading lies within these limits."
            yield subject.problem(name, way, message, "The lower one is first, and below.")
        if isinstance(rule, NearZero | NotZero) and rule.limit <= 0:
            message = "A limit about zero is more than zero."
            yield subject.problem(name, ("judge", position, "limit"), message, "Write what counts.")


def find_exclusive(subject: Subject) -> Iterator[Problem]:
    """Complain of a rule that no reading passes which passed the rules before it."""
    for name, step in subject.flow.steps.items():
        low, high = _LEAST, _MOST
        for position, rule in enumerate(step.judge if isinstance(step, JudgedStep) else ()):
            span = passing(rule)
            if span is None or span[0] > span[1]:
                continue
            if max(low, span[0]) > min(high, span[1]):
                message = "No reading passes this rule and the ones before it."
                yield subject.problem(name, ("judge", position), message, "Mend their limits.")
            low, high = max(low, span[0]), min(high, span[1])


def find_unjudged(subject: Subject) -> Iterator[Problem]:
    """Complain of a rule behind one whose every outcome leads elsewhere."""
    for name, step in subject.flow.steps.items():
        for position, rule in enumerate(step.judge if isinstance(step, JudgedStep) else ()):
            goes_on = any(rule.target(outcome) == CONTINUE for outcome in rule.outcomes)
            if not goes_on and position + 1 < len(step.judge):  # type: ignore[union-attr]
                message = "This rule is never judged: every outcome of the one before leads away."
                hint = "Write 'continue' where a good reading goes on."
                yield subject.problem(name, ("judge", position + 1), message, hint)


def find_unread_keys(subject: Subject) -> Iterator[Problem]:
    """Complain of a verdict under `go` whose every outcome is named beside it."""
    for name, _, position, rule in _rules(subject):
        for key in rule.go:
            meant = [outcome for outcome, kind in rule.outcomes.items() if kind.value == key]
            if key not in rule.outcomes and all(outcome in rule.go for outcome in meant):
                said = "has no such verdict" if not meant else "names each outcome of it besides"
                message = f"'{key}' never leads anywhere: this rule {said}."
                yield subject.problem(name, ("judge", position, "go", key), message, "Take it out.")


def find_deaf_to_over_limit(subject: Subject) -> Iterator[Problem]:
    """Complain of a rule on OL at a step where OL is no answer."""
    for name, step, position, rule in _rules(subject):
        is_deaf = isinstance(step, NumberStep) and not step.over_limit
        if is_deaf and isinstance(rule, IsOverLimit | NotOverLimit):
            message = f"'{name}' is judged by O L, which is no answer to it."
            yield subject.problem(name, ("judge", position), message, "Add 'over_limit: true'.")


def find_unbelieved_ratings(subject: Subject) -> Iterator[Problem]:
    """Complain of a range that leaves out a reading as good as the rating it is judged by."""
    spans = plausible_spans(subject)
    for name, step, _, rule in _rules(subject):
        rating = _rating_of(rule)
        if not isinstance(step, NumberStep) or rating is None:
            continue
        span = _span_in(spans.get(rating), subject.flow.units[rating], step.unit)
        low, high = step.plausible
        if span is not None and not (low <= span[0] and span[1] <= high):
            message = f"'{rating}' may be {span[0]:f} to {span[1]:f}, which is not believed here."
            hint = "Widen 'plausible', so that a good reading of each rating lies in it."
            yield subject.problem(name, ("plausible",), message, hint)


def _rating_of(rule: Rule) -> str | None:
    """Give the value whose own number is a good reading under a rule."""
    named: object = None
    match rule:
        case WithinPercent() | WithinVoltage() | ReplacementAllowed():
            named = rule.rating
        case SameAs():
            named = rule.other
    return named if isinstance(named, str) else None


def _span_in(span: _Span | None, own: Unit, unit: Unit) -> _Span | None:
    if span is None or own is unit:
        return span
    try:
        low, high = (Quantity(number, own).to(unit).value for number in span)
    except RungsideError:
        return None
    return low, high


def find_unresolved(subject: Subject) -> Iterator[Problem]:
    """Complain of a limit that the meter's own error hides."""
    for name, step, position, rule in _rules(subject):
        if isinstance(step, MeasureStep | WorkOutStep) and step.meter is not None:
            meter = subject.flow.vocabulary.meters[step.meter]
            key = _unresolved(rule, meter, step.unit)
            if key is not None:
                message = f"The meter setting '{step.meter}' cannot tell what this limit asks."
                hint = f"{_error_words(meter)} Write a wider limit, or measure otherwise."
                yield subject.problem(name, ("judge", position, key), message, hint)


def _error_words(meter: Meter) -> str:
    leads = f", and leads up to {meter.lead_ohms:f} ohms" if meter.lead_ohms else ""
    return f"Its error is {meter.percent:f} percent and {meter.counts:f} counts{leads}."


def _unresolved(  # noqa: PLR0911 - one row a rule
    rule: Rule, meter: Meter, unit: Unit
) -> str | None:
    """Give the key of a limit that is finer than the meter; None where all can be told."""
    error: Callable[[Decimal], Decimal] = lambda value: _error(meter, value, unit)  # noqa: E731
    leads = _leads(meter, unit)
    match rule:
        case Within(low=Decimal() as low, high=Decimal() as high):
            return "high" if low < high and high - low <= error(low) + error(high) else None
        case AtLeast(limit=Decimal() as limit) | AtMost(limit=Decimal() as limit):
            return "limit" if abs(limit) <= error(limit) else None
        case NearZero(limit=limit) if limit > 0:
            return "limit" if limit < max(leads, meter.counts * _step(meter, limit, unit)) else None
        case NotZero(limit=limit) if limit > 0:
            return "limit" if limit < meter.counts * _step(meter, limit, unit) else None
        case WithinPercent():
            return next((k for k in ("plus", "minus") if _is_fine(getattr(rule, k), meter)), None)
        case WithinVoltage() | SameAs() | SumOfParts():
            return "percent" if _is_fine(rule.percent, meter) else None
    return None


def _is_fine(percent: object, meter: Meter) -> bool:
    return isinstance(percent, Decimal) and percent < meter.percent


def _error(meter: Meter, value: Decimal, unit: Unit) -> Decimal:
    error = abs(value) * meter.percent / 100 + meter.counts * _step(meter, value, unit)
    return error + _leads(meter, unit)


def _step(meter: Meter, value: Decimal, unit: Unit) -> Decimal:
    """Give one count of the last figure shown, which is never finer than the meter shows."""
    return max(shown_step(value), _in_unit(meter.finest, unit))


def _leads(meter: Meter, unit: Unit) -> Decimal:
    return _in_unit(meter.lead_ohms, unit) if unit in RESISTANCE_UNITS else Decimal(0)


def _in_unit(number: Decimal, unit: Unit) -> Decimal:
    """Give a number of the meter in a step's unit: ohms and inches of water in others of a kind."""
    own = Unit.OHM if unit in RESISTANCE_UNITS else Unit.IN_WC if unit is Unit.PASCAL else unit
    return Quantity(number, own).to(unit).value if number and own is not unit else number


def shown_step(value: Decimal) -> Decimal:
    """Give one count of the last of the three figures that a meter shows of a value.

    A display of two thousand counts shows 17.5, 1.75 and 0.175 (common practice, no source).
    """
    figures = value.adjusted() if value else 0
    return Decimal(1).scaleb(figures - 2)


def find_odd_percents(subject: Subject) -> Iterator[Problem]:
    """Complain of a tolerance that takes everything, or nothing."""
    for name, _, position, rule in _rules(subject):
        for key in ("plus", "minus", "default", "percent"):
            percent = getattr(rule, key, None)
            most = 1000 if isinstance(rule, AtMost) or key == "plus" else 100
            if isinstance(percent, Decimal) and not 0 < percent < most:
                message = f"A tolerance of {percent:f} percent decides nothing."
                hint = "Write a share of the rating, as 6 or 10."
                yield subject.problem(name, ("judge", position, key), message, hint)


def find_odd_lists(subject: Subject) -> Iterator[Problem]:
    """Complain of an allowed value that is not believed."""
    for name, step in subject.flow.steps.items():
        for place, number in enumerate(step.allowed if isinstance(step, NumberStep) else ()):
            low, high = step.plausible  # type: ignore[union-attr]
            if not low <= number <= high:
                message = f"{number:f} is allowed, but only {low:f} to {high:f} is believed."
                way = ("allowed", place)
                yield subject.problem(name, way, message, "Widen 'plausible', or take it out.")


def find_empty_ranges(subject: Subject) -> Iterator[Problem]:
    """Complain of a range that leaves one number, and of minutes and seconds below zero."""
    for name, step in subject.flow.steps.items():
        if isinstance(step, NumberStep) and step.plausible[0] == step.plausible[1]:
            message = f"Only {step.plausible[0]:f} is believed at '{value_name(name, step)}'."
            yield subject.problem(name, ("plausible",), message, "Write lowest and highest.")


CHECKS: tuple[Check, ...] = (
    Check(
        "limit-out-of-range",
        "A limit that no believable reading reaches never decides.",
        find_outside,
    ),
    Check(
        "limits-reversed",
        "Limits between which nothing lies fail every part, good ones too.",
        find_reversed,
    ),
    Check(
        "rules-exclude",
        "Rules that no reading passes together condemn every part.",
        find_exclusive,
    ),
    Check(
        "rule-never-judged",
        "A rule that is never judged is a fault that is never seen.",
        find_unjudged,
    ),
    Check(
        "verdict-never-used",
        "A way that no verdict takes is not what its writer meant.",
        find_unread_keys,
    ),
    Check(
        "over-limit-unheard",
        "An open path is told by O L, so O L must be an answer.",
        find_deaf_to_over_limit,
    ),
    Check(
        "rating-out-of-range",
        "A good part whose reading is not believed is asked back again and again.",
        find_unbelieved_ratings,
    ),
    Check(
        "limit-not-resolved",
        "A limit finer than the meter's own error can only come to 'cannot tell'.",
        find_unresolved,
    ),
    Check(
        "odd-tolerance",
        "A tolerance of nothing fails every part, one of everything passes it.",
        find_odd_percents,
    ),
    Check(
        "allowed-out-of-range",
        "A printed value that is not believed can never be answered.",
        find_odd_lists,
    ),
    Check(
        "single-value-range",
        "A range of one number believes nothing else.",
        find_empty_ranges,
    ),
)
