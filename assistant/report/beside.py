"""What a report tells besides the journal: names of places, remarks, sounds, the next session."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from assistant.journal.clips import Clip
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
