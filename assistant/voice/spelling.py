"""Spelling out what a stream's encoding cannot write, with what every stream has."""

import codecs

SPELLED = "rungside-spelled"
"""The name of the way that text is encoded: `errors=SPELLED`, for a stream or a string."""

PLAIN = {
    "µ": "u", "\N{GREEK SMALL LETTER MU}": "u", "\N{GREEK CAPITAL LETTER OMEGA}": "ohm",
    "\N{OHM SIGN}": "ohm", "±": "+-", "\N{MULTIPLICATION SIGN}": "x", "·": "*", "°": " deg ",
    "√": "sqrt", "≤": "<=", "≥": ">=", "≈": "about", "→": "->", "\N{EN DASH}": "-",
    "\N{EM DASH}": "-", "\N{MINUS SIGN}": "-", "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'", "“": '"', "”": '"', "…": "...", "½": "1/2",
    "¼": "1/4", "¾": "3/4", "²": "^2", "³": "^3",
}  # fmt: skip
"""Each letter's spelling; a letter that is not here is spelled with a question mark."""


def _spell(error: UnicodeError) -> tuple[str, int]:
    """Give the spelling of the letters that an encoding lacks, and where to go on."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start : error.end]
    return "".join(PLAIN.get(letter, "?") for letter in lacking), error.end


codecs.register_error(SPELLED, _spell)


def spell_for(text: str, encoding: str) -> str:
    """Give a text as a stream of this encoding can write it; as ASCII where none is known."""
    try:
        return text.encode(encoding, SPELLED).decode(encoding)
    except LookupError:
        return spell_for(text, "ascii")
