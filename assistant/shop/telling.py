"""A record told as rows: what it came to, and how it was walked."""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from assistant.journal.account import Account, TakenValue, give_account
from assistant.journal.flag_finders import find_near_limit
from assistant.journal.ledger import REDUCERS
from assistant.journal.reading import Record
from assistant.shop.keys import pace_of, session_key
from assistant.shop.tables import CAUTIONS, FINDINGS, READINGS, VISITS
from assistant.shop.visits import TRAIL_REDUCERS, Trail, follow

Cell: TypeAlias = "str | int | float | None"
Row: TypeAlias = tuple[Cell, ...]
"""A row in the order of its table's columns."""

WANTED = frozenset(REDUCERS) | frozenset(TRAIL_REDUCERS)
"""The kinds of lines that rows are made from."""

MICROFARADS = "microfarad"
CAPACITANCE = "capacitance"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a copy of a session stands.

    Args:
        machine: the machine's name.
        folder: the folder, as a path on it.
    """

    machine: str
    folder: str


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong with a record, as far as a list says it.

    Args:
        line: the journal's line; 0 where nothing is wrong.
        sentence: what is wrong; empty where nothing is.
    """

    line: int = 0
    sentence: str = ""


SOUND = Trouble()


@dataclass(frozen=True, slots=True)
class Told:
    """A session as rows.

    Args:
        key: the session's key.
        month: as `2026-02`; empty where its time is not known.
        claim: of several copies the one with the greatest stands in the index.
        session: its row.
        parts: what belongs to it, by the name of the table.
    """

    key: int
    month: str
    claim: str
    session: Row
    parts: Mapping[str, tuple[Row, ...]]


def tell(record: Record, source: Source, digest: str, trouble: Trouble = SOUND) -> Told:
    """Tell a record as rows.

    Args:
        record: lines whose events say all that their kind must, up to where it is sound.
        source: the folder it was read from.
        digest: the content's hash, in hex.
        trouble: what is wrong with it.

    Raises:
        KeyError, TypeError, ValueError: when an event is not as this edition writes it.
    """
    account, trail = give_account(record, is_whole=True), follow(record)
    name = account.session or source.folder.replace("\\", "/").rpartition("/")[2]
    key = session_key(name, account.started)
    near = _near_names(record, trail)
    count = record.lines[-1].seq if record.lines else 0
    is_good = int(record.is_sealed and not trouble.line)
    claim = f"{is_good}{count:09d}{digest}\x1f{source.machine}\x1f{source.folder}"
    parts = {
        FINDINGS.name: tuple(_findings(key, account, trail)),
        READINGS.name: tuple(_readings(key, account, trail, near)),
        CAUTIONS.name: tuple(_cautions(key, trail)),
        VISITS.name: tuple(_visits(key, trail)),
    }
    month = account.started[:7]
    head: Row = (key, name, claim, source.machine, source.folder, account.started, month)
    session = head + _what(account, trouble) + _how_many(account, trail, len(near), count, trouble)
    return Told(key, month, claim, session, parts)


def _what(account: Account, trouble: Trouble) -> Row:
    return (
        " ".join(account.technician.split()),
        " ".join(account.unit.split()),
        account.flow,
        account.edition,
        account.outcome if account.flow else "",
        account.sent_to,
        account.after,
        account.seal_code,
        trouble.sentence,
        account.seconds,
    )


def _how_many(account: Account, trail: Trail, near: int, lines: int, trouble: Trouble) -> Row:
    visits, cautions = trail.visits, trail.cautions
    measured = sum(value.origin == "measured" for value in account.values)
    return (
        lines,
        trouble.line,
        int(account.is_sealed),
        account.turns,
        len(account.answers) + sum(value.origin != "worked_out" for value in account.values),
        account.scratched,
        sum(visit.asked_back for visit in visits),
        sum(visit.not_taken for visit in visits),
        sum(visit.silences for visit in visits),
        sum(visit.helped for visit in visits),
        trail.skipped,
        trail.blocked,
        trail.retaken,
        trail.held,
        len(cautions),
        sum(one.is_fast for one in cautions),
        measured,
        near,
    )


def _near_names(record: Record, trail: Trail) -> frozenset[str]:
    """Give the values that stand and are close to the limit that decided."""
    lines = {flag.line for flag in find_near_limit(record)}
    if not lines:
        return frozenset()
    last = {name: line for (name, _), line in trail.took.items()}
    judged = (line for line in record.lines if line.seq in lines)
    return frozenset(
        str(line.data["name"]) for line in judged if line.seq > last[str(line.data["name"])]
    )


def _findings(key: int, account: Account, trail: Trail) -> Iterator[Row]:
    for one in account.findings:
        faults = "+".join(sorted(one.faults))
        line = trail.found[one.id, one.answer]
        yield (
            *(key, line, one.id, one.part, one.step, faults, one.repair, one.replacement),
            int(one.licensed),
        )


def _readings(key: int, account: Account, trail: Trail, near: frozenset[str]) -> Iterator[Row]:
    for one in account.values:
        low, high = figure(one.low), figure(one.high)
        yield (
            *(key, trail.took[one.id, one.answer], one.id, one.step, one.origin, one.places[0]),
            " to ".join(place for place in one.places[1:] if place),
            *(one.unit, "OL" if one.over_limit else one.value, one.verdict),
            *(None if one.over_limit else figure(one.value), low, high),
            _rated(one, account, low, high),
            *(int(one.retaken), int(one.confirmed), int(one.id in near)),
        )


def _rated(
    one: TakenValue, account: Account, low: float | None, high: float | None
) -> float | None:
    """Give the printed microfarads that lie inside the limits a capacitance was judged by."""
    if one.places[0] != CAPACITANCE or low is None or high is None:
        return None
    printed = (
        figure(value.value)
        for value in account.values
        if value.origin == "asked" and value.unit == MICROFARADS
    )
    return next((value for value in printed if value is not None and low <= value <= high), None)


def figure(digits: str) -> float | None:
    """Give digits as a number; None where they are none, or no finite one."""
    try:
        value = float(digits)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _cautions(key: int, trail: Trail) -> Iterator[Row]:
    for one in trail.cautions:
        took = None if one.seconds is None else round(one.seconds * 1000)
        needed = round(one.needed * 1000)
        yield (key, one.line, one.caution, one.step, took, needed, int(one.is_fast))


def _visits(key: int, trail: Trail) -> Iterator[Row]:
    for one in trail.visits:
        seconds = one.seconds
        yield (
            *(key, one.line, one.step, round(seconds * 1000), pace_of(seconds), one.heard),
            *(one.silences, one.not_taken, one.asked_back, one.helped, int(one.is_timed)),
        )


Cleaner: TypeAlias = Callable[[Cell], Cell]


def cleaned(told: Told) -> Told:
    """Give rows whose texts any database takes: no zero character, no half of a pair."""
    parts = {
        name: tuple(tuple(clean(cell) for cell in row) for row in rows)
        for name, rows in told.parts.items()
    }
    session = tuple(clean(cell) for cell in told.session)
    return Told(told.key, told.month, str(clean(told.claim)), session, parts)


def clean(cell: Cell) -> Cell:
    """Give a cell as any database takes it."""
    if not isinstance(cell, str):
        return cell
    return cell.replace("\0", "\ufffd").encode("utf-8", "replace").decode("utf-8")
