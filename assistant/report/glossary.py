"""What the trade's words mean, for someone who owns the unit and does not know the trade.

Facts are common practice, no source. A word is explained only where it stands in what the reader is
told; a trade that is not in the table is told without explanations.
"""

import re
from collections.abc import Iterable, Mapping

from assistant.quantity import FORMS, Unit

MEANINGS: Mapping[str, str] = {
    "bearing": "what the shaft turns in; it wears out",
    "blower": "the fan inside the house that moves the air",
    "breaker": "a switch that opens by itself when too much current flows",
    "capacitor": "a part that stores charge and helps a motor start and run",
    "charge": "the amount of refrigerant in the unit",
    "coil": "a winding that works a switch, or the finned part that air is cooled or heated at",
    "compressor": "the pump in the outdoor unit that moves the refrigerant",
    "contactor": "a heavy switch that the thermostat turns on",
    "damper": "a flap in a duct",
    "disconnect": "the switch that takes all power off the unit",
    "duct": "a channel that carries the air",
    "filter": "what cleans the air before the blower; it has to be changed",
    "float switch": "a switch that stops the unit before water runs over",
    "frame": "the metal of the motor; no current may reach it",
    "fuse": "a part that melts when too much current flows",
    "grille": "the opening in a wall through which air comes or goes",
    "grounded": "current reaches the metal of the motor, which it must not",
    "heat exchanger": "the part that keeps the flame's gases apart from the air of the rooms",
    "herm": "the compressor's part of a capacitor that serves two motors",
    "insulation": "what keeps the current inside its wires",
    "limit": "a switch that stops the heat when it becomes too hot",
    "microfarads": "the size of a capacitor",
    "ohms": "how much a part resists the current",
    "overload": "a switch in a motor that opens when it becomes too hot",
    "pressure switch": "a switch that stops the unit when the pressure is not as it should be",
    "primary": "the side of a transformer that the house's power goes into",
    "refrigerant": "what carries the heat from indoors to outdoors",
    "relay": "a small switch that another current works",
    "return": "the side on which air goes back to the unit",
    "run winding": "the part of a motor's wire that makes it run",
    "secondary": "the low-voltage side of a transformer",
    "shell": "the metal around a compressor or motor; no current may reach it",
    "shorted": "current takes a shorter way than it should",
    "start winding": "the part of a motor's wire that makes it start",
    "supply duct": "the duct through which air comes into the rooms",
    "tap": "a wire or screw that chooses a motor's speed or a transformer's voltage",
    "tolerance": "how far a part may be from its printed size",
    "transformer": "a part that makes the low voltage for the thermostat and the controls",
    "winding": "the wire inside a motor that makes it turn",
}
"""Words in the singular, in lower case, with what they mean."""

MOST_WORDS = 8
"""More explanations than these would hide what matters."""

_OVER_LIMIT = re.compile(r"\bOL\b")
_SPELLED: Mapping[str, str] = {
    **{form.symbol: form.plural for form in FORMS.values() if form.symbol != form.plural},
    FORMS[Unit.IN_WC].symbol: "inches of water",
    FORMS[Unit.DEG_F].symbol: "degrees Fahrenheit",
    FORMS[Unit.CFM].symbol: "cubic feet a minute",
    FORMS[Unit.RPM].symbol: "turns a minute",
}
_SYMBOLS = "|".join(
    re.escape(symbol) for symbol in sorted(_SPELLED, key=len, reverse=True) if symbol
)
_SENTENCE_ENDS = re.compile(r"$|\s+[A-Z]")
_MEASURED = re.compile(rf"(?<![\w.])([-\u2212]?\d[\d,.]*)\s?({_SYMBOLS})(?!\w)")


def spell_out(text: str) -> str:
    """Write a text without the trade's abbreviations: `10 µF` becomes "10 microfarads"."""
    spelled = _MEASURED.sub(_spelled, text)
    return _OVER_LIMIT.sub("more than the meter shows", spelled)


def _spelled(match: re.Match[str]) -> str:
    """Spell one; the full stop of `in. w.c.` at a sentence's end stays, as the sentence's own."""
    is_end = match[2].endswith(".") and _SENTENCE_ENDS.match(match.string, match.end())
    return f"{match[1]} {_SPELLED[match[2]]}{'.' if is_end else ''}"


def explain(texts: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Give the words of some texts that need explaining, with what they mean.

    Args:
        texts: what the reader is told.
    """
    told = " ".join(texts).lower()
    found: dict[str, int] = {}
    for word in sorted(MEANINGS, key=len, reverse=True):
        match = re.search(rf"\b{re.escape(word)}(s|es)?\b", told)
        if match and not any(word in longer for longer in found):
            found[word] = match.start()
    first = sorted(found, key=lambda word: found[word])[:MOST_WORDS]
    return tuple((word, MEANINGS[word]) for word in sorted(first))
