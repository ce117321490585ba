"""Finding what a lead cares about in a session: small functions over its record.

A flag is no judgement: it says where to look. The thresholds are common practice, no source, except
where their own words say otherwise.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal, InvalidOperation
from itertools import pairwise
from types import MappingProxyType

from assistant.journal.account import give_account
from assistant.journal.line import JSON, Line
from assistant.journal.reading import Record
from assistant.journal.repairing import find_unproven, may_be_unproven
from assistant.quantity import FORMS, QuantityError, Unit, format_for_eye, quantity, with_one_stop

FASTEST_WORDS_A_MINUTE = 240
"""Nobody has heard or read a caution that was answered faster than this.

Speech is slower, and silent reading of English goes at 238 words a minute on average (M. Brysbaert,
"How many words do we read per minute?", 2019; from memory).
"""

LONG_PAUSE_SECONDS = 300
"""A pause this long between two things heard: common practice, no source."""

OFTEN_ASKED_BACK = 2
"""So many questions back on one answer: common practice, no source."""

NEAR_SHARE = Decimal("0.05")
"""A value so close to a limit, as a share of the band (of the limit, where there is only one)."""

ERROR_SHARE = Decimal("0.2")
"""The most that a meter's error counts, as a share of the same: zero is not close to two."""

METER_ERRORS: Mapping[str, tuple[Decimal, Decimal]] = MappingProxyType(
    {
        "ohm": (Decimal("0.9"), Decimal(2)),
        "microfarad": (Decimal("1.0"), Decimal(2)),
        "volt": (Decimal("1.0"), Decimal(3)),
        "ampere": (Decimal("2.0"), Decimal(5)),
        "watt": (Decimal("3.0"), Decimal(5)),
        "in_wc": (Decimal("2.0"), Decimal(1)),
        "deg_f": (Decimal("1.0"), Decimal(1)),
        "rpm": (Decimal("0.5"), Decimal(1)),
        "megohm": (Decimal("5.0"), Decimal(2)),
    }
)
"""A meter's error by unit, in percent and in counts of the last digit shown.

The figures of the meters in `flows/vocabulary.yaml`; a record is judged without its flow.
"""


@dataclass(frozen=True, slots=True)
class Flag:
    """One place to look at.

    Args:
        kind: the flag's name in the table.
        line: the journal's line; 0 for the whole session.
        sentence: what is there, one sentence.
    """

    kind: str
    line: int
    sentence: str


def seconds_between(one: str, other: str) -> float:
    """Give the seconds from one line's time to another's."""
    return (datetime.fromisoformat(other) - datetime.fromisoformat(one)).total_seconds()


def saying_seconds(text: str) -> float:
    """Give how long it takes at least to say or to read a text."""
    return len(text.split()) * 60 / FASTEST_WORDS_A_MINUTE


def _of_kind(record: Record, *kinds: str) -> Iterator[Line]:
    return (line for line in record.lines if line.kind in kinds)


def _text(line: Line, key: str) -> str:
    value = line.data.get(key, "")
    return value if isinstance(value, str) else ""


def _place(line: Line) -> str:
    return _text(line, "step").replace("/", ": ").replace("_", " ") or "an unnamed step"


def _named(line: Line) -> str:
    return _text(line, "name").replace("_", " ") or "a value"


def find_fast_cautions(record: Record) -> Iterator[Flag]:
    """Find cautions answered sooner than they can have been heard or read."""
    given: dict[str, Line] = {}
    for line in _of_kind(record, "caution_given", "caution_answered"):
        name = _text(line, "caution")
        if line.kind == "caution_given":
            given[name] = line
        elif name in given:
            before = given.pop(name)
            took = seconds_between(before.time, line.time)
            needed = saying_seconds(_text(before, "text"))
            if 0 <= took < needed:
                sentence = (
                    f"The caution '{name.replace('_', ' ')}' was answered after {took:.1f} s;"
                    f" saying it takes {needed:.1f} s."
                )
                yield Flag("fast_caution", line.seq, sentence)


def find_retaken(record: Record) -> Iterator[Flag]:
    """Find readings that were taken again."""
    before: dict[str, str] = {}
    for line in _of_kind(record, "took"):
        name, shown = _text(line, "name"), _shown(line)
        if line.data.get("retaken") is True and _text(line, "origin") != "worked_out":
            earlier = f", before {before[name]}" if name in before else ""
            sentence = with_one_stop(f"The {_named(line)} was taken again: {shown}{earlier}.")
            yield Flag("retaken", line.seq, sentence)
        before[name] = shown


def _shown(line: Line) -> str:
    if line.data.get("over_limit") is True:
        return "OL"
    value, unit = _text(line, "value"), _text(line, "unit")
    try:
        return format_for_eye(quantity(value, unit))
    except QuantityError:
        symbol = FORMS[Unit(unit)].symbol if unit in set(Unit) else unit
        return f"{value} {symbol}".strip()


def find_taken_back(record: Record) -> Iterator[Flag]:
    """Find answers that were taken back."""
    for line in _of_kind(record, "scratched"):
        sentence = f"An answer was taken back, to '{_place(line)}'."
        yield Flag("taken_back", line.seq, sentence)


def find_skipped(record: Record) -> Iterator[Flag]:
    """Find skipped steps, with the reason said."""
    for line in _of_kind(record, "skipped"):
        sentence = f"The step '{_place(line)}' was skipped: {_text(line, 'reason')}."
        yield Flag("skipped", line.seq, sentence)


def find_asked_back(record: Record) -> Iterator[Flag]:
    """Count questions back on one step until it is answered; told once a step."""
    counts: dict[str, int] = {}
    for line in _of_kind(record, "asked_back", "took"):
        step = _text(line, "step")
        if line.kind == "took":
            counts.pop(step, None)
            continue
        counts[step] = counts.get(step, 0) + 1
        if counts[step] == OFTEN_ASKED_BACK:
            sentence = f"What was heard at '{_place(line)}' was asked back more than once."
            yield Flag("asked_back", line.seq, sentence)


def find_holds(record: Record) -> Iterator[Flag]:
    """Find where the walk was put on hold."""
    for line in _of_kind(record, "commanded"):
        if line.data.get("command") == "hold":
            yield Flag("hold", line.seq, f"The walk was put on hold at '{_place(line)}'.")


def find_pauses(record: Record) -> Iterator[Flag]:
    """Find long pauses between two things heard."""
    for before, after in pairwise(_of_kind(record, "began", "heard", "resumed")):
        seconds = seconds_between(before.time, after.time)
        if seconds >= LONG_PAUSE_SECONDS:
            sentence = f"Nothing was heard for {round(seconds / 60)} minutes."
            yield Flag("long_pause", after.seq, sentence)


def find_out_of_order(record: Record) -> Iterator[Flag]:
    """Find steps that were wanted before what they need was proven."""
    for line in _of_kind(record, "blocked"):
        lacking: JSON = line.data.get("lacking")
        words = ", ".join(str(one) for one in lacking) if isinstance(lacking, list) else ""
        sentence = f"'{_place(line)}' was refused{f': it needs {words}' if words else ''}."
        yield Flag("out_of_order", line.seq, sentence)


def find_near_limit(record: Record) -> Iterator[Flag]:
    """Find measured values close to the limit that decided."""
    taken: dict[str, Line] = {}
    for line in _of_kind(record, "took", "judged"):
        name = _text(line, "name")
        if line.kind == "took":
            taken[name] = line
        elif line.data.get("decides") is True and name in taken:
            limit = _limit_nearby(taken[name], _text(line, "low"), _text(line, "high"))
            if limit is not None:
                shown = _shown(taken[name])
                sentence = f"The {_named(line)} of {shown} is close to the limit of {limit:f}."
                yield Flag("near_limit", line.seq, sentence)


def _limit_nearby(taken: Line, low: str, high: str) -> Decimal | None:
    """Give the limit that a measured value is close to; None where it is close to none."""
    if taken.data.get("over_limit") is True or _text(taken, "origin") != "measured":
        return None
    try:
        value = Decimal(_text(taken, "value"))
        limits = [Decimal(limit) for limit in (low, high) if limit]
        size = max(limits) - min(limits) if len(limits) > 1 else abs(max(limits, default=value))
        error = min(_meter_error(value, _text(taken, "unit")), size * ERROR_SHARE)
        near = max(size * NEAR_SHARE, error)
        return next((limit for limit in limits if abs(value - limit) <= near), None)
    except InvalidOperation:
        return None


def _meter_error(value: Decimal, unit: str) -> Decimal:
    """Give how far a meter may be off; a unit that no meter shows has no error."""
    percent, counts = METER_ERRORS.get(unit, (Decimal(0), Decimal(0)))
    exponent = value.as_tuple().exponent
    digit = Decimal(1).scaleb(exponent) if isinstance(exponent, int) else Decimal(0)
    return abs(value) * percent / 100 + counts * digit


def find_unsealed(record: Record) -> Iterator[Flag]:
    """Tell that there is no seal."""
    if not record.is_sealed:
        yield Flag("unsealed", 0, "There is no seal: the walk is open or was interrupted.")


def find_unproven_repairs(record: Record) -> Iterator[Flag]:
    """Tell that a repair was said to be made, and what was read after it speaks against that."""
    if not may_be_unproven(record.lines):
        return
    against = find_unproven(give_account(record))
    if against is not None:
        name = against.value.id
        lines = [line.seq for line in _of_kind(record, "judged") if line.data.get("name") == name]
        yield Flag("unproven_repair", lines[-1], against.words)


def find_damaged(record: Record) -> Iterator[Flag]:
    """Tell what was changed or lost, by line."""
    for problem in record.damage:
        yield Flag("damaged", problem.line, problem.sentence)
