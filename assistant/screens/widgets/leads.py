"""Which two places the probes go to: a small drawing of a part with the two marked.

    MOTOR
    (1)── common
     ├─── high
    (2)── low

The places are always named in words beside it: "Probe 1: common. Probe 2: low."
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from textual.widgets import Static

MOST_PLACES = 7
"""A part with more places than this is drawn with the two marked ones only."""

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
    """Draw the parts with their places, one a line, the two marked (1) and (2).

    Args:
        leads: the places.
        columns: how wide a line may be; a longer name is cut here and whole in the words.
        is_short: whether only the marked places are drawn.
    """
    rows: list[str] = []
    for kind in dict.fromkeys(spot.kind for spot in leads.spots):
        of_kind = [spot for spot in leads.spots if spot.kind == kind]
        is_whole = not is_short and len(of_kind) <= MOST_PLACES
        shown = of_kind if is_whole else _marked(of_kind, leads)
        rows.append(PART_WORDS.get(kind, kind.replace("_", " ").upper()))
        rows += _branches(shown, leads, columns)
    return tuple(rows)


def _marked(spots: Sequence[Spot], leads: Leads) -> list[Spot]:
    return [spot for spot in spots if spot in {leads.first, leads.second}]


def _branches(spots: Sequence[Spot], leads: Leads, columns: int) -> list[str]:
    rows = []
    for number, spot in enumerate(spots):
        corner = "└" if number == len(spots) - 1 else "├"
        mark = {leads.first: "(1)", leads.second: "(2)"}.get(spot)
        stem = f" {corner}─{mark}─ " if mark else f" {corner}───── "
        rows.append(_cut(f"{stem}{spot.say}", columns))
    return rows


def _cut(row: str, columns: int) -> str:
    return row if len(row) <= columns else f"{row[: columns - 1]}…"


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
