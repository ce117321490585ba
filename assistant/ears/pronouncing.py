"""A guess at how a word is said from how it is spelled, for words that no dictionary has.

Only a last resort, so that a flow with an unusual word can still be answered; such words are
reported, and a lead technician does better to choose another or to state its phones.
Source of the letter values: our own table after the usual sounds of English letters, in the
ARPAbet of the CMU dictionary.
"""

_SOUNDS: dict[str, str] = {
    "tion": "SH AH N", "igh": "AY", "tch": "CH", "dge": "JH", "eigh": "EY",
    "ch": "CH", "sh": "SH", "th": "TH", "ph": "F", "wh": "W", "ck": "K", "ng": "NG", "qu": "K W",
    "ee": "IY", "ea": "IY", "oo": "UW", "ou": "AW", "ow": "OW", "oa": "OW", "ai": "EY",
    "ay": "EY", "oy": "OY", "oi": "OY", "au": "AO", "aw": "AO", "ar": "AA R", "er": "ER",
    "ir": "ER", "or": "AO R", "ur": "ER", "le": "AH L",
    "a": "AE", "b": "B", "c": "K", "d": "D", "e": "EH", "f": "F", "g": "G", "h": "HH", "i": "IH",
    "j": "JH", "k": "K", "l": "L", "m": "M", "n": "N", "o": "AA", "p": "P", "q": "K", "r": "R",
    "s": "S", "t": "T", "u": "AH", "v": "V", "w": "W", "x": "K S", "y": "IY", "z": "Z",
}  # fmt: skip
_LONGEST = max(map(len, _SOUNDS))
_NOTHING_SAID = "AH"


def guess_phones(word: str) -> str:
    """Guess a pronunciation, as `S P L IH N AE R` for "splinar".

    Args:
        word: one word; marks that are no letters are not pronounced.
    """
    left = word.lower()
    if left.endswith("e") and len(left) > len("the"):
        left = left[:-1]
    phones: list[str] = []
    while left:
        size = next((n for n in range(_LONGEST, 0, -1) if left[:n] in _SOUNDS), 0)
        phones.extend(_SOUNDS.get(left[:size], "").split())
        left = left[max(size, 1) :]
    without_doubles = [p for n, p in enumerate(phones) if n == 0 or phones[n - 1] != p]
    return " ".join(without_doubles) or _NOTHING_SAID
