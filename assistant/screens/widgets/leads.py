"""Which two places the probes go to: a small drawing of a part with the two marked.

    MOTOR
    (1)── common
     ├─── high
    (2)── low

The places are always named in words beside it: "Probe 1: common. Probe 2: low."
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from textwrap import wrap

from textual.widgets import Static

MOST_ROWS = 9
"""A part that takes more rows than this is drawn with the two marked places only."""

_NARROWEST = 8

PART_WORDS: Mapping[str, str] = {
    "motor_lead": "MOTOR LEADS",
    "frame": "MOTOR FRAME",
    "motor": "MOTOR",
    "capacitor": "CAPACITOR",
    "supply": "SUPPLY",
    "control": "CONTROL",
    "compressor": "COMPRESSOR",
    "air": "AIR",
}
"""What a kind of place belongs to."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place a probe can go to.

    Args:
        name: its name in the vocabulary.
        say: its name for people.
        kind: what it belongs to.
    """

    name: str
    say: str
    kind: str


@dataclass(frozen=True, slots=True)
class Leads:
    """Where the probes go, among the places of the same part.

    Args:
        spots: the places of the parts concerned, the two among them, in the vocabulary's order.
        first: the place of the first probe, or the only place.
        second: the place of the second probe; None where there is only one.
    """

    spots: tuple[Spot, ...]
    first: Spot
    second: Spot | None = None

    @property
    def words(self) -> str:
        """Name the places in words."""
        if self.second is None:
            return f"Place: {self.first.say}."
        return f"Probe 1: {self.first.say}. Probe 2: {self.second.say}."


def draw_leads(leads: Leads, columns: int = 40, *, is_short: bool = False) -> tuple[str, ...]:
    """Draw the parts with their places as branches, the two marked (1) and (2).

    Args:
        leads: the places.
        columns: how wide a line may be; a longer name runs on in the next.
        is_short: whether only the marked places are drawn.
    """
    rows: list[str] = []
    for kind in dict.fromkeys(spot.kind for spot in leads.spots):
        of_kind = [spot for spot in leads.spots if spot.kind == kind]
        marked = [spot for spot in of_kind if spot in {leads.first, leads.second}]
        branches = _branches(of_kind, leads, columns)
        if is_short or len(branches) > MOST_ROWS:
            branches = _branches(marked, leads, columns)
        rows += [PART_WORDS.get(kind, kind.replace("_", " ").upper()), *branches]
    return tuple(rows)


def _branches(spots: Sequence[Spot], leads: Leads, columns: int) -> list[str]:
    rows: list[str] = []
    for number, spot in enumerate(spots):
        is_last = number == len(spots) - 1
        mark = {leads.first: "(1)", leads.second: "(2)"}.get(spot, "───")
        stem = f" {'└' if is_last else '├'}─{mark}─ "
        below = f" {' ' if is_last else '│'}{' ' * (len(stem) - 2)}"
        names = wrap(spot.say, max(columns - len(stem), _NARROWEST)) or [""]
        rows += [f"{stem if not line else below}{name}" for line, name in enumerate(names)]
    return rows


class LeadsDrawing(Static):
    """Shows where the probes go; empty where nothing is measured.

    Args:
        columns: how wide a line may be.
        is_short: whether only the marked places are drawn.
    """

    DEFAULT_CSS = """
    LeadsDrawing { height: auto; width: 1fr; color: $text; }
    LeadsDrawing.empty { display: none; }
    """

    def __init__(self, columns: int = 40, *, is_short: bool = False, id: str | None = None) -> None:  # noqa: A002 - the library's name
        super().__init__("", id=id, markup=False)
        self._columns, self._is_short = columns, is_short

    def show(self, leads: Leads | None) -> None:
        """Draw other places."""
        rows = () if leads is None else draw_leads(leads, self._columns, is_short=self._is_short)
        self.update("\n".join(rows))
        self.set_class(not rows, "empty")
