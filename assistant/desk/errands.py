"""What the desk hands to a walk screen: a walk on a unit at hand, or one on a simulated unit."""

from collections.abc import Callable, Sequence
from pathlib import Path

from assistant.bench.ground import lay_ground
from assistant.bench.practice import Coach, ShownEars, hide_fault
from assistant.bench.walking import make_technician
from assistant.desk.desk import Desk
from assistant.desk.opening import load_safe_flow
from assistant.desk.sound_ends import SoundEnds
from assistant.ears.beside import Breakable
from assistant.journal.account import Account
from assistant.journal.session import Session
from assistant.voice.hushing import Hushable
from assistant.walk.ends import Ears
from assistant.walk.events import AnyEvent


class WalkErrand:
    """A walk on a unit at hand.

    Args:
        desk: begins sessions, opens the ends.
        flow: a flow's name or file.
        unit: the equipment's tag.
        is_voice: whether a microphone and a loudspeaker run beside the screen.
    """

    opening = ""

    def __init__(self, desk: Desk, flow: str, unit: str = "", *, is_voice: bool = False) -> None:
        self._desk, self._flow, self._unit, self._is_voice = desk, flow, unit, is_voice
        self.session: Session | None = None
        self._opened: SoundEnds | None = None

    def begin(self) -> Session:
        """Begin the session on disk."""
        self.session = self._open()
        return self.session

    def _open(self) -> Session:
        return self._desk.begin(load_safe_flow(self._flow), self._unit)

    def follow(self, account: Account) -> Session | None:
        """Begin the session that the walk goes on as, where it was sent on."""
        following = None
        if self.session is not None:
            following = self._desk.follow(self.session, account)
        self.session = following or self.session
        return following

    def open_microphone(self, report: Callable[[str], None]) -> Breakable | None:
        """Open the microphone where one is wanted."""
        return self._desk.open_microphone(self._sounds(report)) if self._is_voice else None

    def open_voice(self, report: Callable[[str], None]) -> Hushable | None:
        """Open the voice where it is wanted."""
        is_wanted = self._is_voice and not self._desk.is_mute
        return self._sounds(report).open_voice() if is_wanted else None

    def _sounds(self, report: Callable[[str], None]) -> SoundEnds:
        """Give what opens both, so that each knows of the other."""
        if self._opened is None:
            self._opened = SoundEnds(self._desk.settings, report)
        return self._opened

    def wrap(self, ears: Ears, show: Callable[[str], None]) -> Ears:
        """Walk with the screen's own ears."""
        del show
        return ears

    def watch(self, events: Sequence[AnyEvent]) -> None:
        """Do nothing beside the journal."""

    def closing(self) -> Sequence[str]:
        """Add nothing to what the record says."""
        return ()


class ResumeErrand(WalkErrand):
    """A walk that was broken off, walked on.

    Args:
        desk: opens the session, opens the ends.
        name: the session's folder, its journal or its name.
        flow: the flow that it was begun with, where that is no shipped one.
        is_voice: whether a microphone and a loudspeaker run beside the screen.
    """

    def __init__(
        self, desk: Desk, name: str, flow: str | None = None, *, is_voice: bool = False
    ) -> None:
        super().__init__(desk, flow or "", is_voice=is_voice)
        self._name, self._begun_with = name, flow

    def _open(self) -> Session:
        return self._desk.take_up(self._name, self._begun_with)


class PracticeErrand:
    """A walk on a simulated unit with a hidden fault.

    Args:
        desk: begins the session.
        flow: a flow's name or file.
        files: unit files and fault files in place of the shipped ones.
        seed: hides the same fault on the same unit each time.
        fault: the fault to hide; drawn where None.
    """

    def __init__(
        self, desk: Desk, flow: str, files: Sequence[Path], *, seed: int, fault: str | None
    ) -> None:
        self._desk, self._flow, self._files = desk, flow, files
        self._seed, self._fault = seed, fault
        self._coach: Coach | None = None
        self._make_ears: Callable[[Ears, Callable[[str], None]], ShownEars] | None = None
        self._shown: ShownEars | None = None
        self.session: Session | None = None
        self.opening = ""

    def begin(self) -> Session:
        """Hide a fault, and begin the session on disk."""
        ground = lay_ground(load_safe_flow(self._flow), self._files)
        case = hide_fault(ground, self._seed, self._fault)
        bench = make_technician(ground.flow, ground.units[case.unit], case, ground.catalogue)
        session = self.session = self._desk.begin(ground.flow, case.unit)
        title = ground.units[case.unit].title
        self.opening = f"{title}. The customer says: {bench.say_complaint()}."

        def make_ears(ears: Ears, show: Callable[[str], None]) -> ShownEars:
            shown = ShownEars(ears, bench, lambda: session.state, show)
            self._coach = Coach(ground, case, shown)
            return shown

        self._make_ears = make_ears
        return session

    def follow(self, account: Account) -> Session | None:
        """Go nowhere: a simulated unit stands in one flow."""
        del account
        return None

    def open_microphone(self, report: Callable[[str], None]) -> Breakable | None:
        """Open none: a practice is typed."""
        del report
        return None

    def open_voice(self, report: Callable[[str], None]) -> Hushable | None:
        """Open none: a practice is read."""
        del report
        return None

    def wrap(self, ears: Ears, show: Callable[[str], None]) -> Ears:
        """Show before each answer what meter and eyes would."""
        if self._make_ears is None:
            return ears
        if self._shown is None:
            self._shown = self._make_ears(ears, show)
        return self._shown

    def watch(self, events: Sequence[AnyEvent]) -> None:
        """Let the coach watch."""
        if self._coach is not None:
            self._coach.watch(events)

    def closing(self) -> Sequence[str]:
        """Say what it was, and how it was walked."""
        return () if self._coach is None else tuple(self._coach.summary())
