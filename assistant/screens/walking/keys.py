"""The keys of a walk: each stands for the words that would be said, so both do the same."""

from dataclasses import dataclass

from assistant.screens.words import KeyHint


@dataclass(frozen=True, slots=True)
class SpokenKey:
    """A key that stands for words.

    Args:
        key: its name for the library, as `f2`.
        shown: its name on a keyboard.
        words: what it says.
        is_any_turn: whether it may come at any turn, as "hold": it changes no answer.
    """

    key: str
    shown: str
    words: str
    is_any_turn: bool = False


SPOKEN_KEYS = (
    SpokenKey("f1", "F1", "help", is_any_turn=True),
    SpokenKey("f2", "F2", "hold", is_any_turn=True),
    SpokenKey("f3", "F3", "repeat", is_any_turn=True),
    SpokenKey("f4", "F4", "scratch that"),
    SpokenKey("f5", "F5", "skip"),
    SpokenKey("f6", "F6", "stop"),
    SpokenKey("f7", "F7", "why", is_any_turn=True),
    SpokenKey("f8", "F8", "where am i", is_any_turn=True),
)
"""The standing commands that have a key; every other is typed or said."""

HELD_KEY = SpokenKey("f2", "F2", "go ahead")
"""What the hold key says while the walk is on hold."""

MEDIA_KEYS = "media_play,media_pause,media_play_pause"
"""What a headset's button, `media` as a talk key, may arrive as."""

OTHER_HINTS = (
    KeyHint("F9", "theme"),
    KeyHint("Tab", "panels"),
    KeyHint("PgUp/PgDn", "scroll"),
    KeyHint("Ctrl+Q", "leave"),
)


def walking_hints(*, is_held: bool) -> tuple[KeyHint, ...]:
    """List the keys of a walk; on hold only what means anything there."""
    if is_held:
        spoken = [HELD_KEY, *(key for key in SPOKEN_KEYS if key.words == "stop")]
    else:
        spoken = list(SPOKEN_KEYS)
    return (*(KeyHint(key.shown, key.words) for key in spoken), *OTHER_HINTS)
