"""How words sound to the recogniser: its own dictionary, read as text, and our additions to it.

The dictionary is the CMU pronouncing dictionary as it comes with pocketsphinx; only the file is
read, the recogniser itself is not started. It has one entry a line, `word PHONES`, a second way of
saying it right behind as `word(2) PHONES`; words of one first letter stand together.
"""

from functools import lru_cache
from importlib.util import find_spec
from itertools import islice, product
from pathlib import Path

from assistant.spoken.pronunciation import EXTRA_PRONUNCIATIONS

_FILE = Path("model", "en-us", "cmudict-en-us.dict")
_MOST_WAYS = 4
"""Of a phrase; "lead" and "live" have two each."""

Phones = tuple[str, ...]
"""A pronunciation in ARPAbet, without stress."""


@lru_cache(maxsize=1)
def _dictionary() -> str:
    """Give the dictionary's text, with a line break before its first entry; empty without one."""
    spec = find_spec("pocketsphinx")
    folders = [] if spec is None else spec.submodule_search_locations or []
    for folder in folders:
        file = Path(folder, _FILE)
        if file.is_file():
            return "\n" + file.read_text(encoding="utf-8")
    return ""


def has_dictionary() -> bool:
    """Whether the recogniser's dictionary is on this machine."""
    return bool(_dictionary())


@lru_cache(maxsize=64)
def _section(letter: str) -> tuple[int, int]:
    """Give where the words of one first letter begin and end; the whole text where in doubt."""
    text = _dictionary()
    first = text.find(f"\n{letter}")
    behind = text.find(f"\n{chr(ord(letter) + 1)}", max(first, 0))
    is_known = letter.isalpha() and first >= 0
    return (first, behind if behind > first else len(text)) if is_known else (0, len(text))


@lru_cache(maxsize=4096)
def ways_of_saying(word: str) -> tuple[Phones, ...]:
    """Give the pronunciations of a word, the usual one first; none where it is unknown."""
    found = _entries(word) if word else []
    if word in EXTRA_PRONUNCIATIONS:
        found.append(EXTRA_PRONUNCIATIONS[word])
    return tuple(dict.fromkeys(tuple(phones.split()) for phones in found))


def _entries(word: str) -> list[str]:
    """Give the phones of each entry of a word."""
    text, found = _dictionary(), list[str]()
    first, last = _section(word[:1])
    at = text.find(f"\n{word} ", first, last)
    while at >= 0:
        end = text.find("\n", at + 1)
        entry = text[at + 1 : end if end >= 0 else len(text)]
        found.append(entry.partition(" ")[2])
        is_more = end >= 0 and text.startswith(f"{word}(", end + 1)
        at = end if is_more else -1
    return found


@lru_cache(maxsize=8192)
def sounds_of(phrase: str) -> tuple[Phones, ...]:
    """Give the pronunciations of a phrase, usual ones first; unknown words are left out."""
    said = [ways for ways in map(ways_of_saying, phrase.split()) if ways]
    ways = islice(product(*said), _MOST_WAYS)
    return tuple(tuple(phone for word in way for phone in word) for way in ways)
