"""The words of the trade as tables: numerals, units, over limit, fillers.

Facts: common practice, no source, unless said otherwise. Adding a way of saying something touches
one table here.
"""

from collections.abc import Hashable

from assistant.quantity import RESISTANCE_UNITS, Current, Unit
from assistant.spoken.nodes import Lexicon, Maybe, Repeat, Rule, quiet, same, seq, words

_ONE_TO_NINE = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
_TEN_TO_NINETEEN = [
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TWENTY_TO_NINETY = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def _numbered(names: list[str], first: int) -> dict[str, Hashable]:
    return {name: str(number) for number, name in enumerate(names, first)}


ONE_TO_NINE = Rule("figure", words({**_numbered(_ONE_TO_NINE, 1), "niner": "9"}))
ZERO = Rule("nought", same("0", "zero", "oh", "o"))
TEENS = words(_numbered(_TEN_TO_NINETEEN, 10))
TENS = words(_numbered(_TWENTY_TO_NINETY, 2))
POINT = same(None, "point", "decimal", "dot")
SIGN_WORDS = ("minus", "negative", "plus", "positive")
TWO_FIGURE_WORDS = (*_TEN_TO_NINETEEN, *_TWENTY_TO_NINETY)
JOINING_WORDS = (*_TWENTY_TO_NINETY, "hundred")
"""Words that the next numeral would become one number with."""
NUMERAL_WORDS = (
    *(*_ONE_TO_NINE, "niner", *TWO_FIGURE_WORDS, "hundred"),
    *("zero", "nought", "naught", "oh", "o"),
)
PARTED_WORDS = (*NUMERAL_WORDS, "point", "decimal", "dot", "and")
"""Words that a full stop parts from the next: "forty. Five", "two hundred. And five"."""

FRACTIONS = words(
    {
        "half": "0.5",
        "a half": "0.5",
        "one half": "0.5",
        "quarter": "0.25",
        "a quarter": "0.25",
        "one quarter": "0.25",
        "three quarters": "0.75",
        "three quarter": "0.75",
        "three fourths": "0.75",
        "a hundredth": "0.01",
        "one hundredth": "0.01",
        "an eighth": "0.125",
        "one eighth": "0.125",
        "three eighths": "0.375",
        "five eighths": "0.625",
        "seven eighths": "0.875",
    }
)
TENTHS = same(1, "tenth", "tenths")
HUNDREDTHS = same(2, "hundredths")

_INCHES = (Unit.IN_WC, Unit.INCH)
_DEGREES = (Unit.DEG_F, Unit.DEG_C)

SPOKEN_UNITS: tuple[tuple[tuple[Unit, ...], tuple[str, ...]], ...] = (
    ((Unit.OHM,), ("ohm", "ohms")),
    (
        (Unit.KILOHM,),
        ("k", "kay", "k ohm", "k ohms", "kay ohms", "kilohm", "kilohms", "kilo ohms", "kilo ohm"),
    ),
    (
        (Unit.MEGOHM,),
        ("meg", "megs", "megohm", "megohms", "meg ohm", "meg ohms", "mega ohm", "mega ohms"),
    ),
    (
        (Unit.MICROFARAD,),
        (
            *("microfarad", "microfarads", "micro farad", "micro farads", "micro", "micros"),
            *("mic", "mics", "mike", "mikes", "m f d", "m f", "u f"),
        ),
    ),
    (
        (Unit.VOLT,),
        ("volt", "volts", "volts a c", "volts ac", "volts d c", "volts dc", "v a c", "v d c"),
    ),
    ((Unit.AMPERE,), ("amp", "amps", "ampere", "amperes")),
    ((Unit.WATT,), ("watt", "watts")),
    ((Unit.VOLT_AMPERE,), ("volt amp", "volt amps", "v a")),
    ((Unit.HERTZ,), ("hertz", "cycles")),
    ((Unit.RPM,), ("r p m", "revs")),
    ((Unit.HORSEPOWER,), ("horsepower", "horse power", "horse")),
    (_INCHES, ("inch", "inches")),
    (
        (Unit.IN_WC,),
        (
            *("inch of water", "inches of water", "inch water", "inches water"),
            *("inch water column", "inches water column", "inches of water column"),
            *("inch of water column", "inches w c", "inch w c", "water column", "static", "w c"),
            *("inches static", "inch static", "inches of static", "inch of static"),
            *("water gauge", "inches water gauge", "inches of water gauge"),
        ),
    ),
    ((Unit.PASCAL,), ("pascal", "pascals")),
    (_DEGREES, ("degree", "degrees")),
    ((Unit.DEG_F,), ("degrees f", "degrees fahrenheit", "fahrenheit", "degree fahrenheit")),
    ((Unit.DEG_C,), ("degrees c", "degrees celsius", "celsius", "degree celsius")),
    ((Unit.CFM,), ("c f m", "cubic feet per minute", "cubic feet a minute")),
    ((Unit.PERCENT,), ("percent",)),
    ((Unit.SECOND,), ("second", "seconds")),
    ((Unit.FOOT,), ("foot", "feet")),
    ((Unit.TON,), ("ton", "tons")),
)
"""Units as they are said; where one word may be two units, the one that the turn takes is meant."""

TYPED_UNITS: tuple[tuple[tuple[Unit, ...], tuple[str, ...]], ...] = (
    ((Unit.KILOHM,), ("kohm", "kohms")),
    ((Unit.MICROFARAD,), ("uf", "ufd", "mfd", "mfds", "mf")),
    ((Unit.VOLT,), ("v", "vac", "vdc", "v ac", "v dc")),
    ((Unit.AMPERE,), ("a",)),
    ((Unit.WATT,), ("w",)),
    ((Unit.VOLT_AMPERE,), ("va",)),
    ((Unit.HERTZ,), ("hz",)),
    ((Unit.RPM,), ("rpm",)),
    ((Unit.HORSEPOWER,), ("hp",)),
    (_INCHES, ("in",)),
    ((Unit.IN_WC,), ("in wc", "in w c", "inwc", "iwc", "wc", "inches wc", "inch wc")),
    ((Unit.PASCAL,), ("pa",)),
    ((Unit.CFM,), ("cfm",)),
    ((Unit.SECOND,), ("s", "sec", "secs")),
    ((Unit.FOOT,), ("ft",)),
    ((Unit.DEG_F,), ("deg f",)),
    ((Unit.DEG_C,), ("deg c",)),
)
"""Short forms that are read when typed but never listened for, as "a" for amps."""

CURRENTS: tuple[tuple[Current, tuple[str, ...]], ...] = (
    (Current.AC, ("a c", "ac", "vac")),
    (Current.DC, ("d c", "dc", "vdc")),
)
"""What a meter is set to, as it is said with a reading's unit."""

QUANTITY_NAMES: tuple[tuple[tuple[Unit, ...], tuple[str, ...]], ...] = (
    (RESISTANCE_UNITS, ("resistance",)),
    ((Unit.VOLT,), ("voltage",)),
    ((Unit.AMPERE,), ("amp draw", "amperage")),
    (
        (Unit.IN_WC, Unit.PASCAL),
        ("static pressure", "total static", "total external static"),
    ),
)
"""What a reading is of, said before it, and the units it may have; one may still be said."""

SURE_OVER_LIMIT = (
    *("o l", "oh l", "o ell", "oh ell", "oh el", "o el", "over limit", "over the limit"),
    *("over range", "infinity", "infinite", "open line", "wide open", "open", "no reading"),
    *("reads open", "out of limit"),
    *("open circuit", "an open", "infinite resistance"),
)
TYPED_OVER_LIMIT = ("ol", "overlimit", "overrange")
OVERLOAD = ("over load", "overload", "overloaded")
NOTHING = ("nothing", "nothing at all", "no continuity", "oh well")
ZERO_OHMS = (
    "dead short",
    "a dead short",
    "short",
    "a short",
    "shorted",
    "shorted out",
    "short circuit",
)
BEEPS = ("beeps", "it beeps", "beeping", "rings out", "it rings out", "rang out", "continuity")

HESITATIONS = ("uh", "um", "er", "ah", "okay", "well", "alright")
_OPENERS = (
    *("it's", "it is", "that's", "that is", "i got", "i've got", "i have", "i get", "i see"),
    *("i'm getting", "i am getting", "i'm reading", "i'm seeing", "i read", "it reads", "reads"),
    *("reading", "the reading is", "it says", "it shows", "showing", "we have", "we've got"),
    *("looks like", "it looks like", "meter says", "the meter says", "the meter reads"),
    *("the meter shows", "getting", "got", "pulling", "it's pulling", "drawing", "it's drawing"),
    *("measures", "it measures", "it's reading", "it is reading", "it's at", "i'm at", "we got"),
    *("meter reads", "meter shows", "it pulls", "it draws"),
)
_CLOSERS = ("uh", "um", "okay", "here", "there", "on the meter", "now", "right now", "please")


def _ignored(name: str, phrases: tuple[str, ...], most: int) -> Rule:
    return Rule(name, quiet(Repeat(same(None, *phrases), 0, most)))


HESITATING = _ignored("hesitating", HESITATIONS, 2)
OPENING = Rule(
    "opening",
    quiet(seq(HESITATING, Maybe(same(None, *_OPENERS)), Maybe(same(None, *HESITATIONS)))),
)
BESIDE_NUMBERS = frozenset(
    word for phrase in (*HESITATIONS, *_OPENERS, *_CLOSERS) for word in phrase.split()
)
"""Words that may stand before or behind a number and are none of it."""

CLOSING = Rule("closing", quiet(Maybe(same(None, *_CLOSERS))))

BOTH_WAYS = ("plus or minus", "plus minus", "plus and minus")
"""How a tolerance is said; before any other number it is a hedge."""

HEDGES = (
    *("about", "around", "roughly", "approximately", "maybe", "probably", "almost", "nearly"),
    *("just under", "just over", "just about", "close to", "a little over", "a little under"),
    *("over", "under", "above", "below", "more than", "less than", "at least", "at most"),
    *("up to", "or so", "ish", "or thereabouts", "give or take", "and change", "i think"),
    *(
        "i guess",
        "something like",
        "somewhere around",
        "like",
        "or less",
        "or more",
        *BOTH_WAYS,
    ),
    *("kind of", "sort of", "bouncing around", "guessing", "call it", "?"),
)
DENIALS = ("not", "isn't", "no", "nope", "never", "wasn't", "ain't", "without", "don't", "doesn't")
CORRECTIONS = (
    *("i mean", "i meant", "no wait", "wait", "sorry", "correction", "make that", "scratch that"),
    *("rather", "actually", "my bad", "instead"),
)
SPREADS = ("or", "between", "to", "through", "from", "versus", "then", "bouncing", "jumping")

REASON_WORDS = (
    *("no", "not", "can't", "access", "reach", "get", "to", "at", "it", "the", "a", "is", "are"),
    *("there", "tool", "meter", "ladder", "lead", "leads", "panel", "screw", "cover", "missing"),
    *("broken", "burnt", "rusted", "stuck", "sealed", "locked", "wet", "hot", "unsafe", "live"),
    *("power", "customer", "unit", "motor", "capacitor", "wire", "wires", "label", "cannot"),
    *("read", "already", "done", "one", "two", "loose", "dirty", "noise", "and", "on", "in", "of"),
)
"""What a recogniser with a closed grammar can hear behind "note" and "skip because"."""


def unit_table(accepted: tuple[Unit, ...], is_typed: bool = False) -> Lexicon:
    """Give the phrases of these units; a phrase of two units means the earlier of `accepted`."""
    entries: list[tuple[str, Hashable]] = []
    for units, phrases in TYPED_UNITS if is_typed else SPOKEN_UNITS:
        meant = [unit for unit in accepted if unit in units]
        if meant:
            entries.extend((phrase, meant[0]) for phrase in phrases)
    return Lexicon(tuple(entries))


_SAID_UNITS = tuple(f" {phrase}" for _, phrases in SPOKEN_UNITS for phrase in phrases)


def ends_in_unit(words: str) -> bool:
    """Tell whether a number's words end in a unit, so that no digit follows."""
    return words.endswith(_SAID_UNITS)
