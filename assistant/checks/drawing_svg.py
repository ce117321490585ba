"""A flow as an SVG picture: one file, the system's own letters, nothing fetched from elsewhere.

What a colour tells is also told in words and by a border's pattern, so it can be read in black and
white; each step is a group with a title, in walking order, for those who listen to it.
"""

from collections.abc import Iterator, Sequence

from assistant.checks.lettering import fold
from assistant.checks.outline import Node, Outline
from assistant.checks.power import Power
from assistant.checks.svg_box import BOX_WIDTH, TextLine
from assistant.checks.svg_layout import Frame, Sheet, lay_sheet
from assistant.checks.svg_marks import border, length, plain, text_line
from assistant.checks.svg_routing import PITCH, Placed, Route

_EDGE = 48
_LINE = 19

_STYLE = """
text { font-family: "DejaVu Sans", Verdana, sans-serif; fill: #1d2126; }
.title { font-size: 24px; font-weight: bold; }
.note { font-size: 13px; }
.heading { font-size: 14px; font-weight: bold; }
.head { font-size: 11px; fill: #4a5159; }
.name { font-size: 13px; font-weight: bold; }
.fact, .exit { font-size: 11px; }
.guard, .walk { font-size: 11px; font-weight: bold; }
.box { stroke: #1d2126; fill: #ffffff; stroke-width: 1.2; }
.off { fill: #f0f5ee; }
.on { fill: #fdf0dc; stroke-width: 4; }
.unproven { stroke-width: 1.8; stroke-dasharray: 8 5; }
.mixed { fill: #f6f2f8; stroke-width: 1.8; stroke-dasharray: 14 4 3 4; }
.unreached { stroke-dasharray: 2 5; }
.inner { fill: none; stroke: #1d2126; stroke-width: 1.2; }
.rule { stroke: #9aa1a8; stroke-width: 0.8; }
.bar { fill: #1d2126; }
.arrow { fill: none; stroke: #5b636b; stroke-width: 1.3; }
.went { fill: none; stroke: #1d2126; stroke-width: 4.5; }
.frame { fill: none; stroke: #8a9199; stroke-width: 1.4; }
a:hover text, a:focus text { text-decoration: underline; }
"""

_LEGEND: tuple[tuple[Power, bool, str], ...] = (
    (Power.OFF, False, "thin border: power proven off"),
    (Power.ON, False, "thick border: power on"),
    (Power.UNPROVEN, False, "dashed border: not proven, treat as live"),
    (Power.MIXED, False, "dash and dot: differs by the way taken"),
    (Power.OFF, True, "double border: hold point"),
)
_LEGEND_PITCH = 400


def draw_svg(outline: Outline) -> str:
    """Draw a flow as an SVG document."""
    sheet = lay_sheet(outline)
    width = max(sheet.columns, 3) * PITCH + 2 * _EDGE
    head, top = _head(outline, width - 2 * _EDGE)
    height = top + sheet.height + _EDGE
    parts = (
        _root(width, height),
        f'<title id="drawing-title">{plain(outline.title)}</title>',
        f'<desc id="drawing-words">{plain(_description(outline))}</desc>',
        f"<style>{_STYLE}</style>",
        _markers(),
        f'<rect width="{length(width)}" height="{length(height)}" fill="#ffffff"/>',
        *head,
        f'<g transform="translate({_EDGE} {length(top)})">',
        *_sheet_parts(outline, sheet),
        "</g>",
        "</svg>",
    )
    return "\n".join(parts) + "\n"


def _root(width: float, height: float) -> str:
    wide, high = length(width), length(height)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}"'
        f' height="{high}"'
        ' role="graphics-document" aria-labelledby="drawing-title drawing-words">'
    )


def _description(outline: Outline) -> str:
    steps = f"Flow {outline.id}, edition {outline.edition}, {len(outline.nodes)} steps."
    how = "Each step says its number, what it takes, what guards it, the power and where it leads."
    return " ".join((steps, how, *outline.sentences))


def _markers() -> str:
    """Give the heads of arrows: a small one, and a big one for the way that was walked."""
    return f"<defs>{_marker('head', 9, '#5b636b')}{_marker('head-went', 15, '#1d2126')}</defs>"


def _marker(name: str, size: int, colour: str) -> str:
    return (
        f'<marker id="{name}" viewBox="0 0 9 8" markerWidth="{size}" markerHeight="{size}" refX="9"'
        ' refY="4" orient="auto" markerUnits="userSpaceOnUse">'
        f'<path d="M0 0 L9 4 L0 8 z" fill="{colour}"/></marker>'
    )


def _head(outline: Outline, width: float) -> tuple[list[str], float]:
    """Give title, sentences and legend, and the height where the steps begin."""
    y = _EDGE + 14.0
    parts = [text_line(_EDGE, y, "title", line) for line in fold(outline.title, width, 24)[:1]]
    for sentence in (f"Flow {outline.id}, edition {outline.edition}.", *outline.sentences):
        for line in fold(sentence, width, 13):
            y += _LINE + 3
            parts.append(text_line(_EDGE, y, "note", line))
    legend, y = _legend(outline, width, y + 26)
    return [*parts, *legend], y


def _legend(outline: Outline, width: float, y: float) -> tuple[list[str], float]:
    """Give what each border means, and what a walk's way looks like where one is drawn."""
    parts: list[str] = []
    per_row = int(width // _LEGEND_PITCH)
    samples = len(_LEGEND) + outline.has_walk
    for position in range(samples):
        row, column = divmod(position, per_row)
        x, at = _EDGE + column * _LEGEND_PITCH, y + row * 40
        if position == len(_LEGEND):
            parts.append(
                f'<path class="went" d="M{length(x)} {length(at + 13)} H{length(x + 46)}"/>'
            )
            words = "thick line and bar: the way that was walked"
        else:
            power, is_hold, words = _LEGEND[position]
            parts += border(x, at, 46, 26, power, is_hold=is_hold)
        parts.append(text_line(x + 58, at + 18, "note", words))
    return parts, y + -(-samples // per_row) * 40 + 40


def _sheet_parts(outline: Outline, sheet: Sheet) -> Iterator[str]:
    for frame in sheet.frames:
        yield from _frame(outline, frame)
    for route in sorted(sheet.routes, key=lambda one: one.walked):
        yield _route(outline, route)
    for placed in sorted(sheet.boxes, key=lambda one: one.box.node.number):
        yield from _box(outline, placed)


def _frame(outline: Outline, frame: Frame) -> Iterator[str]:
    group, node = outline.groups[frame.group], outline.nodes[frame.group]
    yield (
        f'<rect class="frame" x="{length(frame.x)}" y="{length(frame.y)}"'
        f' width="{length(frame.width)}" height="{length(frame.height)}" rx="10"/>'
    )
    words = f"Inside {node.number} {group.id}: {group.title}"
    yield text_line(frame.x + 22, frame.y + 27, "heading", fold(words, frame.width - 40, 14.5)[0])


def _route(outline: Outline, route: Route) -> str:
    numbers = [outline.nodes[one].number for one in (route.source, route.target)]
    kind, head = ("went", "head-went") if route.walked else ("arrow", "head")
    way = " ".join(f"{length(x)},{length(y)}" for x, y in route.points)
    return (
        f'<polyline class="{kind}" points="{way}" marker-end="url(#{head})">'
        f"<title>{numbers[0]} to {numbers[1]}</title></polyline>"
    )


def _box(outline: Outline, placed: Placed) -> Iterator[str]:
    box, node = placed.box, placed.box.node
    yield f'<g id="step-{node.number}" role="group" transform="translate({_at(placed)})">'
    yield f"<title>{plain(_spoken(node))}</title>"
    if node.visits:
        yield f'<rect class="bar" x="-10" y="0" width="7" height="{length(box.height)}"/>'
    corner = 16 if node.finding is not None else 3
    yield from border(
        0, 0, BOX_WIDTH, box.height, node.power.power, is_hold=node.is_hold, corner=corner
    )
    yield f'<path class="rule" d="M11 {length(box.rule)} H{BOX_WIDTH - 11}"/>'
    yield from _box_lines(outline, box.lines)
    yield "</g>"


def _at(placed: Placed) -> str:
    return f"{length(placed.x)} {length(placed.y)}"


def _spoken(node: Node) -> str:
    """Give a step's title, which a pointer shows and a screen reader says."""
    hold = ", hold point" if node.is_hold else ""
    says = f" Says: {node.says}" if node.says else ""
    return f"{node.number} {node.id}, {node.kind}{hold}, {node.power.words}.{says}"


def _box_lines(outline: Outline, lines: Sequence[TextLine]) -> Iterator[str]:
    for line in lines:
        text = text_line(line.x, line.y, line.role, line.text)
        if line.link:
            text = f'<a href="#step-{outline.nodes[line.link].number}">{text}</a>'
        yield text
