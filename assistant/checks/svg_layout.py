"""Where boxes and arrows of a drawing stand: strands packed on a tall page, includes framed.

A box says in words where each of its arrows leads, so an arrow is drawn as a line only where the
line helps: between neighbours of one strand, in the gutter beside them, never across a box.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from assistant.checks.outline import Outline
from assistant.checks.strands import Spot, Strand
from assistant.checks.svg_box import BOX_WIDTH, Box, make_box

GUTTER = 78
"""The room to the right of a box, in which arrows turn."""
PITCH = BOX_WIDTH + GUTTER
"""From one column of boxes to the next."""
PAGE_COLUMNS = 6
"""How many columns of boxes the page has."""
_GAP = 34
_STRAND_GAP = 56
_FRAME_HEAD = 46
_FRAME_FOOT = 14
_FRAME_COLUMNS = 2
_TRACKS = 6
_TRACK_WIDTH = 9
_FIRST_TRACK = 12
_FARTHEST = 1600
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
class Frame:
    """The frame around the steps of an include, with its heading."""

    group: str
    x: float
    y: float
    width: float
    height: float


@dataclass
class Sheet:
    """Boxes, arrows and frames, each from the sheet's own upper left corner.

    Args:
        columns: how many columns of boxes it is wide.
        height: how high it is.
    """

    columns: int = 0
    height: float = 0
    boxes: list[Placed] = field(default_factory=list)
    routes: list[Route] = field(default_factory=list)
    frames: list[Frame] = field(default_factory=list)

    def take(self, other: "Sheet", column: int, y: float) -> None:
        """Put another sheet onto this one."""
        x = column * PITCH
        self.boxes += [Placed(one.box, one.x + x, one.y + y) for one in other.boxes]
        self.routes += [
            Route(one.source, one.target, tuple((a + x, b + y) for a, b in one.points), one.walked)
            for one in other.routes
        ]
        self.frames += [
            Frame(one.group, one.x + x, one.y + y, one.width, one.height) for one in other.frames
        ]
        self.columns = max(self.columns, column + other.columns)
        self.height = max(self.height, y + other.height)


def lay_sheet(outline: Outline) -> Sheet:
    """Lay out a whole flow on one sheet."""
    inside: dict[str, list[Strand]] = defaultdict(list)
    for strand in outline.strands:
        inside[strand.group].append(strand)
    return _region(outline, inside, "")


def _region(outline: Outline, inside: dict[str, list[Strand]], group: str) -> Sheet:
    """Lay out the strands of a group and the frames of the includes it goes into."""
    parts: list[Sheet] = []
    for strand in inside[group]:
        parts.append(_lay_strand(outline, strand))
        parts += [
            _framed(_region(outline, inside, spot.step), spot.step, outline)
            for spot in strand.spots
            if spot.step in outline.groups
        ]
    widest = max((part.columns for part in parts), default=1)
    return _packed(parts, max(widest, _FRAME_COLUMNS if group else PAGE_COLUMNS))


def _framed(content: Sheet, group: str, outline: Outline) -> Sheet:
    depth = outline.groups[group].depth
    sheet = Sheet()
    sheet.take(content, 0, _FRAME_HEAD)
    sheet.height += _FRAME_FOOT
    inset = 5.0 * min(depth, 3)
    width = content.columns * PITCH - 6 - 2 * inset
    sheet.frames.append(Frame(group, inset - 22, 0, width, sheet.height))
    return sheet


def _packed(parts: Sequence[Sheet], columns: int) -> Sheet:
    """Put sheets beside and under each other, each as high up as its width allows."""
    sheet, skyline = Sheet(), [0.0] * columns
    for part in parts:
        places = range(columns - part.columns + 1)
        column = min(places, key=lambda one: (max(skyline[one : one + part.columns]), one))
        y = max(skyline[column : column + part.columns])
        sheet.take(part, column, y)
        bottom = y + part.height + _STRAND_GAP
        skyline[column : column + part.columns] = [bottom] * part.columns
    return sheet


def _lay_strand(outline: Outline, strand: Strand) -> Sheet:
    sheet = Sheet()
    places: dict[str, Placed] = {}
    free: defaultdict[int, float] = defaultdict(float)
    for spot in strand.spots:
        box = make_box(outline, outline.nodes[spot.step])
        y = _top(spot, places, free)
        places[spot.step] = Placed(box, spot.column * PITCH, y)
        free[spot.column] = y + box.height + _GAP
    sheet.boxes = list(places.values())
    sheet.columns = max(spot.column for spot in strand.spots) + 1
    sheet.height = max(one.y + one.box.height for one in sheet.boxes)
    sheet.routes = list(_Routing(strand, places).routes())
    return sheet


def _top(spot: Spot, places: dict[str, Placed], free: dict[int, float]) -> float:
    """Give where a box begins: under its chain and what stands beside it, or beside its branch."""
    if spot.beside:
        return max(free[spot.column], places[spot.beside].y)
    return max((y for column, y in free.items() if column >= spot.column), default=0.0)


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


class _Routing:
    """Leads the arrows of one strand; those that find no track stay words."""

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
            for way in (*source.box.node.exits, *source.box.node.returns):
                if way.target not in self.places:
                    continue
                target = self.places[way.target]
                if self.under[way.target] == name:
                    yield _straight(source, target, walked=bool(way.walked))
                else:
                    wants += self._want(source, target, walked=bool(way.walked))
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


def _straight(source: Placed, target: Placed, *, walked: bool) -> Route:
    x = source.x + BOX_WIDTH / 2
    points = ((x, source.y + source.box.height), (x, target.y))
    return Route(source.box.node.id, target.box.node.id, points, walked)
