"""Texts in a picture: SVG does not wrap, so its width is estimated on the safe side.

The factors are those of two common sans-serif fonts, rounded up (measured in Chromium with
Liberation Sans and DejaVu Sans). A text is broken at words; what does not fit ends in `…`.
"""

import unicodedata
from collections.abc import Iterator

from assistant.report.plain_text import make_harmless

_NARROW = frozenset("iljtfrI.,:;'|!()[] -")
_BROAD = frozenset("mwMW@%&#+<=>^~…—Ω")
_PLAIN = frozenset("µ°")
_NARROW_EM, _USUAL_EM, _CAPITAL_EM, _BROAD_EM, _FULL_EM = 0.46, 0.66, 0.8, 1.02, 1.43
_LAST_ASCII, _LAST_LATIN_1 = 0x7F, 0xFF
_ISOLATES = str.maketrans("", "", "\u2066\u2067\u2068\u2069")


def width_of(text: str, size: float) -> float:
    """Estimate how wide a text comes out, rather too wide than too narrow.

    Args:
        text: one line.
        size: the font's size, in the unit that the width is given in.
    """
    return sum(_em(mark) for mark in text) * size


def _em(mark: str) -> float:
    if unicodedata.combining(mark):
        return 0.0
    if mark in _NARROW:
        return _NARROW_EM
    if mark in _BROAD:
        return _BROAD_EM
    if ord(mark) > _LAST_LATIN_1:
        return _FULL_EM
    if ord(mark) > _LAST_ASCII and mark not in _PLAIN:
        return _BROAD_EM
    return _CAPITAL_EM if mark.isupper() else _USUAL_EM


def wrap(text: str, width: float, size: float, most: int) -> tuple[str, ...]:
    """Break a text into lines that fit.

    Args:
        text: anything; it is made harmless first.
        width: how wide a line may come out.
        size: the font's size.
        most: how many lines there may be; a text with more is cut, and the cut shows.

    Returns:
        At least one line.
    """
    lines: list[str] = []
    for piece in _pieces(make_harmless(text).translate(_ISOLATES), width, size):
        joined = f"{lines[-1]} {piece}" if lines else piece
        if lines and width_of(joined, size) <= width:
            lines[-1] = joined
        else:
            lines.append(piece)
    if len(lines) > most:
        lines[most - 1 :] = [_cut(lines[most - 1], width, size)]
    return tuple(lines) or ("",)


def _pieces(text: str, width: float, size: float) -> Iterator[str]:
    """Give the words, those that are too long by themselves in parts."""
    for word in text.split():
        rest = word
        while width_of(rest, size) > width and len(rest) > 1:
            head = _head(rest, width, size)
            yield head
            rest = rest[len(head) :]
        yield rest


def _head(text: str, width: float, size: float) -> str:
    """Give as much of a text's beginning as fits, one mark at least."""
    total = 0.0
    for place, mark in enumerate(text):
        total += _em(mark) * size
        if total > width:
            return text[: max(place, 1)]
    return text


def _cut(line: str, width: float, size: float) -> str:
    return _head(line, width - _em("…") * size, size).rstrip() + "…"
