"""How the arrows of a strand are led: straight down, or by a track of the gutter beside the boxes.

A box says in words where each of its arrows leads, so an arrow is drawn as a line only where the
line helps: between neighbours of one strand, never across a box.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from assistant.checks.strands import Strand
from assistant.checks.svg_box import BOX_WIDTH, Box

GUTTER = 78
"""The room to the right of a box, in which arrows turn."""
PITCH = BOX_WIDTH + GUTTER
"""From one column of boxes to the next."""
_TRACKS = 6
_TRACK_WIDTH = 9
_FIRST_TRACK = 12
_FARTHEST = 1600
"""An arrow that is longer than this is a line only where a walk went along it."""
_MOST_IN = 4

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Placed:
    """A box with the place of its upper left corner."""

    box: Box
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Route:
    """An arrow that is drawn as a line; the last point has the head.

    Args:
        source: the step it leaves.
        target: the step it leads to.
        points: its corners.
        walked: whether the walk that is drawn went along it.
    """

    source: str
    target: str
    points: tuple[Point, ...]
    walked: bool


@dataclass(frozen=True, slots=True)
class _Want:
    """An arrow that needs a track in a gutter."""

    source: Placed
    target: Placed
    gutter: int
    way: str
    walked: bool

    @property
    def span(self) -> float:
        return abs(self.target.y - self.source.y)


class Routing:
    """Leads the arrows of one strand; those that find no track stay words.

    Args:
        strand: how the steps stand to each other.
        places: the box of each step, by name.
    """

    def __init__(self, strand: Strand, places: dict[str, Placed]) -> None:
        self.places = places
        self.columns = {spot.step: spot.column for spot in strand.spots}
        self.under = {spot.step: spot.under for spot in strand.spots}
        self.tracks: defaultdict[int, list[list[tuple[float, float]]]] = defaultdict(
            lambda: [[] for _ in range(_TRACKS)]
        )
        self.entered: defaultdict[tuple[str, str], int] = defaultdict(int)

    def routes(self) -> Iterator[Route]:
        """Give the arrows that are drawn, the straight ones first, then the shorter ones."""
        wants: list[_Want] = []
        for name, source in self.places.items():
            for other, walked in _targets(source).items():
                if other not in self.places:
                    continue
                target = self.places[other]
                if self.under[other] == name:
                    yield _straight(source, target, walked=walked)
                else:
                    wants += self._want(source, target, walked=walked)
        for want in sorted(wants, key=lambda one: one.span):
            route = self._routed(want)
            if route is not None:
                yield route

    def _want(self, source: Placed, target: Placed, *, walked: bool) -> Iterator[_Want]:
        name, other = source.box.node.id, target.box.node.id
        here, there = self.columns[name], self.columns[other]
        ways = {1: "aside", 0: "along", -1: "back"}
        is_near = walked or abs(target.y - source.y) <= _FARTHEST
        if there - here in ways and is_near:
            yield _Want(source, target, min(here, there), ways[there - here], walked)

    def _routed(self, want: _Want) -> Route | None:
        name, other = want.source.box.node.id, want.target.box.node.id
        side = "left" if want.way == "aside" else "top"
        count = self.entered[other, side]
        if count >= _MOST_IN:
            return None
        start = want.source.y + want.source.box.ports[other]
        end = want.target.y + 16 + 7 * count
        if side == "top":
            end = want.target.y - 8 - 5 * count
        track = self._track(want.gutter, *sorted((start, end)))
        if track is None:
            return None
        self.entered[other, side] += 1
        turn = want.gutter * PITCH + BOX_WIDTH + _FIRST_TRACK + _TRACK_WIDTH * track
        from_x = want.source.x + (0 if want.way == "back" else BOX_WIDTH)
        points: list[Point] = [(from_x, start), (turn, start), (turn, end)]
        if side == "left":
            points.append((want.target.x, end))
        else:
            into = want.target.x + BOX_WIDTH - 18 - 11 * count
            points += [(into, end), (into, want.target.y)]
        return Route(name, other, tuple(points), want.walked)

    def _track(self, gutter: int, top: float, bottom: float) -> int | None:
        """Give the first track that is free over a height, and take it."""
        for number, taken in enumerate(self.tracks[gutter]):
            if all(bottom + 8 < high or top - 8 > low for high, low in taken):
                taken.append((top, bottom))
                return number
        return None


def _targets(source: Placed) -> dict[str, bool]:
    """Give where a box leads, each once, and whether the walk went along one of its ways there."""
    targets: dict[str, bool] = {}
    for way in (*source.box.node.exits, *source.box.node.returns):
        targets[way.target] = targets.get(way.target, False) or bool(way.walked)
    return targets


def _straight(source: Placed, target: Placed, *, walked: bool) -> Route:
    x = source.x + BOX_WIDTH / 2
    points = ((x, source.y + source.box.height), (x, target.y))
    return Route(source.box.node.id, target.box.node.id, points, walked)
