"""Where boxes and arrows of a drawing stand: strands packed on a tall page, includes framed.

Arrows are led by `svg_routing`, strand by strand.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from assistant.checks.outline import Outline
from assistant.checks.strands import Spot, Strand
from assistant.checks.svg_box import make_box
from assistant.checks.svg_routing import PITCH, Placed, Route, Routing

PAGE_COLUMNS = 6
"""How many columns of boxes the page has."""
_GAP = 34
_STRAND_GAP = 56
_FRAME_HEAD = 46
_FRAME_FOOT = 14
_FRAME_COLUMNS = 2


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
    sheet.routes = list(Routing(strand, places).routes())
    return sheet


def _top(spot: Spot, places: dict[str, Placed], free: dict[int, float]) -> float:
    """Give where a box begins: under its chain and what stands beside it, or beside its branch."""
    if spot.beside:
        return max(free[spot.column], places[spot.beside].y)
    return max((y for column, y in free.items() if column >= spot.column), default=0.0)
