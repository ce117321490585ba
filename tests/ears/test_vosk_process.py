"""The vosk process may die or hang: a walk is told nothing was heard, and goes on."""

import os
import signal
from collections.abc import Iterator

import pytest
from ears_tools import quiet, recorded
from test_recogniser_contract import KOREAN_DIGITS, korean_model

from assistant.ears import vosk_ear, worker_process
from assistant.ears.sound import EarsError
from assistant.ears.vosk_ear import UNKNOWN, VoskRecogniser
from assistant.ears.worker_process import WorkerGoneError
from assistant.spoken.expectations import expectation_for_unit


@pytest.fixture
def vosk() -> Iterator[VoskRecogniser]:
    """Give a recogniser on the Korean model, closed behind the test."""
    recogniser = VoskRecogniser(korean_model())
    yield recogniser
    recogniser.close()


def process_id(recogniser: VoskRecogniser) -> int:
    """Give the worker's process."""
    assert recogniser._process is not None
    return recogniser._process.number


def test_a_death_costs_one_answer(vosk: VoskRecogniser) -> None:
    """Killed in the middle: no words and why; the next answer is heard by a new process."""
    vosk.listen_for(KOREAN_DIGITS)
    vosk.feed(recorded("korean_two_four_zero"))
    first = process_id(vosk)
    os.kill(first, signal.SIGKILL)
    found = vosk.finish()
    assert (found.words, found.alternatives) == ("", ())
    assert "started again" in found.why
    vosk.listen_for(KOREAN_DIGITS)
    vosk.feed(recorded("korean_two_four_zero"))
    assert vosk.finish().words.startswith("이 사")
    assert first != process_id(vosk)


def test_a_death_between_answers_is_not_noticed(vosk: VoskRecogniser) -> None:
    """Killed while nobody speaks: the next answer is heard."""
    os.kill(process_id(vosk), signal.SIGKILL)
    vosk.listen_for(KOREAN_DIGITS)
    vosk.feed(recorded("korean_two_four_zero"))
    assert vosk.finish().words.startswith("이 사")


def test_a_hung_process_is_given_up(vosk: VoskRecogniser, monkeypatch: pytest.MonkeyPatch) -> None:
    """One that does not answer in time is ended like a dead one."""
    vosk.listen_for(KOREAN_DIGITS)
    monkeypatch.setattr(worker_process, "ANSWER_SECONDS", 0.2)
    monkeypatch.setattr(worker_process, "_ENDING_SECONDS", 0.2)
    hung = process_id(vosk)
    os.kill(hung, signal.SIGSTOP)
    assert vosk.finish().words == ""
    assert hung != process_id(vosk)


def test_speech_it_calls_unknown_is_no_answer(
    vosk: VoskRecogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A best guess with the unknown word in it gives no words; a lesser one is no alternative."""

    def say(*texts: str) -> None:
        assert vosk._process is not None
        monkeypatch.setattr(vosk._process, "ask", lambda _: {"words": list(texts)})

    say(f"two {UNKNOWN}", "two")
    assert vosk.finish().words == ""
    say("two", f"two {UNKNOWN}", "", "three", "two")
    assert ("two", ("three",)) == (vosk.finish().words, vosk.finish().alternatives)
    say("")
    assert vosk.finish().words == ""
    say("back", "two")
    assert vosk.finish().words == ""
    say("two", "back please")
    assert ("two", ()) == (vosk.finish().words, vosk.finish().alternatives)


def test_a_model_of_another_language_is_told(vosk: VoskRecogniser) -> None:
    """A turn of which it knows no word cannot be listened for, instead of hearing anything."""
    with pytest.raises(EarsError, match="knows none of the words"):
        vosk.begin(expectation_for_unit("yes_no"))


def test_a_turn_without_sound_is_nothing(vosk: VoskRecogniser) -> None:
    """Silence for a second comes to no words."""
    vosk.listen_for(KOREAN_DIGITS)
    vosk.feed(quiet(1.0))
    assert vosk.finish().words == ""


def test_the_worker_ends_with_its_input(vosk: VoskRecogniser) -> None:
    """Closing leaves no process behind."""
    running = process_id(vosk)
    vosk.close()
    with pytest.raises(ProcessLookupError):
        os.kill(running, 0)


def test_a_process_that_cannot_start_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the process never comes up the message names the model."""

    def fail(*given: object) -> None:
        raise WorkerGoneError(given)

    monkeypatch.setattr(vosk_ear, "WorkerProcess", fail)
    with pytest.raises(EarsError, match="vosk could not load the model in"):
        VoskRecogniser(korean_model())
