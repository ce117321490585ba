"""Which sessions a question is about, as conditions on rows."""

from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import ColumnElement, Connection, select

from assistant.shop.errors import ShopError
from assistant.shop.keys import first_key
from assistant.shop.tables import SESSIONS


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which sessions count.

    Args:
        since: the first day, in UTC; from the beginning where None.
        until: the last day, in UTC; to the end where None.
        technicians: as they stand in the index; all where empty.
        units: as they stand in the index; all where empty.
        flow: the flow's id; all where empty.
    """

    since: date | None = None
    until: date | None = None
    technicians: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    flow: str = ""

    @property
    def end(self) -> date | None:
        """Give the first day that is too late."""
        return None if self.until is None else self.until + timedelta(days=1)

    @property
    def is_of_some(self) -> bool:
        """Whether only some technicians or units count, so that no sums are kept of it."""
        return bool(self.technicians or self.units)

    def conditions(self) -> list[ColumnElement[bool]]:
        """Give what must be true of a session's row."""
        found = [*in_range(self.since, self.end)]
        if self.technicians:
            found.append(SESSIONS.c.technician.in_(self.technicians))
        if self.units:
            found.append(SESSIONS.c.unit.in_(self.units))
        if self.flow:
            found.append(SESSIONS.c.flow == self.flow)
        return found

    def words(self) -> str:
        """Say which sessions count."""
        parts = [
            f"from {self.since}" if self.since else "",
            f"to {self.until}" if self.until else "",
            f"by {', '.join(self.technicians)}" if self.technicians else "",
            f"on {', '.join(self.units)}" if self.units else "",
            f"with the flow {self.flow}" if self.flow else "",
        ]
        return ", ".join(part for part in parts if part) or "all that the index holds"


def in_range(since: date | None, end: date | None) -> list[ColumnElement[bool]]:
    """Give what must be true of a session's key from a day on and before another.

    A session whose time is not known is in no range.
    """
    key = SESSIONS.c.session
    if since is None and end is None:
        return []
    low = first_key(str(since)) if since is not None else 0
    return [key >= low] if end is None else [key >= low, key < first_key(str(end))]


def make_wanted(
    connection: Connection,
    *,
    since: str = "",
    until: str = "",
    tech: str = "",
    unit: str = "",
    flow: str = "",
) -> Wanted:
    """Make out which sessions are meant by what was typed; capitals make no difference.

    Args:
        connection: the index, which knows the names.
        since: the first day, as `2026-02-03`, or the first month, as `2026-02`.
        until: the last day, or the last month.
        tech: a technician.
        unit: a unit.
        flow: a flow's id.

    Raises:
        ShopError: when a day is none, or the index knows no such name.
    """
    first, last = _day(since), _day(until, is_last=True)
    if first and last and last < first:
        raise ShopError(f"Nothing lies from {first} to {last}.", "Name the earlier day first.")
    return Wanted(
        first,
        last,
        _named(connection, SESSIONS.c.technician, tech, "technician"),
        _named(connection, SESSIONS.c.unit, unit, "unit"),
        "".join(_named(connection, SESSIONS.c.flow, flow, "flow")),
    )


def _day(text: str, *, is_last: bool = False) -> date | None:
    if not text:
        return None
    try:
        if len(text) == len("2026-02"):
            first = date.fromisoformat(f"{text}-01")
            after = (first + timedelta(days=31)).replace(day=1)
            return after - timedelta(days=1) if is_last else first
        return date.fromisoformat(text)
    except (ValueError, OverflowError) as error:
        raise ShopError(
            f"'{text}' is no day.", "Write it as 2026-02-03, or a month as 2026-02."
        ) from error


def _named(
    connection: Connection, column: ColumnElement[str], typed: str, what: str
) -> tuple[str, ...]:
    wanted = " ".join(typed.split()).casefold()
    if not wanted:
        return ()
    known = connection.scalars(select(column).distinct())
    found = tuple(sorted(name for name in known if name.casefold() == wanted))
    if not found:
        raise ShopError(f"The index knows no {what} '{typed}'.", "Look at how it is written.")
    return found
