"""The marks a picture is made of: borders, lines of text, numbers, words that XML can carry."""

from collections.abc import Iterator
from xml.sax.saxutils import escape

from assistant.checks.power import Power


def border(
    x: float,
    y: float,
    width: float,
    height: float,
    power: Power,
    *,
    is_hold: bool,
    corner: float = 3,
) -> Iterator[str]:
    """Give the border that tells the state of power, and a second one inside for a hold point."""
    shape = '<rect class="{}" x="{}" y="{}" width="{}" height="{}" rx="{}"/>'
    yield shape.format(
        f"box {power.value}", length(x), length(y), length(width), length(height), corner
    )
    if is_hold:
        sides = (x + 4, y + 4, width - 8, height - 8)
        yield shape.format("inner", *map(length, sides), 2)


def text_line(x: float, y: float, kind: str, text: str) -> str:
    """Give a line of text; its kind says how it looks."""
    return f'<text class="{kind}" x="{length(x)}" y="{length(y)}">{plain(text)}</text>'


def plain(text: str) -> str:
    """Give text for XML, without the control marks that XML has no way to write."""
    return escape("".join(mark for mark in text if mark >= " " or mark in "\n\t"))


def length(value: float) -> str:
    """Give a length to a tenth, without a needless nought."""
    return f"{value:.1f}".removesuffix(".0")
