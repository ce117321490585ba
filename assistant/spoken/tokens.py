"""Text into words: lower case, no punctuation, typed digits as one word, one spelling for each.

`17.5` stays one word; `240V` is `240 v`; `-0.3` is `minus 0.3`; `45/5` is `45 / 5`; `1,200` is
`1200`.
A comma that may be a decimal point (`17,5`) is left in the word: no grammar takes it, and it is
asked back.
"""

import re
from functools import lru_cache

_SYMBOLS = (
    (
        re.compile(
            "[\N{RIGHT SINGLE QUOTATION MARK}\N{LEFT SINGLE QUOTATION MARK}\N{GRAVE ACCENT}]"
        ),
        "'",
    ),
    (re.compile("[\N{MINUS SIGN}\N{EN DASH}\N{EM DASH}]"), "-"),
    (re.compile("[\N{OHM SIGN}\N{GREEK CAPITAL LETTER OMEGA}]"), " ohms "),
    (re.compile("[\N{MICRO SIGN}\N{GREEK SMALL LETTER MU}]"), "u"),
    (re.compile(r"(?<=\d)\s*M(?= ?ohms?\b)|(?<=\d)\s*M\b"), " meg "),
    (re.compile(r"(?<=\d)\s*M\s*(?=ohm)"), " meg "),
)
_AFTER_LOWERING = (
    (re.compile(r"(?<=\d)\s*\""), " inch "),
    (re.compile(r"\N{DEGREE SIGN}\s*"), " degrees "),
    (re.compile(r"%"), " percent "),
    (re.compile(r"\b([a-z])\.(?=[a-z]\b)"), r"\1 "),
    (re.compile(r"(?<![\w.])-\s*(?=\.?\d)"), " minus "),
    (re.compile(r"[~\N{ALMOST EQUAL TO}]"), " about "),
    (re.compile(r"[>\N{GREATER-THAN OR EQUAL TO}]"), " over "),
    (re.compile(r"[<\N{LESS-THAN OR EQUAL TO}]"), " under "),
    (re.compile(r"\N{NOT EQUAL TO}"), " not "),
    (re.compile(r"\N{INFINITY}"), " infinity "),
    (re.compile(r"\N{PLUS-MINUS SIGN}"), " about "),
    (re.compile(r"(?<=\d),(?=\d{3}(?:\D|$))"), "\0"),
)
_THOUSANDS = re.compile("(?<![\\d.\0])[1-9]\\d{0,2}(?:\0\\d{3})+(?![\\d\0])")
_TOKEN = re.compile(r"\d+(?:,\d+)+(?:\.\d+)?|\d*\.\d+|\d+|/|[^\W\d_]+(?:'[^\W\d_]+)*")

_ZERO_L = re.compile(r"(?<!\S)0 l(?!\S)")
_SPELLINGS = {
    "ok": "okay",
    "its": "it's",
    "im": "i'm",
    "ive": "i've",
    "thats": "that's",
    "cant": "can't",
    "isnt": "isn't",
    "whats": "what's",
    "weve": "we've",
    "dont": "don't",
    "doesnt": "doesn't",
    "wont": "won't",
    "fourty": "forty",
    "nought": "zero",
    "naught": "zero",
}


@lru_cache(maxsize=4096)
def tokenise(text: str) -> tuple[str, ...]:
    """Give the words of a text in the spelling that grammars use."""
    for pattern, plain in _SYMBOLS:
        text = pattern.sub(plain, text)
    text = text.lower()
    for pattern, plain in _AFTER_LOWERING:
        text = pattern.sub(plain, text)
    text = _THOUSANDS.sub(lambda found: found[0].replace("\0", ""), text).replace("\0", ",")
    tokens = " ".join(_SPELLINGS.get(token, token) for token in _TOKEN.findall(text))
    return tuple(_ZERO_L.sub("ol", tokens).split())
