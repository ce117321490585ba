"""Typed lines and a microphone in one queue: what counts, what is dropped, who is broken off."""

import queue
import threading

import pytest

from assistant.ears.beside import TOO_LATE, TYPE_ANSWERS, BothEars, Line
from assistant.ears.sound import EarsError
from assistant.ears.talk import TalkKey
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, HungUp, Silence, Sound

OHMS = expectation_for_unit("ohm")
SAID = Heard("fourteen", source="microphone")


class Microphone:
    """A microphone that hears what it is handed, and can be broken off."""

    def __init__(self) -> None:
        self.talk = TalkKey()
        self.sounds: queue.Queue[Sound] = queue.Queue()
        self.listened = threading.Semaphore(0)
        self.is_listening = self.is_closed = False
        self.broken = 0

    def listen(self, expectation: Expectation) -> Sound:
        """Wait for a sound."""
        del expectation
        self.is_listening = True
        self.listened.release()
        try:
            return self.sounds.get(timeout=10)
        finally:
            self.is_listening = False

    def break_off(self) -> None:
        """End the listening."""
        self.broken += 1
        self.sounds.put(Silence("microphone"))

    def close(self) -> None:
        """Remember it."""
        self.is_closed = True


def _ears() -> tuple[BothEars, list[str]]:
    told: list[str] = []
    return BothEars(told.append), told


def test_a_typed_line_is_heard_as_plain_lines_are() -> None:
    """Lower case, single spaces; empty is silence; a remark is passed over."""
    ears, _ = _ears()
    for text in ("# a remark", "  Seventeen   POINT five ", ""):
        ears.put(Line(text, 0))
    assert ears.listen(OHMS) == Heard("seventeen point five", source="typed")
    assert ears.listen(OHMS) == Silence("typed")


def test_a_line_for_another_turn_is_told_and_not_taken() -> None:
    """A number never answers a step it was not typed at; "hold" may come at any turn."""
    ears, told = _ears()
    ears.turn = 3
    ears.put(Line("fourteen", 2))
    ears.put(Line("hold"))
    assert ears.listen(OHMS) == Heard("hold", source="typed")
    assert told == [TOO_LATE]


def test_hanging_up_stays_hung_up() -> None:
    """However often it is asked, closed ears hear nothing more."""
    ears, _ = _ears()
    ears.close()
    assert [HungUp("The screen was closed.")] * 2 == [ears.listen(OHMS), ears.listen(OHMS)]


def test_what_is_said_counts_while_nothing_is_typed() -> None:
    """A microphone beside the keyboard answers the turn."""
    ears, _ = _ears()
    microphone = Microphone()
    ears.add_microphone(microphone)
    microphone.sounds.put(SAID)
    assert ears.listen(OHMS) == SAID
    ears.close()
    assert microphone.is_closed


def test_what_is_typed_breaks_the_microphone_off() -> None:
    """After a typed answer the microphone no longer listens, so it cannot hear the voice."""
    ears, _ = _ears()
    microphone = Microphone()
    ears.add_microphone(microphone)

    def type_later() -> None:
        microphone.listened.acquire()
        ears.put(Line("fourteen", 0))

    typist = threading.Thread(target=type_later, daemon=True)
    typist.start()
    assert ears.listen(OHMS) == Heard("fourteen", source="typed")
    typist.join()
    assert microphone.broken >= 1
    assert not microphone.is_listening
    ears.close()


def test_what_was_said_to_the_turn_before_is_no_answer_now() -> None:
    """Sound of a listening that was broken off does not answer the next turn."""
    ears, _ = _ears()
    microphone = Microphone()
    microphone.break_off = lambda: microphone.sounds.put(SAID)  # type: ignore[method-assign]
    ears.add_microphone(microphone)
    ears.put(Line("fifteen", 0))
    assert ears.listen(OHMS) == Heard("fifteen", source="typed")
    ears.put(Line("sixteen", 0))
    assert ears.listen(OHMS) == Heard("sixteen", source="typed")
    ears.close()


def test_silence_while_something_is_being_typed_is_no_answer() -> None:
    """Nobody is told "I heard nothing" in the middle of typing."""
    told: list[str] = []
    ears = BothEars(told.append, lambda: True)
    microphone = Microphone()
    ears.add_microphone(microphone)
    microphone.sounds.put(Silence("microphone"))
    microphone.sounds.put(SAID)
    assert ears.listen(OHMS) == SAID
    ears.close()


def test_silence_is_an_answer_where_nothing_is_typed() -> None:
    """The walk decides what silence means."""
    ears, _ = _ears()
    microphone = Microphone()
    ears.add_microphone(microphone)
    microphone.sounds.put(Silence("microphone"))
    assert ears.listen(OHMS) == Silence("microphone")
    ears.close()


def test_a_microphone_that_is_gone_leaves_the_keyboard() -> None:
    """It is told in a sentence, and the typed answer counts."""
    ears, told = _ears()
    microphone = Microphone()
    ears.add_microphone(microphone)
    microphone.sounds.put(HungUp("The microphone gives no sound any more."))
    typist = threading.Timer(0.2, lambda: ears.put(Line("fourteen", 0)))
    typist.start()
    assert ears.listen(OHMS) == Heard("fourteen", source="typed")
    assert told == [f"The microphone gives no sound any more. {TYPE_ANSWERS}"]
    assert microphone.is_closed
    assert not ears.has_microphone


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (EarsError("The recogniser could not be started again.", "Try doctor."), "Try doctor."),
        (RuntimeError("no decoder"), "no decoder"),
    ],
)
def test_ears_that_fail_are_told_and_the_keyboard_goes_on(error: Exception, why: str) -> None:
    """A recogniser that breaks in the microphone's thread must not leave the walk deaf and silent.

    One who looks at the screen can then type; nothing that was answered is lost.
    """
    told: queue.Queue[str] = queue.Queue()
    ears = BothEars(told.put)
    microphone = Microphone()

    def fail(_: Expectation) -> Sound:
        raise error

    microphone.listen = fail  # type: ignore[assignment,method-assign]
    ears.add_microphone(microphone)
    sentences: list[str] = []

    def type_when_told() -> None:
        sentences.append(told.get(timeout=10))
        ears.put(Line("fourteen", 0))

    typist = threading.Thread(target=type_when_told, daemon=True)
    typist.start()
    assert ears.listen(OHMS) == Heard("fourteen", source="typed")
    typist.join()
    assert [why in one and one.endswith(TYPE_ANSWERS) for one in sentences] == [True]
    assert not ears.has_microphone
    assert microphone.is_closed
