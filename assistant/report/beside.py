"""What a report tells besides the journal: names of places, remarks, sounds, the next session."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from assistant.journal.remarks import Remarks


@dataclass(frozen=True, slots=True)
class PlaceName:
    """A place of the trade's vocabulary, for people.

    Args:
        say: what it is called.
        kind: what it belongs to, as `motor_lead`.
    """

    say: str
    kind: str


@dataclass(frozen=True, slots=True)
class Clip:
    """The sound of one answer.

    Args:
        hash: SHA-256 of its samples, under which it is kept.
        line: the journal's line that was heard so.
        time: when, UTC.
        words: what was understood.
        state: `kept`; `purged` where the file is not there any more; `changed` where it does not
            fit its hash and is not believed.
        wave: the WAV file's bytes; empty unless it is kept.
    """

    hash: str
    line: int
    time: str
    words: str
    state: str
    wave: bytes = b""


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside the journal.

    Args:
        places: the names of places by their ids; one that is not there is told by its id.
        remarks: a lead's remarks and sign-offs.
        clips: the sounds of answers, in order; None where nobody asked for them.
        next_session: the session in which the walk went on; empty where it did not or is not known.
    """

    places: Mapping[str, PlaceName] = field(default_factory=dict)
    remarks: Remarks = field(default_factory=Remarks)
    clips: tuple[Clip, ...] | None = None
    next_session: str = ""
