"""Bytes from a terminal to keys with names, as `a`, `enter`, `f12`, and their releases."""

import codecs
import re
from collections.abc import Iterator
from dataclasses import dataclass

_ESCAPE = "\x1b"
_SEQUENCE = re.compile(r"\x1b(?:\[(?P<body>[0-9;:?]*)(?P<end>[A-Za-z~])|O(?P<short>[A-Za-z]))")
_PLAIN = {" ": "space", "\r": "enter", "\n": "enter", "\t": "tab", "\x7f": "backspace"} | {
    "\x08": "backspace",
    "\x04": "end_of_input",
    "\x15": "clear",
    _ESCAPE: "escape",
}
_LETTERED = ("up", "down", "right", "left", "home", "end", "f1", "f2", "f3", "f4")
_BY_LETTER = dict(
    zip("ABCDHFPQRS", _LETTERED, strict=True),
)
_BY_NUMBER = (
    {1: "home", 2: "insert", 3: "delete", 4: "end", 5: "pageup", 6: "pagedown"}
    | {10 + number: f"f{number}" for number in range(1, 6)}
    | {11 + number: f"f{number}" for number in range(6, 11)}
    | {12 + number: f"f{number}" for number in range(11, 15)}
    | {28: "f15", 29: "f16"}
)
"""As the terminals of old send them, with gaps: f5 is 15, f6 is 17, f11 is 23, f15 is 28."""
_BY_CODE = {13: "enter", 9: "tab", 27: "escape", 32: "space", 127: "backspace"} | dict.fromkeys(
    (57428, 57429, 57430), "media"
)
"""Codes of the keyboard protocol that tells of releases; `media` is a headset's button."""
_REPEATED, _RELEASED = "2", "3"

TALK_KEYS = (
    *("space", "enter", "tab", "media", "pageup", "pagedown", "home", "end", "insert"),
    *(f"f{number}" for number in range(1, 17)),
)
"""The keys that can be the talk key; a headset's button and a foot switch arrive as one of them."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key that was pressed or let go.

    Args:
        name: its name; of a letter, the letter itself.
        text: what it types; may be empty.
        is_release: whether it was let go.
    """

    name: str
    text: str = ""
    is_release: bool = False


class KeyReader:
    """Reads keys out of what a terminal sends, piece by piece."""

    def __init__(self) -> None:
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")

    def read(self, piece: bytes) -> Iterator[Key]:
        """Give the keys in a piece; what is no key is passed over."""
        text = self._decoder.decode(piece)
        place = 0
        while place < len(text):
            found = _SEQUENCE.match(text, place)
            if found is not None:
                place = found.end()
                key = _of_sequence(found)
                if key is not None:
                    yield key
                continue
            letter = text[place]
            place += 1
            if letter in _PLAIN:
                yield Key(_PLAIN[letter], " " if letter == " " else "")
            elif letter.isprintable():
                yield Key(letter, letter)


def _of_sequence(found: re.Match[str]) -> Key | None:
    if found["short"]:
        return _key(_BY_LETTER.get(found["short"]))
    number, _, rest = found["body"].partition(";")
    happened = rest.partition(";")[0].partition(":")[2]
    if happened == _REPEATED:
        return None
    is_release = happened == _RELEASED
    first = number.partition(":")[0]
    if found["end"] in {"~", "u"}:
        names = _BY_NUMBER if found["end"] == "~" else _BY_CODE
        return _key(names.get(int(first)) if first.isdigit() else None, is_release)
    return _key(_BY_LETTER.get(found["end"]), is_release)


def _key(name: str | None, is_release: bool = False) -> Key | None:
    return None if name is None else Key(name, is_release=is_release)
