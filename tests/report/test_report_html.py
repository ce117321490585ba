"""The HTML record: sound, self-contained, readable without colour, and closed to every text."""

import re
from html.parser import HTMLParser

import pytest
from report_accounts import (
    GOOD,
    REPAIRED,
    TO_RATING,
    a_finding,
    a_nasty_account,
    a_value,
    an_account,
    walk_fan,
)

from assistant.report import render

VOID = {"meta", "col", "line", "rect", "path", "circle", "br"}
PASSIVE = {"html", "head", "meta", "title", "style", "body", "header", "main", "section", "footer"}
ALLOWED = PASSIVE | {
    *("h1", "h2", "h3", "h4", "p", "ul", "li", "dl", "dt", "dd", "div", "span", "strong"),
    *("table", "caption", "colgroup", "col", "thead", "tbody", "tr", "th", "td"),
    *("svg", "line", "rect", "path", "circle", "text", "figure", "figcaption"),
}


class Page(HTMLParser):
    """A page as a strict reader finds it: every tag closed in order."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.texts: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a tag; one that needs a closing tag is open until it comes."""
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a tag that closes itself."""
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        """Close the tag that was opened last, and no other."""
        assert tag == self.open.pop()

    def handle_data(self, data: str) -> None:
        """Keep text outside the style."""
        if self.open and self.open[-1] != "style":
            self.texts.append(data)

    @property
    def text(self) -> str:
        """Give all text, words apart by one space."""
        return " ".join(" ".join(self.texts).split())


@pytest.mark.parametrize(
    "page",
    [
        render(walk_fan(*REPAIRED), "html"),
        render(walk_fan(*GOOD), "html"),
        render(walk_fan(*TO_RATING, "ten"), "html"),
        render(a_nasty_account(), "html"),
        render(an_account(values=(), cautions=(), findings=(), answers=(), unit=""), "html"),
    ],
    ids=["repaired", "good", "waiting", "nasty", "empty"],
)
def test_every_page_is_sound_and_self_contained(page: str) -> None:
    """All tags are known and closed in order; nothing links out, runs, or is fetched."""
    read = Page(page)
    assert [] == read.open
    assert ALLOWED >= set(read.tags)
    names = {name for name, _ in read.attributes}
    assert not names & {"href", "src", "srcset", "action", "onerror", "onload", "onclick"}
    assert not any("url(" in value for _, value in read.attributes)
    style = page.partition("<style>")[2].partition("</style>")[0]
    assert "url(" not in style
    assert "@import" not in style
    assert "default-src 'none'" in page


def test_a_text_cannot_become_markup() -> None:
    """A unit's name with tags and template marks is shown to the letter and does nothing."""
    page = render(a_nasty_account(), "html")
    read = Page(page)
    assert "<script>alert(1)</script> <img src=x onerror=alert(1)>" in read.text
    assert "{{ 7 * 7 }} {% raw %}" in read.text
    assert 1 == read.tags.count("title")
    for mark in "\u202e\x1b\x00\ud800":
        assert mark not in page
    assert page.encode()


def test_no_page_names_an_address() -> None:
    """A page of harmless texts holds no http at all."""
    assert "http" not in render(walk_fan(*REPAIRED), "html").replace("http-equiv", "")


def luminance(colour: str) -> float:
    """Give a colour's relative luminance (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first: str, second: str) -> float:
    """Give the contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_computed_right() -> None:
    """Black on white is 21 and the darkest grey that reaches 4.5 is #767676 (WCAG folklore)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


def test_text_stands_out_from_every_ground() -> None:
    """Text has at least 7:1 on each ground, lines 3:1 (WCAG 2.2, 1.4.6 and 1.4.11)."""
    page = render(walk_fan(*REPAIRED), "html")
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", page))
    assert {"ink", "paper", "shade", "rule"} == colours.keys()
    for ground in ("paper", "shade"):
        assert contrast(colours["ink"], colours[ground]) >= 7
    assert contrast(colours["rule"], colours["paper"]) >= 3
    assert set(colours.values()) >= set(re.findall(r"#[0-9a-f]{3,8}\b", page))
    assert set(re.findall(r"[^-]color: ([^;]+);", page)) == {"var(--ink)"}
    assert set(re.findall(r"background: ([^;]+);", page)) == {"var(--paper)", "var(--shade)"}


def test_nothing_is_told_by_colour_alone() -> None:
    """All colours are greys, and verdict and place of each reading stand as words."""
    page = render(walk_fan(*REPAIRED), "html")
    for colour in re.findall(r"#([0-9a-f]{6})\b", page):
        assert colour[:2] == colour[2:4] == colour[4:]
    text = Page(page).text
    assert "FAIL" in text
    assert "below the limits" in text
    assert "inside the limits" in text


def test_both_halves_tell_the_finding() -> None:
    """The customer reads what was found and what to do; the technician the evidence."""
    page = render(walk_fan(*REPAIRED), "html")
    customer, _, technical = page.partition('<section class="technical')
    assert "1 fault was found." in Page(f"{customer}</main></body></html>").text
    assert "What may be put in:" in customer
    assert "The technician recorded that the repair was made." in customer
    assert "It reads 6.2 microfarads against 10 microfarads." in customer
    for short in ("ohm", "µF", "Ω", "OL"):
        assert short not in customer.partition("</style>")[2]
    assert "(Evidence: can reading: 6.2 µF; it hums)" in technical
    assert "9.4 to 10.6 µF" in technical


def test_each_reading_with_limits_has_its_picture() -> None:
    """A picture for each reading that has limits, each with its words for who cannot see it."""
    read = Page(render(walk_fan(*REPAIRED), "html"))
    labels = [value for name, value in read.attributes if name == "aria-label"]
    bands = [label for label in labels if label.startswith(("inside", "below", "above", "over"))]
    assert ["inside the limit", "below the limits", "inside the limits"] == bands
    drawings = [label for label in labels if " to " in label]
    assert 3 + len(drawings) == read.tags.count("svg")
    assert 4 == read.text.count("no limits to draw")


@pytest.mark.parametrize(
    ("number", "layout"),
    [(1, "technical starts"), (25, "technical starts"), (40, "technical"), (60, "technical dense")],
)
def test_a_long_walk_is_printed_closer(number: int, layout: str) -> None:
    """A short technical half has its own page; a longer one begins on the owner's, or smaller."""
    values = tuple(a_value(f"r{place}", places=("", "", "")) for place in range(number))
    assert f'<section class="{layout}"' in render(an_account(values=values), "html")


@pytest.mark.parametrize("value", ["14", "13", "17.5", "20", "21", "1700", "-4", "OL"])
def test_a_band_is_drawn_inside_its_view_box(value: str) -> None:
    """All of a band is inside; a bar, a cross or an arrow tells inside, outside, off the scale."""
    page = render(an_account(values=(a_value(value=value, over_limit=value == "OL"),)), "html")
    (svg,) = re.findall(r'(?s)<svg class="band".*?</svg>', page)
    width, height = map(float, re.findall(r'viewBox="0 0 (\S+) (\S+)"', svg)[0])
    xs = re.findall(r'\b(?:x|x1|x2)="([^"]+)"', svg) + re.findall(r"[ML](\S+) ", svg)
    ys = re.findall(r'\b(?:y|y1|y2)="([^"]+)"', svg) + re.findall(r"[ML]\S+ (\d+)", svg)
    assert all(0 <= float(x) <= width for x in xs)
    assert all(0 <= float(y) <= height for y in ys)
    shapes = {"14": 4, "17.5": 4, "20": 4, "13": 3, "21": 3}
    thick = re.findall(r'stroke-width="([34])"', svg)
    assert thick == ([str(shapes[value])] if value in shapes else [])
    assert ("<path" in svg) == (value not in {"14", "17.5", "20"})


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"outcome": "no_fault", "findings": ()}, "found no fault"),
        ({"outcome": "stopped", "findings": ()}, "What was not checked is not cleared"),
        ({"findings": (a_finding(licensed=True),)}, "A licensed person must take over."),
        ({"problems": ("line 7: Line 7 was edited.",)}, "do not rely on it as it stands"),
        ({"is_sealed": False}, "not sealed"),
        ({"values": ()}, "No reading was judged."),
        ({"values": (a_value(verdict="cannot_tell"),)}, "1 not clear enough to tell"),
        ({}, "No repair was recorded during this visit."),
    ],
)
def test_the_customer_is_told_plainly(changes: dict[str, object], words: str) -> None:
    """Each state of a record has its sentence in the customer's half."""
    page = render(an_account(**changes), "html")
    assert words in page.partition('<section class="technical')[0]
