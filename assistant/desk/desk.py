"""The things a command may need, made when they are first asked for."""

import secrets
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Protocol, Self

from assistant import __version__
from assistant.desk.console import Console, typed_lines
from assistant.desk.doctor import METER_SECONDS, device_lines, level_lines, voice_lines
from assistant.desk.errors import DeskError
from assistant.desk.opening import load_safe_flow
from assistant.desk.output import show, tell_end
from assistant.desk.plain import PlainEnds
from assistant.desk.resuming import take_up
from assistant.desk.signals import Ended, ending_in_order
from assistant.desk.sound_ends import SoundEnds
from assistant.desk.sounds import SoundKeeper
from assistant.desk.streams import stream_failure
from assistant.ears.facts import ears_facts
from assistant.ears.files import FileEars
from assistant.ears.listening import keep_nothing
from assistant.ears.makers import RecogniserOptions, chosen_name, make_recogniser
from assistant.ears.recogniser import Recogniser
from assistant.ears.typed import LineEars, read_lines
from assistant.errors import RungsideError
from assistant.flow.linked import Flow
from assistant.journal.account import Account, give_account
from assistant.journal.reading import read_journal
from assistant.journal.session import Session, Watcher, conduct
from assistant.journal.sessions import default_sessions_folder, make_session_id
from assistant.settings import Settings, read_settings, settings_file
from assistant.voice.written import PrintedVoice
from assistant.walk.ends import Ears, Heard, Voice
from assistant.walk.events import AnyEvent
from assistant.walk.hearing import Bench, weigh_heard
from assistant.walk.walk import Walk

if TYPE_CHECKING:
    from assistant.ears.microphone import MicrophoneEars


def now() -> datetime:
    """Give the time, which the rooms below are handed."""
    return datetime.now(UTC)


class Closable(Protocol):
    """Something that holds a device, a process or the terminal."""

    def close(self) -> None:
        """Let go; may be called twice."""


class Desk:
    """The things a command may need, made when they are first asked for.

    Args:
        settings: what options, environment and file say.
        is_mute: whether nothing is said aloud.
    """

    def __init__(self, settings: Settings, *, is_mute: bool) -> None:
        self.settings, self.is_mute = settings, is_mute
        self._recogniser: Recogniser | None = None
        self._ends: list[Closable] = []
        self._keeper: SoundKeeper | None = None

    @classmethod
    def open(
        cls,
        *,
        sessions: Path | None = None,
        tech: str | None = None,
        recogniser: str | None = None,
        mute: bool = False,
    ) -> Self:
        """Open a desk with what the command line says."""
        settings = read_settings(sessions=sessions, tech=tech, recogniser=recogniser)
        return cls(settings, is_mute=mute)

    def __enter__(self) -> Self:
        """Give the desk itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Let go of devices and processes."""
        for end in reversed(self._ends):
            end.close()
        if self._recogniser is not None:
            self._recogniser.close()

    @property
    def _recogniser_options(self) -> RecogniserOptions:
        return RecogniserOptions(self.settings.vosk_model, self.settings.second_ear)

    @property
    def recogniser(self) -> Recogniser:
        """Give the recogniser, made at the first use."""
        if self._recogniser is None:
            options = self._recogniser_options
            name = chosen_name(self.settings.recogniser, options)
            self._recogniser = make_recogniser(name, options)
        return self._recogniser

    def keep_sound(self) -> None:
        """Keep the sound of the answers of the walks from here on; each walk says so first."""
        self._keeper = SoundKeeper()

    def walk(
        self,
        flow: str,
        *,
        unit: str = "",
        listen: Sequence[Path] | None = None,
        answers: Path | None = None,
        is_voice: bool = False,
    ) -> int:
        """Walk a flow to its end and say what it came to; 1 when it did not get there."""
        loaded = load_safe_flow(flow)
        return self._walk(
            lambda: self.begin(loaded, unit), listen=listen, answers=answers, is_voice=is_voice
        )

    def walk_on(
        self,
        session: str,
        flow: str | None = None,
        *,
        listen: Sequence[Path] | None = None,
        answers: Path | None = None,
        is_voice: bool = False,
    ) -> int:
        """Walk a session on that was broken off, as `walk` does from its beginning."""
        return self._walk(
            lambda: self.take_up(session, flow), listen=listen, answers=answers, is_voice=is_voice
        )

    def _walk(
        self,
        begin: Callable[[], Session],
        *,
        listen: Sequence[Path] | None,
        answers: Path | None,
        is_voice: bool,
    ) -> int:
        """Open the ends, and only then the session, so that what fails leaves none behind."""
        ends = PlainEnds(self.settings)
        self._ends.append(ends)
        ears, is_aloud = self._ears(ends, listen, answers, is_voice=is_voice)
        self._ends.append(ears)
        voice = ends.speak(is_aloud=is_aloud)
        return self._walk_to_end(begin(), ears, voice, ends.watch)

    def practise(
        self, flow: str, files: Sequence[Path], *, seed: int, fault: str | None, is_auto: bool
    ) -> int:
        """Walk a simulated unit with a hidden fault and say what it was; 1 when it did not end."""
        from assistant.bench.ground import lay_ground
        from assistant.bench.practice import Coach, ShownEars, hide_fault
        from assistant.bench.technician import BenchEars
        from assistant.bench.walking import make_technician

        ground = lay_ground(load_safe_flow(flow), files)
        case = hide_fault(ground, seed, fault)
        bench = make_technician(ground.flow, ground.units[case.unit], case, ground.catalogue)
        lines = () if is_auto else typed_lines()
        show(f"{ground.units[case.unit].title}. The customer says: {bench.say_complaint()}.")
        session = self.begin(ground.flow, case.unit)
        shown = ShownEars(LineEars(lines), bench, lambda: session.state, show)
        ears = BenchEars(bench, lambda: session.state) if is_auto else shown
        voice = PrintedVoice(sys.stdout)
        coach, console = Coach(ground, case, None if is_auto else shown), Console(voice)

        def watch(events: Sequence[AnyEvent]) -> None:
            console.watch(events)
            coach.watch(events)

        code = self._walk_to_end(session, ears, voice, watch, is_followed=False)
        show("\n".join(("", *coach.summary())))
        return code

    def begin(self, flow: Flow, unit: str, after: str = "") -> Session:
        """Begin a session on disk; `after` is the session that sent the walk here."""
        return Session.begin(
            Walk(flow),
            self.settings.sessions or default_sessions_folder(),
            make_session_id(now(), unit or flow.id, secrets.token_hex(2)),
            clock=now,
            technician=self.settings.tech,
            unit=unit,
            program=f"rungside {__version__}",
            after=after,
        )

    def take_up(self, session: str, flow: str | None = None) -> Session:
        """Open a session again that was broken off; `flow` is what it was begun with."""
        folder = self.settings.sessions or default_sessions_folder()
        return take_up(session, flow, folder, now)

    def follow(self, session: Session, account: Account) -> Session | None:
        """Begin the session that a walk which was sent on goes on as; None where it was not."""
        if not account.sent_to:
            return None
        beside = session.walk.flow.file.parent / f"{account.sent_to}.yaml"
        return self.begin(load_safe_flow(str(beside)), account.unit, account.session)

    def _walk_to_end(
        self,
        session: Session,
        ears: Ears,
        voice: Voice,
        watch: Watcher,
        *,
        is_followed: bool = True,
    ) -> int:
        """Walk a session to its end and tell what it came to; 1 when it did not get there.

        A walk that is sent on to another flow goes on there, as a session of its own, unless it
        is not to be followed: a unit on the bench is there for one flow.
        """
        self._ends += [voice, ears]
        account = self._conduct(session, ears, voice, watch)
        while is_followed and (following := self.follow(session, account)) is not None:
            session = following
            account = self._conduct(session, ears, voice, watch)
        tell_end(account, session.journal.folder)
        if session.state.is_over:
            return 0
        show("The answers ended before the walk did; the session is kept, unsealed.")
        return 1

    def _conduct(self, session: Session, ears: Ears, voice: Voice, watch: Watcher) -> Account:
        """Walk one session as far as it goes, and give what it came to."""
        folder = session.journal.folder
        try:
            with ending_in_order():
                if self._keeper is not None:
                    self._keeper.begin(session, voice)
                conduct(session, ears, voice, watch)
        except Ended as ended:
            ended.sentence += f" What was acknowledged is kept in {folder}."
            raise
        except KeyboardInterrupt as error:
            raise DeskError(f"Interrupted. What was acknowledged is kept in {folder}.") from error
        except OSError as error:
            raise DeskError(
                stream_failure(error), f"What was acknowledged is kept in {folder}."
            ) from error
        finally:
            session.close()
        return give_account(read_journal(folder))

    def _ears(
        self,
        ends: PlainEnds,
        listen: Sequence[Path] | None,
        answers: Path | None,
        *,
        is_voice: bool,
    ) -> tuple[Ears, bool]:
        """Give the ears that the options ask for, and whether to speak aloud."""
        keep = self._keeper or keep_nothing
        if listen is not None:
            return FileEars(listen, self.recogniser, keep), not self.is_mute
        if answers is not None:
            is_aloud = is_voice and not self.is_mute
            return LineEars(read_lines(answers), source=answers.name), is_aloud
        if is_voice:
            return ends.listen(self.recogniser, keep), not self.is_mute
        return LineEars(typed_lines(), source="typed"), False

    def open_microphone(self, sounds: SoundEnds) -> "MicrophoneEars":
        """Open the microphone that the settings name, beside something else that answers."""
        return sounds.open_microphone(self.recogniser, self._keeper or keep_nothing)

    def hear(
        self,
        place: Bench,
        files: Sequence[Path],
        phrases: Iterable[tuple[str, str]],
        text_file: Path | None,
    ) -> Iterator[dict[str, object] | RungsideError]:
        """Give what each file and phrase comes to; a file that cannot be heard is its error.

        An empty line of a file of phrases is none.
        """
        lines = [] if text_file is None else [(text_file.name, t) for t in read_lines(text_file)]
        written = (one for one in lines if one[1].strip())
        for source, words in (*phrases, *written):
            yield weigh_heard(Heard(words.strip(), source=source), place, is_sound=False)
        for file in files:
            try:
                yield self._hear_file(place, file)
            except RungsideError as error:
                yield error

    def _hear_file(self, place: Bench, file: Path) -> dict[str, object]:
        from assistant.ears.hearing import hear_file

        heard = hear_file(file, place.expectation, self.recogniser)
        return weigh_heard(heard, place, is_sound=True)

    def examine(self, *, fetch: bool, seconds: float = METER_SECONDS) -> int:
        """Print what can be heard and said here, and how loud it is for so many seconds.

        Returns:
            1 when no answer could be heard at all.
        """
        from assistant.ears.vosk_model import fetch_vosk_model

        if fetch:
            show(f"vosk model: {fetch_vosk_model(self.settings.vosk_model)}")
        lines, can_hear = self.facts()
        for line in (*lines, *level_lines(self.settings, seconds)):
            show(line)
        return 0 if can_hear else 1

    def facts(self) -> tuple[tuple[str, ...], bool]:
        """Say what can be heard and said here, in lines, and whether an answer can be heard."""
        from assistant.voice.facts import voice_facts

        heard = ears_facts(self.settings.recogniser, self._recogniser_options)
        said = voice_facts()
        where = (
            f"settings: {settings_file()}",
            f"sessions: {self.settings.sessions or default_sessions_folder()}",
        )
        used = (*device_lines(self.settings), *voice_lines(said, self.settings))
        return (*heard.lines, *said.lines, *used, *where), heard.can_hear
