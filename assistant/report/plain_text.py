r"""Text that someone said or wrote, made safe to show in a line among others.

A unit's name or a note may hold anything: line breaks that would begin a line of their own, marks
that reorder or hide what stands beside them, half a character from a broken terminal. What cannot
be seen is written as an escape (`\u202e`); right-to-left words stay as they are but are isolated,
so that they cannot turn the numbers beside them around (Unicode UAX 9, isolates).
"""

import re
import unicodedata

_TURNING = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
_UNSEEN = "\u00ad\u180e\u200b\u2060\u2061\u2062\u2063\u2064\ufeff\ufff9\ufffa\ufffb"
_ESCAPED = frozenset(_TURNING + _UNSEEN)
_NOT_SHOWN = {"Cc", "Cs", "Zl", "Zp"}
_LINE_BREAKS = re.compile(r"[ \t]*[\r\n\v\f\x85\u2028\u2029]+[\r\n\v\f\x85\u2028\u2029 \t]*")
_ISOLATE, _END_ISOLATE = "\u2068", "\u2069"


def make_harmless(text: str) -> str:
    """Give a text as one line in which every mark is seen and none moves another.

    Args:
        text: anything; line breaks become ` / `.
    """
    one_line = _LINE_BREAKS.sub(" / ", text.strip().replace("\t", " "))
    plain = "".join(_seen(mark) for mark in one_line)
    if any(unicodedata.bidirectional(mark) in {"R", "AL"} for mark in plain):
        return f"{_ISOLATE}{plain}{_END_ISOLATE}"
    return plain


def _seen(mark: str) -> str:
    if mark in _ESCAPED or unicodedata.category(mark) in _NOT_SHOWN:
        return f"\\u{ord(mark):04x}"
    return mark


def shorten(text: str, length: int) -> str:
    """Cut a text at a word so that it is at most so long, and show that it was cut.

    Args:
        text: one line.
        length: the most characters it may have.
    """
    if len(text) <= length:
        return text
    head = text[: length - 1]
    at_word = head.rpartition(" ")[0] or head
    closing = _END_ISOLATE if text.startswith(_ISOLATE) else ""
    return f"{at_word[: length - 1 - len(closing)]}…{closing}"
