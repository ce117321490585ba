"""How wide letters are, so that words are folded to fit their box without asking a screen.

Measured from DejaVu Sans, which is among the widest of the plain faces that systems carry, so that
what fits by this table fits in the others too.
"""

from collections.abc import Iterator

_FIRST = 32
_PLAIN = (
    *(318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337),
    *(636, 636, 636, 636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531),
    *(1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863, 748, 787),
    *(603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500),
    *(500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612),
    *(635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838),
)
_BOLD = (
    *(348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365),
    *(696, 696, 696, 696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 580),
    *(1000, 774, 762, 734, 830, 683, 683, 821, 837, 372, 372, 775, 637, 995, 837, 850),
    *(733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457, 365, 457, 838, 500),
    *(500, 675, 716, 593, 716, 678, 435, 716, 712, 343, 343, 665, 343, 1042, 712, 687),
    *(716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838),
)
"""Advance widths of the marks from space to tilde, in thousandths of the letter size."""

NO_BREAK = "\N{NO-BREAK SPACE}"
"""A space at which no line is folded."""

_OTHER = 1000
"""Any other mark counts as wide as it is high, which only marks of two columns exceed."""


def width_of(text: str, size: float, *, is_bold: bool = False) -> float:
    """Give how wide a line of text is, in the unit of its letter size."""
    table = _BOLD if is_bold else _PLAIN
    total = 0
    for mark in text.replace(NO_BREAK, " "):
        place = ord(mark) - _FIRST
        total += table[place] if 0 <= place < len(table) else _OTHER
    return total * size / 1000


def fold(text: str, width: float, size: float, *, is_bold: bool = False) -> list[str]:
    """Fold text into lines that are no wider than a width.

    Breaks at spaces; a word that is wider than a line breaks behind a slash or an underscore, and
    where it has none, anywhere.
    """

    def fits(line: str) -> bool:
        return width_of(line, size, is_bold=is_bold) <= width

    lines = [""]
    for word in text.replace("\n", " ").split(" "):
        joined = f"{lines[-1]} {word}".strip()
        if fits(joined):
            lines[-1] = joined
            continue
        if lines[-1]:
            lines.append("")
        for piece in _pieces(word) if not fits(word) else (word,):
            if not fits(lines[-1] + piece) and lines[-1]:
                lines.append("")
            lines[-1] += piece
    return lines


def _pieces(word: str) -> Iterator[str]:
    """Give the parts of a long word at which it may break, none longer than a dozen marks."""
    part = ""
    for mark in word:
        part += mark
        if mark in "/_>-" or len(part) == _LONGEST_PIECE:
            yield part
            part = ""
    if part:
        yield part


_LONGEST_PIECE = 12
