"""Golden conversations: what is heard, what the walk says and does with it, as a file tells it.

A file is one conversation from the first words to its end (`begins`, `turns`), or one that goes as
another for so many turns and then another way (`after`). Under `instead` stand other answers that
could have been given at some place of it, each on its own: the walk is taken back to that place.

    about: What it shows, one sentence.
    unit: l_230      # the bench's unit and fault that gave the answers, if any
    after: {walk: hums-capacitor_weak, turns: 12}
    begins: {at: gas, said: [prompt: "…"]}
    turns:
    - {heard: "no gas", at: "complaint", turn: "caution licensed_work", said: [
        read_back: "No gas."]}
    instead:
    - after: 3
      at: cap_reading
      answers:
      - - {heard: "…", took: {cap_reading: "4.9 microfarad, fail low"}, at: cap_bad_uf, said: […]}

Of each turn: `heard` (nothing: silence), `took` (each value with every rule's verdict and
outcome), `dropped` (values that no longer stand), `made` (conditions that became true), `found`,
`at` (the step where the walk stands), `turn` (what it asks for there, where it is not the answer),
`said` (role and words), `ended`. Words that a step says again and again stand once, in
`said-<flow>.yaml`, by role and place; here they are `…`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeAlias

import quick

from assistant.flow.library import open_flow
from assistant.flow.plain import plain_values
from assistant.walk.ends import Heard, Silence
from assistant.walk.events import (
    AnyEvent,
    ConditionSet,
    Ended,
    Forgot,
    Found,
    Judged,
    Took,
)
from assistant.walk.state import State, Turn
from assistant.walk.walk import Result, Walk

HERE = Path(__file__).parent
"""One folder a flow."""

Told: TypeAlias = dict[str, Any]
"""What one turn came to, as a file tells it."""


@dataclass(frozen=True, slots=True)
class Aside:
    """Other answers at one place of a conversation.

    Args:
        after: how many turns of the whole conversation go before.
        at: the step where it stands there.
        answers: each a row of turns.
    """

    after: int
    at: str
    answers: tuple[tuple[Told, ...], ...]


@dataclass(frozen=True, slots=True)
class Conversation:
    """One file.

    Args:
        name: the file's name without its ending.
        about: what it shows.
        begins: what the walk says first; empty where it goes as another first.
        walk: the conversation it goes as first; empty for one from the first words.
        shared: how many turns of that.
        turns: its own turns.
        asides: other answers.
        source: unit and fault on the bench, where it has them.
    """

    name: str
    about: str
    begins: Told
    turns: tuple[Told, ...]
    walk: str = ""
    shared: int = 0
    asides: tuple[Aside, ...] = ()
    source: Mapping[str, str] = field(default_factory=dict)


LIKE_ALWAYS = "…"
"""Stands for the words that the flow's table has for a role and a place."""


def said_file(flow: str) -> Path:
    """Give where the words stand that the conversations of a flow share."""
    return HERE / f"said-{flow}.yaml"


@lru_cache(maxsize=8)
def said_always(flow: str) -> Mapping[str, str]:
    """Give the words that a flow says again and again, by role and place."""
    file = said_file(flow)
    return _data(file.read_text(encoding="utf-8")) if file.exists() else {}


def place_of(role: str, told: Told) -> str:
    """Give the key under which a turn's words of some role stand in the flow's table."""
    return " ".join([role, told["at"], *([told["turn"]] if "turn" in told else [])])


def _in_full(told: Told, words: Mapping[str, str]) -> Told:
    said = [
        {role: words[place_of(role, told)] if text == LIKE_ALWAYS else text}
        for one in told["said"]
        for role, text in one.items()
    ]
    return {**told, "said": said}


def read(file: Path) -> Conversation:
    """Read a conversation.

    Args:
        file: its file.
    """
    data = _data(file.read_text(encoding="utf-8"))
    after = data.get("after", {})
    words = said_always(file.parent.name)

    def full(turns: Sequence[Told]) -> tuple[Told, ...]:
        return tuple(_in_full(one, words) for one in turns)

    unknown = set(data) - {*_SOURCE, "about", "after", "begins", "turns", "instead"}
    if unknown:
        raise ValueError(f"{file.name}: unknown keys {sorted(unknown)}")
    return Conversation(
        name=file.stem,
        about=data["about"],
        begins=_in_full(data["begins"], words) if "begins" in data else {},
        walk=after.get("walk", ""),
        shared=after.get("turns", 0),
        turns=full(data.get("turns", ())),
        asides=tuple(
            Aside(one["after"], one["at"], tuple(full(row) for row in one["answers"]))
            for one in data.get("instead", ())
        ),
        source={key: str(data[key]) for key in _SOURCE if key in data},
    )


def _data(text: str) -> Told:
    try:
        return quick.read(text)
    except (quick.UnknownFormError, KeyError, IndexError):
        data, _ = plain_values(text)
        return dict(data)


_SOURCE = ("unit", "fault")


def read_all(flow: str) -> dict[str, Conversation]:
    """Read all conversations of a flow, by name."""
    return {file.stem: read(file) for file in sorted((HERE / flow).glob("*.yaml"))}


def tell(words: str | None, result: Result) -> Told:
    """Tell what one turn came to.

    Args:
        words: what was heard; nothing for the first words, empty for silence.
        result: what it came to.
    """
    told: Told = {} if words is None else {"heard": words}
    for event in result.events:
        _add(told, event)
    told["at"] = result.state.step
    if result.state.turn is not Turn.ANSWER:
        told["turn"] = f"{result.state.turn.value} {result.state.subject}".strip()
    told["said"] = [{one.role.value: one.text} for one in result.utterances]
    return told


def _add(told: Told, event: AnyEvent) -> None:
    """Add what an event tells; of the other events the words tell enough."""
    match event:
        case Took():
            digits = "over limit" if event.over_limit else f"{event.value} {event.unit}"
            told.setdefault("took", {})[event.name] = digits
        case Judged():
            told["took"][event.name] += f", {event.verdict} {event.outcome}"
        case Forgot():
            told.setdefault("dropped", []).append(event.name)
        case ConditionSet():
            told.setdefault("made", {})[event.name] = event.value
        case Found():
            told.setdefault("found", []).append(event.finding)
        case Ended():
            told["ended"] = event.outcome
        case _:
            pass


def hear(walk: Walk, state: State, words: str) -> Result:
    """Let the walk hear words, or silence where there are none."""
    return walk.hear(state, Heard(words) if words else Silence())


@dataclass(frozen=True, slots=True)
class Played:
    """One turn as it was replayed.

    Args:
        number: which turn of the whole conversation, from 1; 0 for the first words.
        state: where the walk stood; none before the first words.
        expected: what the file tells.
        result: what it came to.
        where: where in the file, for people.
    """

    number: int
    state: State | None
    expected: Told
    result: Result
    where: str

    @property
    def actual(self) -> Told:
        """Give what it came to, as a file would tell it."""
        return tell(None if self.state is None else self.expected.get("heard", ""), self.result)


class Stage:
    """Conversations of one flow, replayed by text through a real walk.

    Args:
        walk: the flow's walk.
        conversations: by name.
    """

    def __init__(self, walk: Walk, conversations: Mapping[str, Conversation]) -> None:
        self.walk, self.conversations = walk, conversations
        self._lines: dict[str, tuple[State, ...]] = {}

    def play(self, name: str) -> Iterator[Played]:
        """Replay one conversation: its own turns, then each other answer by itself.

        Yields:
            Each turn. The next goes on from what it really came to.
        """
        one = self.conversations[name]
        if one.walk:
            states = [*self.line(one.walk)[: one.shared + 1]]
        else:
            begun = self.walk.begin()
            yield Played(0, None, one.begins, begun, "begins")
            states = [begun.state]
        for position, told in enumerate(one.turns):
            result = hear(self.walk, states[-1], told["heard"])
            yield Played(len(states), states[-1], told, result, f"turn {position + 1}")
            states.append(result.state)
        self._lines[name] = tuple(states)
        for aside in one.asides:
            yield from self._aside(aside, states)

    def _aside(self, aside: Aside, states: Sequence[State]) -> Iterator[Played]:
        for row in aside.answers:
            state = states[aside.after]
            for told in row:
                result = hear(self.walk, state, told["heard"])
                where = f"instead after turn {aside.after} at {aside.at}"
                yield Played(aside.after + 1, state, told, result, where)
                state = result.state

    def line(self, name: str) -> tuple[State, ...]:
        """Give where the walk stands after each turn of a conversation, from the first words on."""
        if name not in self._lines:
            one = self.conversations[name]
            states = [*self.line(one.walk)[: one.shared + 1]] if one.walk else []
            if not states:
                states.append(self.walk.begin().state)
            for told in one.turns:
                states.append(hear(self.walk, states[-1], told["heard"]).state)
            self._lines[name] = tuple(states)
        return self._lines[name]


@lru_cache(maxsize=2)
def stage(flow: str) -> Stage:
    """Give the stage of a shipped flow with all its conversations."""
    return Stage(Walk(open_flow(flow)), read_all(flow))


def flows() -> tuple[str, ...]:
    """Give the flows that have conversations."""
    return tuple(sorted(one.name for one in HERE.iterdir() if any(one.glob("*.yaml"))))


def differences(expected: Told, actual: Told) -> list[str]:
    """Give what differs, a line a key."""
    lines = []
    for key in dict.fromkeys((*expected, *actual)):
        if expected.get(key) != actual.get(key):
            lines.append(f"  {key}: should be {expected.get(key)!r}")
            lines.append(f"  {' ' * len(key)}        is {actual.get(key)!r}")
    return lines


def transcript(heart: Played) -> list[str]:
    """Give a turn as a person reads it: what was heard, then what was said."""
    told = heart.actual
    lines = [] if "heard" not in told else [f"> {told['heard']}"]
    lines += [f"  {text}" for one in told["said"] for text in one.values()]
    return lines
