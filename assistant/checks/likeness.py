"""How far apart two phrases sound: the least cost of turning the phones of one into the other's.

Costs are ours, after how sounds are made (common practice, no source); the limit was chosen by
measuring the shipped flows and pairs that are known to be misheard, see the tests.
"""

from collections.abc import Mapping
from functools import lru_cache, reduce
from operator import or_

from assistant.checks.pronouncing import Phones

_VOWELS = ["AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"]
_NEAR_VOWELS = (
    ("AA", "AO"), ("AA", "AH"), ("AE", "EH"), ("AH", "EH"), ("AH", "IH"), ("AH", "UH"),
    ("AO", "OW"), ("EH", "IH"), ("EH", "EY"), ("ER", "AH"), ("IH", "IY"), ("UH", "UW"),
    ("AW", "AA"), ("AY", "AA"), ("OW", "UH"), ("AY", "EY"), ("ER", "UH"),
)  # fmt: skip
_NEAR_CONSONANTS = (
    ("B", "P"), ("D", "T"), ("G", "K"), ("V", "F"), ("Z", "S"), ("ZH", "SH"), ("JH", "CH"),
    ("DH", "TH"), ("M", "N"), ("N", "NG"), ("F", "TH"), ("V", "DH"), ("S", "SH"), ("P", "T"),
    ("T", "K"), ("P", "K"), ("B", "D"), ("D", "G"), ("B", "V"), ("S", "TH"), ("L", "W"),
    ("R", "W"), ("CH", "SH"), ("D", "DH"),
)  # fmt: skip
_NEAR, _FAR_VOWELS, _FAR, _APART = 0.5, 0.9, 1.0, 1.4
_DROPPED = 0.9
_EASILY_DROPPED: Mapping[str, float] = {
    "HH": 0.6, "AH": 0.6, "T": 0.6, "D": 0.6, "S": 0.6, "Z": 0.6, "IH": 0.7,
}  # fmt: skip
_NEAR_PAIRS = frozenset(frozenset(pair) for pair in (*_NEAR_VOWELS, *_NEAR_CONSONANTS))


def _swap(one: str, other: str) -> float:
    if one == other:
        return 0.0
    if frozenset((one, other)) in _NEAR_PAIRS:
        return _NEAR
    vowels = (one in _VOWELS) + (other in _VOWELS)
    return (_FAR, _APART, _FAR_VOWELS)[vowels]


_PHONES = (
    *_VOWELS,
    *[
        "B",
        "CH",
        "D",
        "DH",
        "F",
        "G",
        "HH",
        "JH",
        "K",
        "L",
        "M",
        "N",
        "NG",
        "P",
        "R",
        "S",
        "SH",
        "T",
        "TH",
        "V",
        "W",
        "Y",
        "Z",
        "ZH",
    ],
)
_SWAPS = {one: {other: _swap(one, other) for other in _PHONES} for one in _PHONES}


_BITS = {phone: 1 << place for place, phone in enumerate(_PHONES)}


@lru_cache(maxsize=16384)
def _kinds(phones: Phones) -> int:
    """Give which phones there are, one bit each."""
    return reduce(or_, (_BITS[phone] for phone in phones), 0)


def is_near(one: Phones, other: Phones, limit: float) -> bool:
    """Whether two pronunciations are nearer than a limit."""
    if one == other:
        return True
    edits = int(limit / _NEAR)
    if abs(len(one) - len(other)) > edits:
        return False
    if (_kinds(one) ^ _kinds(other)).bit_count() > 2 * edits:
        return False
    return distance(one, other, limit) < limit


def distance(one: Phones, other: Phones, limit: float) -> float:
    """Give how far apart two pronunciations are; infinity where it is not under the limit."""
    if abs(len(one) - len(other)) * min(_EASILY_DROPPED.values()) >= limit:
        return float("inf")
    row = [0.0]
    for phone in other:
        row.append(row[-1] + _EASILY_DROPPED.get(phone, _DROPPED))
    for phone in one:
        swaps, drop = _SWAPS[phone], _EASILY_DROPPED.get(phone, _DROPPED)
        above, row = row, [row[0] + drop]
        for at, heard in enumerate(other):
            added = row[at] + _EASILY_DROPPED.get(heard, _DROPPED)
            row.append(min(above[at] + swaps[heard], above[at + 1] + drop, added))
        if min(row) >= limit:
            return float("inf")
    return row[-1] if row[-1] < limit else float("inf")
