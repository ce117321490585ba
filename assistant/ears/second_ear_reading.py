"""What a transcript means at a turn: whisper writes as people write, not as a step is answered.

It writes "17.5 ohms", "2.8.4" for "two eight point four", "100 and 86 volts", "40 gnomes" for
"forty ohms", "Oh, well" for "O L", and on a short stretch of sound it may write a thing several
times over. Each is brought to words that `understand` reads; what it does not read stays unread.
"""

import re
from itertools import groupby, islice, product

from assistant.quantity import OverLimit, cardinal_words
from assistant.spoken.commands import is_typed_command
from assistant.spoken.lexicon import CORRECTIONS, DENIALS, HEDGES, NUMERAL_WORDS, SPREADS
from assistant.spoken.meaning import (
    Command,
    Expectation,
    Meaning,
    NumberForm,
    Trouble,
    Unclear,
    Value,
    sense_of,
)
from assistant.spoken.understanding import understand

_SOUND_LIKE = {
    "for": "four",
    "fore": "four",
    "to": "two",
    "too": "two",
    "won": "one",
    "ate": "eight",
    "tree": "three",
    "sex": "six",
    "sicks": "six",
    "nein": "nine",
    "tan": "ten",
    "fourty": "forty",
    "points": "point",
    "pointed": "point",
}
"""Written for numerals that sound so; read back only where a number is expected."""

_OVER_LIMIT = re.compile(r"^(?:o|oh|0|owe)[\s.,-]*(?:l|el|ell|elle|well|hell)[\s.!,?]*$")
_SENTENCE_END = re.compile(r"(?<=[\w])[.,!?]\s+")
_MONEY_AND_TIME = re.compile(r"[$£€]|(?<=\d):(?=\d)")
_TOKEN = re.compile(r"-?\d+(?:[.,]\d+)*|[^\W\d_]+(?:'[^\W\d_]+)?|[/%\"°]")
_SEVERAL_POINTS = re.compile(r"\d+(?:\.\d+){2,}")
_IN_NUMBERS = frozenset({"point", "and", "a", "half", "thousand", "minus", "quarter"})
_MOST_UNREAD = 3
_CHANGES_IT = frozenset(
    word for phrase in (*CORRECTIONS, *DENIALS, *HEDGES, *SPREADS) for word in phrase.split()
)
"""Behind a number these say that it is not the one, or not all."""

_FEWEST_DIGITS_OF_A_WHOLE = 2
_FEWEST_OF_THOUSANDS = 100
_MOST_WAYS = 24


def read_transcript(text: str, expectation: Expectation) -> tuple[str, Meaning]:
    """Bring a transcript to words with a meaning at this turn.

    Returns:
        The words and what they mean; where no way of reading it has a meaning, the plainest words
        and why they have none.
    """
    whole = _read(_ways(text, expectation), expectation)
    if not isinstance(whole[1], Unclear) or _is_one_figure(_SENTENCE_END.split(text)[0]):
        return whole
    said = [_read(_ways(part, expectation), expectation) for part in _SENTENCE_END.split(text)]
    is_one = len({sense_of(meaning) for _, meaning in said}) == 1
    return said[0] if is_one and not isinstance(said[0][1], Unclear) else whole


def is_like_a_number(text: str, expectation: Expectation) -> bool:
    """Tell whether a transcript that may have no meaning has figures or numerals in it."""
    number = expectation.number
    if number is None:
        return False
    is_over_limit = number.takes_over_limit and bool(_OVER_LIMIT.match(text.strip().lower()))
    return is_over_limit or any(_is_numeral(token) for token in _TOKEN.findall(text.lower()))


def spoken_ways(words: str) -> tuple[str, ...]:
    """Give what words with figures in them may have been before they were written so, as spoken."""
    parts = (_ways_to_say(word) if word[:1].isdigit() else (word,) for word in words.split())
    return tuple(" ".join(said) for said in islice(product(*parts), _MOST_WAYS))


def written_ways(words: str, expectation: Expectation) -> tuple[str, ...]:
    """Give how whisper may write what was said: in words, and with its number in figures.

    A number ends in another mark than a full stop: "32." is how "32.6." begins.
    """
    mark = "." if expectation.number is None else "!"
    said, meaning = words.split(), understand(words, expectation)
    reading = meaning.reading if isinstance(meaning, Value) and not meaning.second else None
    numerals = [at for at, word in enumerate(said) if word in _IN_NUMBERS or _is_numeral(word)]
    ways = [words]
    if isinstance(reading, OverLimit):
        ways.append("O L")
    elif reading is not None and numerals:
        figures = f"{reading.value:f}"
        ways.append(" ".join([*said[: numerals[0]], figures, *said[numerals[-1] + 1 :]]))
    return tuple(f"{way[:1].upper()}{way[1:]}{mark}" for way in dict.fromkeys(ways))


def _ways_to_say(figures: str) -> tuple[str, ...]:
    whole, point, decimals = figures.replace(",", "").partition(".")
    if not (whole + decimals).isdigit():
        return ()
    behind = f" point {_one_by_one(decimals)}" if point else ""
    ways = [cardinal_words(int(whole)), _one_by_one(whole)]
    hundreds, rest = divmod(int(whole), 100)
    if hundreds and rest:
        ways.append(f"{cardinal_words(hundreds)} {cardinal_words(rest)}")
        ways.append(f"{cardinal_words(hundreds)} hundred and {cardinal_words(rest)}")
    if hundreds and hundreds < _FEWEST_OF_THOUSANDS:
        ways.append(f"{cardinal_words(hundreds)} hundred {cardinal_words(rest) if rest else ''}")
    if whole == "0" and behind:
        ways.append("")
    return tuple(dict.fromkeys(" ".join(f"{way}{behind}".split()) for way in ways))


def _is_numeral(token: str) -> bool:
    return token[:1].isdigit() or token in NUMERAL_WORDS


def _read(ways: list[str], expectation: Expectation) -> tuple[str, Meaning]:
    for words in dict.fromkeys(ways):
        meaning = _understand(words, expectation)
        if not isinstance(meaning, Unclear):
            return words, meaning
        if meaning.trouble is Trouble.WRONG_UNIT:
            break
    return ways[0], _understand(ways[0], expectation)


def _understand(words: str, expectation: Expectation) -> Meaning:
    """Say what words mean that were said: what means a command only when it is typed is none."""
    meaning = understand(words, expectation)
    if isinstance(meaning, Command) and is_typed_command(words):
        return Unclear(Trouble.NOT_UNDERSTOOD, "That is a command only when it is typed.")
    return meaning


def _tokens(text: str, number: NumberForm | None) -> list[str]:
    found = _TOKEN.findall(_MONEY_AND_TIME.sub(" ", text.lower().replace("-", " ")))
    return [_SOUND_LIKE.get(token, token) for token in found] if number else found


def _ways(text: str, expectation: Expectation) -> list[str]:
    """Give the ways to read a transcript, plainest first."""
    number = expectation.number
    tokens = _once(_tokens(text, number))
    if number is None:
        return [" ".join(tokens)]
    if number.takes_over_limit and _OVER_LIMIT.match(" ".join(tokens)):
        return ["o l"]
    said = " ".join(_said(tokens))
    if expectation.digits_only:
        return [" ".join(tokens), said]  # "toes" behind digits is one more digit, and no unit
    return [" ".join(tokens), said, *_without_unread_end(tokens)]


def _once(tokens: list[str]) -> list[str]:
    """Leave out what is written again: "59 ohms 59 ohms 59" is one answer.

    From the third time on it may be cut short. A lone figure is kept as often as it is written:
    "2 2" may be twenty-two.
    """
    for size in range(1, len(tokens) // 2 + 1):
        part = tokens[:size]
        if _is_repeated(tokens, part) and not _is_one_figure(" ".join(part)):
            return part
    return tokens


def _is_one_figure(text: str) -> bool:
    """Whether it is a lone digit or numeral: said again it is another one, "seven, seven"."""
    tokens = _TOKEN.findall(text.lower())
    is_digit = len(tokens) == 1 and len(tokens[0]) < _FEWEST_DIGITS_OF_A_WHOLE
    return is_digit or (len(tokens) == 1 and tokens[0] in NUMERAL_WORDS)


def _is_repeated(tokens: list[str], part: list[str]) -> bool:
    again = [part[at % len(part)] for at in range(len(tokens))]
    is_cut_short = len(tokens) > 2 * len(part) and again[-1].startswith(tokens[-1])
    return tokens[:-1] == again[:-1] and (tokens[-1] == again[-1] or is_cut_short)


def _said(tokens: list[str]) -> list[str]:
    """Write figures as words, so that "2 19" is "two nineteen"."""
    return [_in_words(token) if token[:1].isdigit() else token for token in tokens]


def _in_words(figures: str) -> str:
    figures = figures.replace(",", "")
    if _SEVERAL_POINTS.fullmatch(figures):
        whole, _, decimals = figures.rpartition(".")
        return f"{_one_by_one(whole.replace('.', ''))} point {_one_by_one(decimals)}"
    whole, point, decimals = figures.partition(".")
    is_spelled = len(whole) > 1 and whole.startswith("0")
    said = _one_by_one(whole) if is_spelled else cardinal_words(int(whole))
    return f"{said} point {_one_by_one(decimals)}" if point else said


def _one_by_one(digits: str) -> str:
    return " ".join(cardinal_words(int(digit)) for digit in digits)


def _without_unread_end(tokens: list[str]) -> list[str]:
    """Give the number alone where a few words behind it are no unit: "40 gnomes"."""
    runs = [
        (is_number, list(run))
        for is_number, run in groupby(
            tokens, lambda token: _is_numeral(token) or token in _IN_NUMBERS
        )
    ]
    is_number_first = len(runs) == len((True, False)) and runs[0][0]
    if not is_number_first or len(runs[1][1]) > _MOST_UNREAD or _CHANGES_IT & set(runs[1][1]):
        return []
    return [" ".join(runs[0][1]), " ".join(_said(runs[0][1]))]
