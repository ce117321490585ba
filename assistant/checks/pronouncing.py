"""How words sound to the recogniser: its own dictionary, read as text, and our additions to it.

The dictionary is the CMU pronouncing dictionary as it comes with pocketsphinx; only the file is
read, the recogniser itself is not started.
"""

from functools import lru_cache
from importlib.util import find_spec
from itertools import islice, product
from pathlib import Path

from assistant.spoken.pronunciation import EXTRA_PRONUNCIATIONS

_FILE = Path("model", "en-us", "cmudict-en-us.dict")
Phones = tuple[str, ...]
"""A pronunciation in ARPAbet, without stress."""


@lru_cache(maxsize=1)
def _dictionary() -> dict[str, str]:
    """Give each entry's phones by its word; a second way of saying it is `word(2)`."""
    spec = find_spec("pocketsphinx")
    folders = [] if spec is None else spec.submodule_search_locations or []
    for folder in folders:
        file = Path(folder, _FILE)
        if file.is_file():
            lines = file.read_text(encoding="utf-8").splitlines()
            return dict(line.split(" ", 1) for line in lines if " " in line)
    return {}


def has_dictionary() -> bool:
    """Whether the recogniser's dictionary is on this machine."""
    return bool(_dictionary())


@lru_cache(maxsize=4096)
def ways_of_saying(word: str) -> tuple[Phones, ...]:
    """Give the pronunciations of a word, the usual one first; none where it is unknown."""
    known = _dictionary()
    written = (word, *(f"{word}({number})" for number in range(2, 5)))
    found = [known[one] for one in written if one in known]
    if word in EXTRA_PRONUNCIATIONS:
        found.append(EXTRA_PRONUNCIATIONS[word])
    return tuple(dict.fromkeys(tuple(phones.split()) for phones in found))


_MOST_WAYS = 6
"""Of a phrase; "lead" and "live" have two each."""


@lru_cache(maxsize=8192)
def sounds_of(phrase: str) -> tuple[Phones, ...]:
    """Give the pronunciations of a phrase, usual ones first; unknown words are left out."""
    said = [ways for ways in map(ways_of_saying, phrase.split()) if ways]
    ways = islice(product(*said), _MOST_WAYS)
    return tuple(tuple(phone for word in way for phone in word) for way in ways)
