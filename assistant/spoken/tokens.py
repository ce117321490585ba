"""Text into words: lower case, no punctuation, typed digits as one word, one spelling for each.

`17.5` stays one word; `240V` is `240 v`; `-0.3` is `minus 0.3`; `45/5` is `45 / 5`; `1,200` is
`1200`.
A comma that may be a decimal point (`17,5`) is left in the word: no grammar takes it, and it is
asked back. Only punctuation that cannot change a number is left out. Every other mark is a word of
its own, which no grammar takes, so that a mark is never lost in silence; where a mark may be read
in two ways (`okay - 0.3`, `okay.5`, `twenty, five`, `no, gas smell`) it is the word `|`.
"""

import re
from functools import lru_cache

from assistant.spoken.lexicon import (
    JOINING_WORDS,
    NUMERAL_WORDS,
    PARTED_WORDS,
    SIGN_WORDS,
    TWO_FIGURE_WORDS,
)

_FULL_WIDTH, _ASCII, _GRAPHIC = 0xFF01, 0x21, 94
_SHARES = dict(zip("½¼¾⅛⅜⅝⅞", ["1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8"], strict=True))
_MARKS: dict[int | str, int | str] = {
    **{_FULL_WIDTH + at: _ASCII + at for at in range(_GRAPHIC)},
    **dict.fromkeys("\u2018\u2019\u00b4`\u2032", "'"),
    **dict.fromkeys("\u201c\u201d\u201e\u2033", '"'),
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2212\ufe63", "-"),
    **dict.fromkeys("\u2014\u2015", " | "),
    **dict.fromkeys("\ufeff\u200b\u200c\u200d\u200e\u200f\u00ad", " "),
    **dict.fromkeys("\u2126\u03a9\u03c9", " ohms "),
    **dict.fromkeys("\u00b5\u03bc", "u"),
    **{mark: f" {share} " for mark, share in _SHARES.items()},
    "\u2044": "/",
    "\u2026": "...",
}
_ONE_SPELLING = str.maketrans(_MARKS)
"""Marks that look alike or mean the same: quotes, dashes, marks without width, shares."""


def _any_of(words: tuple[str, ...]) -> str:
    return rf"\b(?:{'|'.join(words)})\b"


_NUMERAL, _TWO_FIGURES = _any_of(NUMERAL_WORDS), _any_of(TWO_FIGURE_WORDS)
_JOINING, _PARTED = _any_of(JOINING_WORDS), _any_of(PARTED_WORDS)
_STOP = r"(?:\.|\s?(?:\.\.+|[;:!])|\n)\s?"
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f-\x9f]")
_OTHER_DIGIT = re.compile(r"(?![0-9])\d")
_MEG = re.compile(r"(?<=\d)\s*M(?:(?=\s*[oO][hH][mM])|\b(?![\s.]*[Ff]))")
"""Mega only as a capital: the small m may be milli. `M F D` is microfarad."""

_READ_AS = (
    (re.compile(r"(?<!\w)'([^']+)'(?!\w)|(?<![\w\"])\"([^\"]+)\"(?!\w)"), r" \1\2 "),
    (re.compile(r"(?<=\d)\s*(?:\"|'')"), " inch "),
    (re.compile(r"(?<=\d)'(?!\w)"), " feet "),
    (re.compile(r"\N{DEGREE SIGN}\s*"), " degrees "),
    (re.compile(r"%"), " percent "),
    (re.compile(rf"({_PARTED}){_STOP}(?={_PARTED}|\.?\d)"), r"\1 | "),
    (re.compile(rf"({_JOINING})\s*,\s*(?={_NUMERAL})"), r"\1 | "),
    (re.compile(rf"({_NUMERAL})\s*,\s*(?={_TWO_FIGURES})"), r"\1 | "),
    (re.compile(rf"({_any_of(SIGN_WORDS)})(?:[.,;:!]+\s|\.\.+)\s*(?=\S)"), r"\1 | "),
    (re.compile(r"\b(no|nope)(?:[.,;:!]+\s|\.\.+)\s*(?=\S)"), r"\1 | "),
    (re.compile(r"\.\.+"), " "),
    (re.compile(r"(?<=[^\W\d])\.(?=\d)|(?<!\w)(?:,\s*|\.\s+)(?=\.?\d)|!(?=\w)"), " | "),
    (re.compile(r"\b([a-z])\.(?=[a-z]\b)"), r"\1 "),
    (re.compile(r"\(\s*(?=\.?\d)"), " [ "),
    (re.compile(r"(?<=[^\W_])-(?=[^\W\d_])|(?<=\d)-(?=\.?\d)"), " "),
    (re.compile(r"^\s*-\s*(?=\w|\.\d)|(?<![^\s(:=])-(?=\w|\.\d)"), " minus "),
    (re.compile(r"[~\N{ALMOST EQUAL TO}]"), " about "),
    (re.compile(r"\N{PLUS-MINUS SIGN}|\+/?-"), " plus or minus "),
    (re.compile(r"[>\N{GREATER-THAN OR EQUAL TO}]"), " over "),
    (re.compile(r"[<\N{LESS-THAN OR EQUAL TO}]"), " under "),
    (re.compile(r"\N{NOT EQUAL TO}"), " not "),
    (re.compile(r"\N{INFINITY}"), " infinity "),
    (re.compile(r"-"), " | "),
    (re.compile(r"(?<=\w)[\s.!)\]'\"]*\?[?!\s]*"), "\x01"),
    (re.compile(r"\?"), " "),
    (re.compile(r"\x01"), " ? "),
    (re.compile(r"(?<=\d),(?=\d{3}(?:\D|$))"), "\0"),
)
_THOUSANDS = re.compile("(?<![\\d.\0])[1-9]\\d{0,2}(?:\0\\d{3})+(?![\\d\0])")
_TOKEN = re.compile(
    r"\d+(?:,\d+)+(?:\.\d+)?|\d*\.\d+|\d+|[^\W\d_]+(?:'[^\W\d_]+)*|[^\w\s.,;:!()\]\"']|_"
)
"""A number, a word, or one mark that may not be left out."""

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
    text = "\n".join(" ".join(line.split()) for line in text.splitlines())
    text = _CONTROL.sub("|", text).translate(_ONE_SPELLING)
    text = _OTHER_DIGIT.sub(lambda found: str(int(found[0])), text)
    text = _MEG.sub(" meg ", text).lower()
    for pattern, plain in _READ_AS:
        text = pattern.sub(plain, text)
    text = _THOUSANDS.sub(lambda found: found[0].replace("\0", ""), text).replace("\0", ",")
    tokens = " ".join(_SPELLINGS.get(token, token) for token in _TOKEN.findall(text))
    return tuple(_ZERO_L.sub("ol", tokens).split())
