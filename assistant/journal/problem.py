"""What can be wrong with a journal, each as a line number, a fault and one sentence."""

from dataclasses import dataclass
from enum import StrEnum


class Fault(StrEnum):
    """The kinds of trouble; the last five are no damage."""

    UNREADABLE = "unreadable"
    EDITED = "edited"
    COPIED = "copied"
    INSERTED = "inserted"
    MOVED = "moved"
    MISSING = "missing"
    AFTER_SEAL = "after_seal"
    BAD_SEAL = "bad_seal"
    CUT_OFF = "cut_off"
    OTHER_SESSION = "other_session"
    NEWER = "newer"
    CLOCK = "clock"
    TORN = "torn"
    UNSEALED = "unsealed"
    UNTOLD = "untold"


_NO_DAMAGE = {Fault.NEWER, Fault.CLOCK, Fault.TORN, Fault.UNSEALED, Fault.UNTOLD}


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to know about a journal.

    Args:
        line: the line of the file that it is about, counted from 1 as an editor counts. For
            missing lines, the line before which they are missing.
        fault: what kind of trouble.
        sentence: one sentence that names the line.
    """

    line: int
    fault: Fault
    sentence: str

    @property
    def is_damage(self) -> bool:
        """Whether what was recorded was changed or lost.

        An interrupted write, a missing seal, a clock set back or a newer schema is no damage.
        """
        return self.fault not in _NO_DAMAGE
