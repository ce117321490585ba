"""A conversation with a small flow, as the tests of the walk hold it."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from assistant.quantity import format_for_eye
from assistant.walk.ends import Heard, Silence, Utterance
from assistant.walk.events import AnyEvent
from assistant.walk.state import State, Turn
from assistant.walk.walk import Result, Walk

FAINT = "That was hard to hear."

FLOWS = Path(__file__).parent / "flows"
"""The small flows of these tests."""


@dataclass
class Talk:
    """A conversation: what is said to the walk, and all that came of it."""

    walk: Walk
    state: State
    events: list[AnyEvent] = field(default_factory=list)
    said: tuple[Utterance, ...] = ()

    def take(self, result: Result) -> "Talk":
        """Go on from a result."""
        self.state = result.state
        self.events.extend(result.events)
        self.said = result.utterances
        return self

    def say(self, *phrases: str) -> "Talk":
        """Say one phrase after another; an empty one is silence."""
        for phrase in phrases:
            sound = Heard(phrase) if phrase else Silence()
            self.take(self.walk.hear(self.state, sound))
        return self

    def hear(self, words: str, *alternatives: str) -> "Talk":
        """Say one phrase for which the recogniser had other ideas too."""
        return self.take(self.walk.hear(self.state, Heard(words, alternatives)))

    def hear_faintly(self, words: str) -> "Talk":
        """Say one phrase whose sound is reason to doubt it."""
        return self.take(self.walk.hear(self.state, Heard(words, doubt=FAINT)))

    @property
    def text(self) -> str:
        """Give what was last said, for the ear."""
        return " ".join(utterance.text for utterance in self.said)

    @property
    def turn(self) -> Turn:
        """Give what the walk waits for now."""
        return self.state.turn

    def value(self, name: str) -> str:
        """Give a believed value as a screen shows it."""
        return format_for_eye(self.state.values[name].reading)

    def kinds(self, kind: str) -> list[AnyEvent]:
        """Give the events of one kind."""
        return [event for event in self.events if event.kind == kind]


class Begin(Protocol):
    """Begins a conversation and says some phrases."""

    def __call__(self, *phrases: str) -> Talk:
        """Give the conversation after the phrases."""
