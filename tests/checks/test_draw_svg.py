"""The picture: sound XML, by itself, nothing across a box, and plain without colour."""

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from drawing_tools import AT_CAN, DRAWN, KETTLE, flow_of, outline_of, squeezed, walked
from hypothesis import given
from hypothesis import strategies as st

from assistant.checks.drawing import draw_flow
from assistant.checks.drawing_svg import draw_svg
from assistant.checks.lettering import fold, width_of
from assistant.checks.power import Power
from assistant.checks.svg_layout import lay_sheet
from assistant.flow.model import SpokenStep

SVG = "{http://www.w3.org/2000/svg}"
SIZES = {"title": 24.0, "note": 13.0, "heading": 14.0, "name": 13.0}
BOLD = {"title", "heading", "name", "guard", "walk"}


@cache
def picture(name: str) -> str:
    """Draw a flow once."""
    return draw_svg(outline_of(name))


def texts(part: ET.Element, x: float = 0, y: float = 0) -> Iterator[tuple[float, float, str, str]]:
    """Give each line of text with its place in the picture and its class."""
    moved = re.match(r"translate\(([\d.-]+) ([\d.-]+)\)", part.get("transform", ""))
    if moved:
        x, y = x + float(moved[1]), y + float(moved[2])
    if part.tag == f"{SVG}text":
        at = float(part.get("x", "0")), float(part.get("y", "0"))
        yield x + at[0], y + at[1], part.text or "", part.get("class", "")
    for child in part:
        yield from texts(child, x, y)


def steps(text: str) -> dict[str, ET.Element]:
    """Give each step's group by its id."""
    return {
        one.get("id", ""): one
        for one in ET.fromstring(text).iter(f"{SVG}g")  # noqa: S314 - our own text
        if one.get("id", "").startswith("step-")
    }


@pytest.mark.parametrize("name", DRAWN)
def test_every_step_arrow_and_guard_is_written(name: str) -> None:
    """Each step is a group with a title and its words: name, guards, power, finding, ways on."""
    flow, outline = flow_of(name), outline_of(name)
    groups = steps(picture(name))
    assert len(flow.steps) == len(groups)
    for step_id, step in flow.steps.items():
        node = outline.nodes[step_id]
        group = groups[f"step-{node.number}"]
        words = squeezed("".join(text for _, _, text, _ in texts(group)))
        assert step_id in words
        assert squeezed(node.power.words) in words
        assert ("HOLDPOINT" in words) == getattr(step, "hold", False)
        for caution in step.cautions if isinstance(step, SpokenStep) else ():
            assert f"Caution:{caution}" in words
        if hasattr(step, "finding"):
            part = flow.findings[step.finding].part
            assert squeezed(f"Finding {step.finding}: {part}") in words
        for way in node.exits:
            target = squeezed(outline.target_words(way.target))
            assert f"{squeezed('; '.join(way.words))}→{target}" in words
        assert step_id in (group.findtext(f"{SVG}title") or "")


@pytest.mark.parametrize("name", DRAWN)
def test_it_is_by_itself(name: str) -> None:
    """Nothing is fetched or run: no address but the name of the format, no link but inside."""
    text = picture(name)
    assert ["http://www.w3.org/2000/svg"] == re.findall(r"https?://[^\"' ]*", text)
    assert all(link.startswith("#") for link in re.findall(r'href="([^"]*)"', text))
    assert all(link.startswith("#") for link in re.findall(r"url\(([^)]*)\)", text))
    for word in ("<script", "<image", "<use", "@import", "@font-face", "<foreignObject"):
        assert word not in text
    ids = set(re.findall(r'id="([^"]*)"', text))
    assert set(re.findall(r'href="#([^"]*)"', text)) <= ids


@pytest.mark.parametrize("name", DRAWN)
def test_no_text_is_outside_the_picture_or_its_box(name: str) -> None:
    """Every line of text ends inside the picture, and inside its step's border."""
    root = ET.fromstring(picture(name))  # noqa: S314 - our own text
    _, _, width, height = map(float, root.get("viewBox", "").split())
    for x, y, text, kind in texts(root):
        right = x + width_of(text, SIZES.get(kind, 11), is_bold=kind in BOLD)
        assert 0 <= x <= right <= width
        assert 12 <= y <= height
    for group in steps(picture(name)).values():
        border = group.find(f"{SVG}rect[@class]")
        boxes = [one for one in group.iter(f"{SVG}rect") if "box" in (one.get("class") or "")]
        assert border is not None
        (box,) = boxes
        for child in group.iter(f"{SVG}text"):
            x, y, kind = float(child.get("x", 0)), float(child.get("y", 0)), child.get("class", "")
            right = x + width_of(child.text or "", SIZES.get(kind, 11), is_bold=kind in BOLD)
            assert 6 <= x <= right <= float(box.get("width", 0)) - 6
            assert 10 <= y <= float(box.get("height", 0)) - 4


@pytest.mark.parametrize("name", DRAWN)
def test_no_box_stands_on_another_and_no_arrow_crosses_one(name: str) -> None:
    """Boxes are apart, and a line touches only the borders of the two boxes it joins."""
    sheet = lay_sheet(outline_of(name))
    edge = 0.01
    boxes = [
        (b.x + edge, b.y + edge, b.x + 262 - edge, b.y + b.box.height - edge) for b in sheet.boxes
    ]
    for number, (left, top, right, bottom) in enumerate(boxes):
        for other in boxes[:number]:
            assert right <= other[0] or other[2] <= left or bottom <= other[1] or other[3] <= top
    for route in sheet.routes:
        for (x1, y1), (x2, y2) in pairwise(route.points):
            assert x1 == x2 or y1 == y2
            low_x, high_x, low_y, high_y = min(x1, x2), max(x1, x2), min(y1, y2), max(y1, y2)
            for left, top, right, bottom in boxes:
                is_across = low_x < right and left < high_x and low_y < bottom and top < high_y
                is_inside_x = low_x == high_x and left < low_x < right
                is_inside_y = low_y == high_y and top < low_y < bottom
                is_across |= is_inside_x and low_y < bottom and top < high_y
                is_across |= is_inside_y and low_x < right and left < high_x
                assert not is_across


@pytest.mark.parametrize("name", DRAWN)
def test_arrows_end_where_their_step_stands(name: str) -> None:
    """A line leaves the border of its step and ends at the border of its target."""
    sheet = lay_sheet(outline_of(name))
    places = {one.box.node.id: one for one in sheet.boxes}
    for route in sheet.routes:
        for name_, (x, y) in ((route.source, route.points[0]), (route.target, route.points[-1])):
            box = places[name_]
            to_sides = abs(x - box.x), abs(x - box.x - 262)
            to_ends = abs(y - box.y), abs(y - box.y - box.box.height)
            assert min(*to_sides, *to_ends) < 0.01
            assert max(to_sides) < 262.01
            assert max(to_ends) < box.box.height + 0.01


def test_without_colour_the_borders_still_tell_the_power_apart() -> None:
    """Each state of power has a border of its own by width and dashes; a hold point has two."""
    style = re.search(r"<style>(.*?)</style>", picture(str(KETTLE)), re.DOTALL)
    assert style is not None
    rules = dict(re.findall(r"\.(\w+) \{([^}]*)\}", style[1]))
    patterns = set()
    for power in Power:
        own = rules["box"] + rules[power.value]
        keys = dict(re.findall(r"(stroke-width|stroke-dasharray): ([^;]*)", own))
        patterns.add(tuple(sorted(keys.items())))
    assert len(Power) == len(patterns)
    groups = steps(picture(str(KETTLE)))
    for node in outline_of(str(KETTLE)).nodes.values():
        kinds = [one.get("class") for one in groups[f"step-{node.number}"].iter(f"{SVG}rect")]
        assert [f"box {node.power.power.value}", *["inner"] * node.is_hold] == kinds


def test_a_walk_is_drawn_thick_and_numbered() -> None:
    """Walked steps have a bar and their numbers, walked arrows are thick, and no others."""
    text = draw_flow(flow_of(str(KETTLE)), "svg", walked(*AT_CAN, "six point two", "yes"))
    outline = outline_of(str(KETTLE))
    order = {}
    for group in steps(text).values():
        words = [one.text or "" for one in group.iter(f"{SVG}text")]
        numbers = [one.removeprefix("Walked ") for one in words if one.startswith("Walked ")]
        has_bar = any(one.get("class") == "bar" for one in group)
        assert bool(numbers) == has_bar
        for number in numbers:
            order[int(number)] = group.get("id")
    names = ["look", "rating", "safe", "safe/lock", "safe/test", "safe/bled", "safe>dead", "can"]
    names += ["find_weak", "low"]
    assert [f"step-{outline.nodes[name].number}" for name in names] == [
        order[number] for number in sorted(order)
    ]
    assert 'class="went"' in text
    assert 'class="went" points' not in picture(str(KETTLE))


def test_what_xml_cannot_write_is_left_out() -> None:
    """Angles, ampersands and control marks in a flow's words do not break the picture."""
    outline = outline_of(str(KETTLE))
    odd = type(outline)(
        id=outline.id,
        title='A <b> & "c" \x07',
        edition="]]>",
        nodes=outline.nodes,
        groups=outline.groups,
        strands=outline.strands,
    )
    root = ET.fromstring(draw_svg(odd))  # noqa: S314 - our own text
    assert 'A <b> & "c" ' == root.findtext(f"{SVG}title")


@given(st.text(alphabet="abcxyz MW_/>.,01→Ω", max_size=120), st.integers(40, 300))
def test_folded_text_fits_and_loses_nothing(text: str, width: int) -> None:
    """However it is folded, no line is wider than asked and every mark is still there."""
    lines = fold(text, width, 11)
    assert squeezed(text) == squeezed("".join(lines))
    longest_piece = 12 * 11
    assert all(width_of(line, 11) <= max(width, longest_piece) for line in lines)


@pytest.mark.parametrize("name", DRAWN)
def test_no_two_arrows_run_on_one_line(name: str) -> None:
    """Where arrows run beside each other there is white between them, so each can be followed."""
    runs: dict[tuple[str, float], list[tuple[float, float]]] = {}
    for route in lay_sheet(outline_of(name)).routes:
        for (x1, y1), (x2, y2) in pairwise(route.points):
            key, ends = (("x", x1), (y1, y2)) if x1 == x2 else (("y", y1), (x1, x2))
            runs.setdefault((key[0], round(key[1], 1)), []).append((min(ends), max(ends)))
    for taken in runs.values():
        taken.sort()
        for (_, end), (start, _) in pairwise(taken):
            assert end <= start + 0.01
