"""A session's lines as turns: what was heard, what was made of it, what was said. Pure."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from assistant.journal.flag_finders import seconds_between
from assistant.journal.line import Line
from assistant.quantity import FORMS, Unit
from assistant.screens.words import ROLE_WORDS, spaced, verdict_word

OWN = "Heard"
"""What stands before the technician's own words."""


@dataclass(frozen=True, slots=True)
class Told:
    """One line of a turn in words.

    Args:
        line: the journal's line.
        who: who or what: "Heard", "Step", "Understood", "Verdict".
        text: the words.
    """

    line: int
    who: str
    text: str


@dataclass(frozen=True, slots=True)
class TurnFacts:
    """One turn: one thing heard, and all that came of it.

    Args:
        number: counted from 0, which is what was said before anything was heard.
        line: the journal's first line of it.
        last: the journal's last line of it.
        time: when it was heard.
        seconds: since the turn before.
        step: the step it was heard at.
        heard: the words; empty for the opening.
        clip: the hash of the sound that was kept; empty when none was.
        came_to: what was made of it, in few words.
        told: all of it, in order.
        answers: the numbers of the answers taken in it.
        is_taken_back: whether its answer was scratched later.
    """

    number: int
    line: int
    last: int
    time: str
    seconds: float
    step: str
    heard: str
    clip: str
    came_to: str
    told: tuple[Told, ...]
    answers: frozenset[int] = frozenset()
    is_taken_back: bool = False


def turns_of(lines: Sequence[Line]) -> tuple[TurnFacts, ...]:
    """Give a session's turns in order; lines that lost what they must say are told as they are."""
    turns: list[TurnFacts] = []
    for group in _groups(lines):
        before = turns[-1].time if turns else group[0].time
        asked = turns[-1].told[-1:] if turns and group[0].kind == "heard" else ()
        turns.append(_turn(len(turns), group, before, asked))
        for line in group:
            if line.kind == "scratched":
                _take_back(turns, _number(line, "answer"))
    return tuple(turns)


def _groups(lines: Sequence[Line]) -> Iterator[list[Line]]:
    group: list[Line] = []
    for line in lines:
        if line.kind == "heard" and group:
            yield group
            group = []
        group.append(line)
    if group:
        yield group


def _turn(number: int, group: Sequence[Line], before: str, asked: Sequence[Told]) -> TurnFacts:
    first = group[0]
    is_heard = first.kind == "heard"
    told = [replace(one, who="Asked") for one in asked]
    told += [one for line in group for one in _tell(line)]
    came_to = [words for line in group if (words := _came_to(line))]
    return TurnFacts(
        number=number,
        line=first.seq,
        last=group[-1].seq,
        time=first.time,
        seconds=seconds_between(before, first.time),
        step=_text(first, "step"),
        heard=_heard(first) if is_heard else "",
        clip=_text(first, "clip"),
        came_to="; ".join(came_to),
        told=tuple(told),
        answers=frozenset(_number(line, "answer") for line in group if line.kind in _ANSWERS),
    )


_ANSWERS = {"took", "answered", "caution_answered", "skipped"}


def _take_back(turns: list[TurnFacts], answer: int) -> None:
    for place in range(len(turns) - 1, -1, -1):
        turn = turns[place]
        if any(number >= answer for number in turn.answers):
            turns[place] = replace(turn, is_taken_back=True)
        elif turn.answers:
            return


def _text(line: Line, key: str) -> str:
    value = line.data.get(key)
    return value if isinstance(value, str) else ""


def _number(line: Line, key: str) -> int:
    value = line.data.get(key)
    return value if isinstance(value, int) else 0


def _list(line: Line, key: str) -> list[str]:
    value = line.data.get(key)
    return [str(one) for one in value] if isinstance(value, list) else []


def _heard(line: Line) -> str:
    if line.data.get("is_silence") is True:
        return "(silence)"
    return _text(line, "words") or "(no words)"


def _shown(line: Line) -> str:
    if line.data.get("over_limit") is True:
        return f"{spaced(_text(line, 'name'))} OL"
    unit = _text(line, "unit")
    symbol = FORMS[Unit(unit)].symbol if unit in _UNITS else unit
    return f"{spaced(_text(line, 'name'))} {_text(line, 'value')} {symbol}".strip()


_UNITS = frozenset(Unit)


def _came_to(line: Line) -> str:
    """Say in few words what a line made of what was heard; empty where it made nothing."""
    teller = _SHORT.get(line.kind)
    return teller(line) if teller else ""


_SHORT: Mapping[str, Callable[[Line], str]] = {
    "took": _shown,
    "judged": lambda line: (
        verdict_word(_text(line, "verdict")) if line.data.get("decides") is True else ""
    ),
    "answered": lambda line: _text(line, "meaning"),
    "caution_answered": lambda line: f"caution answered: {spaced(_text(line, 'caution'))}",
    "asked_back": lambda line: f"asked back: {_text(line, 'reading')}?",
    "not_taken": lambda line: f"not taken: {_text(line, 'trouble').replace('_', ' ')}",
    "skipped": lambda line: f"SKIPPED: {_text(line, 'reason')}",
    "scratched": lambda line: f"taken back to {spaced(_text(line, 'step'))}",
    "commanded": lambda line: f"command: {_text(line, 'command').replace('_', ' ')}",
    "noted": lambda line: f"note: {_text(line, 'text')}",
    "found": lambda line: f"FINDING: {_text(line, 'part') or _text(line, 'finding')}",
    "blocked": lambda line: f"REFUSED: {spaced(_text(line, 'step'))}",
    "ended": lambda line: f"ended: {_text(line, 'why')}",
    "hung_up": lambda line: f"ended here: {_text(line, 'why')}",
    "sealed": lambda line: f"sealed: {_text(line, 'code')}",
}


def _tell(line: Line) -> Iterator[Told]:
    """Tell a line in full; what only the machine needs (moves, conditions) is left out."""
    teller = _FULL.get(line.kind)
    if teller is not None:
        for who, text in teller(line):
            yield Told(line.seq, who, text)
    elif line.kind not in _SILENT:
        data = ", ".join(f"{key} {value}" for key, value in line.data.items() if value)
        yield Told(line.seq, line.kind.replace("_", " ").capitalize(), data)


_SILENT = {"moved", "condition", "forgot", "caution_given"}
"""A caution given is said as well, in the same words."""

_Pairs = Iterator[tuple[str, str]]


def _tell_began(line: Line) -> _Pairs:
    yield "Began", f"{_text(line, 'title')}, edition {_text(line, 'edition')}"


def _tell_said(line: Line) -> _Pairs:
    role = _text(line, "role")
    who = "Read back" if role == "read_back" else ROLE_WORDS.get(role, role or "Said")
    yield who, _text(line, "shown") or _text(line, "text")


def _tell_heard(line: Line) -> _Pairs:
    source = _text(line, "source")
    yield OWN, f"{_heard(line)}{f'  ({source})' if source else ''}"
    if also := _list(line, "alternatives"):
        yield "Or", "; ".join(also)


def _tell_asked_back(line: Line) -> _Pairs:
    yield "Asked back", f"{_text(line, 'reading')}. {_text(line, 'why')}"
    if others := _list(line, "neighbours"):
        yield "Like", "; ".join(others)


def _tell_judged(line: Line) -> _Pairs:
    if line.data.get("decides") is True:
        verdict = verdict_word(_text(line, "verdict"))
        yield "Judged", f"{verdict}: {_text(line, 'reason')}"


def _tell_took(line: Line) -> _Pairs:
    how = {"worked_out": "Worked out", "asked": "Understood"}
    extra = ", confirmed" if line.data.get("confirmed") is True else ""
    extra += ", taken again" if line.data.get("retaken") is True else ""
    yield how.get(_text(line, "origin"), "Understood"), f"{_shown(line)}{extra}"


def _tell_found(line: Line) -> _Pairs:
    yield "FINDING", f"{_text(line, 'part')}: {_text(line, 'reason')}"
    yield "Repair", _text(line, "repair")


def _one(who: str, *keys: str) -> Callable[[Line], _Pairs]:
    def tell(line: Line) -> _Pairs:
        parts = [_text(line, key).replace("_", " ") for key in keys]
        yield who, ": ".join(part for part in parts if part)

    return tell


def _tell_blocked(line: Line) -> _Pairs:
    yield "REFUSED", f"{spaced(_text(line, 'step'))} needs {', '.join(_list(line, 'lacking'))}"


_FULL: Mapping[str, Callable[[Line], _Pairs]] = {
    "began": _tell_began,
    "said": _tell_said,
    "heard": _tell_heard,
    "asked_back": _tell_asked_back,
    "judged": _tell_judged,
    "took": _tell_took,
    "found": _tell_found,
    "blocked": _tell_blocked,
    "answered": _one("Understood", "meaning"),
    "caution_answered": _one("Caution answered", "caution"),
    "not_taken": _one("Not taken", "trouble", "why"),
    "skipped": _one("SKIPPED", "reason"),
    "scratched": _one("Taken back to", "step"),
    "commanded": _one("Command", "command", "detail"),
    "noted": _one("Note", "text"),
    "ended": _one("Ended", "outcome", "why"),
    "hung_up": _one("Hung up", "why"),
    "resumed": _one("Went on", "step"),
    "sealed": _one("Sealed", "code"),
}
"""How each kind of line is told; every other kind is told key by key."""


def turn_at(turns: Sequence[TurnFacts], line: int) -> int:
    """Give the place of the turn that a line of the journal belongs to; 0 where there is none."""
    for place, turn in enumerate(turns):
        if turn.line <= line <= turn.last:
            return place
    return 0
