"""What is put beside the conversations: other answers at their places, and answers taken back."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from conversation import Aside, Conversation, Told, tell
from walk_answers import Answer, Numbers, choices, say_all
from walk_lines import Line
from walk_search import Search
from ways import home, taken

from assistant.flow.conditions import needs_of
from assistant.flow.linked import Flow
from assistant.flow.model import NumberStep
from assistant.walk.ends import Heard
from assistant.walk.state import State, Turn

_MOST_PLACES = 3
"""At so many places of one step, with other values known, answers are looked for."""
_MOST_BACK = 20
"""An answer is taken back at most so many times in a row."""


@dataclass(frozen=True, slots=True)
class _Place:
    """One turn of a line at which a step is answered."""

    line: int
    turn: int
    state: State
    known: frozenset[str]


def choose_asides(
    made: Sequence[Conversation],
    lines: Sequence[Line],
    search: Search,
    further: Iterable[tuple[Line, int]],
) -> list[Conversation]:
    """Put other answers beside conversations, each where it shows something that none yet does.

    Args:
        made: the conversations.
        lines: the line of each.
        search: knows what can be answered.
        further: lines that are told only from where they leave all others to some turn.
    """
    flow = search.flow
    rows: dict[tuple[int, int], list[tuple[Told, ...]]] = {}
    seen = {way for line in lines for way in line.ways(flow)}
    for places in _by_step(lines, search).values():
        marks: set[tuple[str, ...]] = set()
        for rank, place in enumerate(places[:_MOST_PLACES]):
            for answer in _answers(search, place.state, is_anew=rank == 0):
                ways = {w for r in answer.results for w in taken(flow, r.events)}
                is_number = isinstance(flow.steps[place.state.step], NumberStep)
                is_wanted = rank == 0 and is_number and answer.mark not in marks
                is_side = rank == 0 and is_number and _is_number(answer)
                is_hold = answer.words[0] == "number one"
                is_other = rank > 0 and answer.mark not in marks
                if ways - seen or is_side or is_wanted or is_other or is_hold:
                    rows.setdefault((place.line, place.turn), []).append(_told(answer))
                marks.add(answer.mark)
                seen |= ways
    for far, last in further:
        owner, shared = _longest_with(far, lines)
        row = tuple(tell(far.words[turn], far.results[turn + 1]) for turn in range(shared, last))
        if row and row not in rows.get((owner, shared), []):
            rows.setdefault((owner, shared), []).append(row)
    for number, turn, row in _taken_back(lines, search):
        rows.setdefault((number, turn), []).append(row)
    return [
        replace(one, asides=tuple(_asides(number, lines[number], rows)))
        for number, one in enumerate(made)
    ]


def _longest_with(line: Line, lines: Sequence[Line]) -> tuple[int, int]:
    """Give the line that goes along with another for longest, and for how many turns."""
    best, most = 0, -1
    for number, other in enumerate(lines):
        shared = 0
        for one, two in zip(line.words, other.words, strict=False):
            if one != two:
                break
            shared += 1
        if shared > most:
            best, most = number, shared
    return best, most


def _answers(search: Search, state: State, *, is_anew: bool) -> Iterator[Answer]:
    """Give what can be answered at a place: its own limits, or what was said at one like it."""
    walk = search.walker.walk
    if is_anew:
        yield from choices(walk, state)
        if isinstance(search.flow.steps[state.step], NumberStep):
            yield from Numbers(walk, state).answers()
        return
    for answer in search.answers(state):
        yield say_all(walk, state, answer.words)


def _is_number(answer: Answer) -> bool:
    return answer.words[0] != "skip it"


def _asides(
    number: int, line: Line, rows: dict[tuple[int, int], list[tuple[Told, ...]]]
) -> Iterator[Aside]:
    for (owner, turn), told in sorted(rows.items(), key=lambda pair: pair[0]):
        if owner == number:
            yield Aside(turn, line.states[turn].step, tuple(told))


def _told(answer: Answer) -> tuple[Told, ...]:
    pairs = zip(answer.words, answer.results, strict=True)
    return tuple(tell(words, result) for words, result in pairs)


def _by_step(lines: Sequence[Line], search: Search) -> dict[str, list[_Place]]:
    """Give the places of each step as written: one for each set of known values, most first."""
    found: dict[str, dict[frozenset[str], _Place]] = {}
    for number, line in enumerate(lines):
        for turn, state in enumerate(line.states):
            if state.turn is Turn.ANSWER and not state.troubles:
                known = search.known(state)
                own = found.setdefault(home(search.flow, state.step), {})
                own.setdefault(known, _Place(number, turn, state, known))
    return {
        step: sorted(own.values(), key=lambda place: -len(place.known))
        for step, own in found.items()
    }


def _taken_back(
    lines: Sequence[Line], search: Search
) -> Iterator[tuple[int, int, tuple[Told, ...]]]:
    """Take answers back to a step whose needs do not hold any more: it must not be asked there."""
    done: set[tuple[str, str]] = set()
    for number, line in enumerate(lines):
        for turn, state in enumerate(line.states):
            if state.turn is not Turn.ANSWER:
                continue
            for name in _needs(search.flow, state):
                key = home(search.flow, state.step), name
                later = _later(line, turn, name)
                if key not in done and later is not None:
                    done.add(key)
                    yield number, later, tuple(_scratches(line, turn, later, search))


def _needs(flow: Flow, state: State) -> Iterator[str]:
    needs = needs_of(flow.steps[state.step])
    yield from (name for name, value in needs.items() if state.conditions[name] == value)


def _later(line: Line, turn: int, name: str) -> int | None:
    """Give the first turn not far behind at which a condition holds no more."""
    here = line.states[turn]
    for later in range(turn + 1, len(line.states)):
        state = line.states[later]
        if state.answer - here.answer > _MOST_BACK or state.is_over:
            return None
        is_settled = state.turn in {Turn.ANSWER, Turn.CAUTION, Turn.CONDITION}
        if is_settled and state.conditions[name] != here.conditions[name]:
            return later
    return None


def _scratches(line: Line, turn: int, later: int, search: Search) -> Iterator[Told]:
    """Say "scratch that" until the walk is back before the answer of that turn."""
    state = line.states[later]
    for _ in range(state.answer - line.states[turn].answer):
        result = search.walker.walk.hear(state, Heard("scratch that"))
        yield tell("scratch that", result)
        state = result.state
