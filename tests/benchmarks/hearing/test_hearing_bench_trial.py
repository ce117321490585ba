"""A trial of the hearing bench from the first word to the end, with a recogniser by script."""

import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import false_triggers
import numpy as np
import pytest
from costs import peak_megabytes, processor_seconds, workers
from false_triggers import listened, noise_minute, talk_minute
from scoring import Outcome
from sounds import write_samples
from streaming import Clock, endless, stream
from trial import Table, Trial

from assistant.ears.detector import FRAME
from assistant.ears.listening import Listener
from assistant.ears.recogniser import Hypothesis
from assistant.ears.sound import RATE, Samples, read_sound
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Expectation

SPOKEN = Path(__file__).parents[2] / "ears" / "data" / "over_limit.wav"


class Scripted:
    """A recogniser that hears what a function of the expectation says."""

    name = "scripted"

    def __init__(self, words: Callable[[Expectation], str]) -> None:
        self._words, self._expectation = words, Expectation()

    def begin(self, expectation: Expectation) -> None:
        """Remember what is expected."""
        self._expectation = expectation

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Hear nothing of it."""

    def finish(self, is_enough: object = None) -> Hypothesis:
        """Say what the script says."""
        del is_enough
        return Hypothesis(self._words(self._expectation))

    def compare(self, phrases: object) -> dict[str, float]:
        """Fit nothing."""
        del phrases
        return {}

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Lack nothing."""
        del words
        return ()

    def close(self) -> None:
        """Hold nothing."""


def trial_of(tmp_path: Path, value: str, words: Callable[[Expectation], str]) -> Trial:
    """Run a trial for 17.5 ohms or another value, with any speech as its sound."""
    sound = read_sound(SPOKEN).samples
    write_samples(tmp_path / "dry" / "any.wav", sound[sound.nonzero()[0][0] :])
    truth = {"value": value, "unit": "ohm", "over_limit": False, "command": ""}
    line = {
        "file": "mixed/none.wav",
        "parts": ["any.wav"],
        "place": "ohm",
        "truth": truth,
        "part": "tuning",
        **dict.fromkeys(("yes", "no", "clear"), "any.wav"),
        "pause": 0.0,
        "noise": "none",
        "snr": None,
        "distance": "near",
        "band": "16k",
        "seed": 4,
    }
    return Table(tmp_path, Scripted(words)).run(line)


def by_turn(answer: str, again: str, confirm: str) -> Callable[[Expectation], str]:
    """Say one thing to the step, another to the step by digits, a third to yes or no."""

    def words(expectation: Expectation) -> str:
        if expectation.number is None:
            return confirm
        return again if expectation.digits_only else answer

    return words


@pytest.mark.parametrize(
    ("value", "answer", "again", "confirm", "outcome", "how", "turns"),
    [
        ("4", "four", "", "", Outcome.AT_ONCE, "", 1),
        ("17.5", "seventeen point five", "", "yes", Outcome.AFTER_ONE, "", 2),
        ("17.5", "four", "", "", Outcome.WRONG, "believed", 1),
        ("17.5", "seventy point five", "", "yes", Outcome.WRONG, "confirmed", 2),
        ("4", "seventy point five", "four", "no", Outcome.AFTER_MORE, "", 3),
        ("4", "seventy point five", "six", "no", Outcome.WRONG, "again", 3),
        ("4", "seventy point five", "seven zero point five", "no", Outcome.REFUSED, "", 6),
        ("17.5", "seventeen point five", "", "", Outcome.REFUSED, "", 3),
        ("17.5", "", "", "", Outcome.REFUSED, "", 3),
        ("17.5", "help", "", "", Outcome.REFUSED, "", 3),
    ],
)
def test_a_trial_ends_as_its_answers_say(  # noqa: PLR0913, PLR0917 - a table
    tmp_path: Path,
    value: str,
    answer: str,
    again: str,
    confirm: str,
    outcome: Outcome,
    how: str,
    turns: int,
) -> None:
    """Believed, confirmed, denied and said by digits, refused three times, a command unsaid."""
    trial = trial_of(tmp_path, value, by_turn(answer, again, confirm))
    assert (outcome, how, turns) == (trial.outcome, trial.how, trial.turns)
    assert (["help"] * 3 if answer == "help" else []) == trial.commands


def test_the_answer_ends_behind_the_speech() -> None:
    """The stream is heard with its endpointer, and goes on for as long as that takes."""
    sound = read_sound(SPOKEN).samples
    place = Listener(Scripted(lambda _: "over limit"))
    found = stream(sound, expectation_for_unit("ohm"), place)
    assert "over limit" == found.heard.words
    assert found.ended > len(sound) / RATE - 0.5
    still = stream(np.zeros(RATE, np.int16), expectation_for_unit("ohm"), place)
    assert "" == still.heard.words


def test_a_recording_goes_on_as_the_place_does() -> None:
    """Behind its end come its last frames again, and it does end."""
    frames = list(endless(np.arange(2 * RATE, dtype=np.int16)))
    assert len(frames) * FRAME > 15 * RATE
    assert np.array_equal(frames[99], frames[99 + 75])


def test_the_clock_is_a_live_microphones() -> None:
    """Work within a frame's time is done when it ends; work behind a long one waits for it."""
    clock = Clock(arrived=0.02)
    clock.work(0.01)
    assert 0.03 == pytest.approx(clock.done)
    clock.arrived = 0.04
    clock.work(0.5)
    clock.arrived = 0.06
    clock.work(0.01)
    assert 0.55 == pytest.approx(clock.done)
    assert 0.52 == pytest.approx(clock.busy)


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="workers are read in /proc")
def test_a_workers_cost_is_counted() -> None:
    """A child that works for a moment adds its processor time and its memory."""
    before = peak_megabytes()
    work = "print(flush=True); sum(i * i for i in range(3_000_000)); print(flush=True); input()"
    command = [sys.executable, "-c", work]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as child:
        assert child.stdin is not None
        assert child.stdout is not None
        child.stdout.readline()
        helpers = workers()
        begun = processor_seconds(helpers) - time.process_time()
        child.stdout.readline()
        assert processor_seconds(helpers) - time.process_time() > begun
        assert peak_megabytes() > before
        child.stdin.write(b"\n")
        child.stdin.flush()
    assert 0.0 == pytest.approx(processor_seconds(helpers) - time.process_time(), abs=1e-3)


def test_what_noise_is_taken_for_is_counted() -> None:
    """One answer in a minute that is quiet but for it: a number believed, and what it was."""
    minute = np.zeros(20 * RATE, np.int16)
    sound = read_sound(SPOKEN).samples
    minute[RATE : RATE + len(sound)] = sound
    for words, believed, asked in (("four", 1, 0), ("seventeen", 0, 1), ("", 0, 0)):
        found = listened(minute, "ohm", Scripted(lambda _, said=words: said))  # type: ignore[misc]
        assert (believed, asked) == (found["numbers"], found["asked"])
        assert int(bool(words)) == found["triggers"]


def test_minutes_repeat(monkeypatch: pytest.MonkeyPatch) -> None:
    """A minute of noise or talk is the same in every run, and no two are alike."""
    monkeypatch.setattr(false_triggers, "_MINUTE", 3 * RATE)
    said = [np.sin(np.arange(RATE) / 9.0)]
    for make in (noise_minute, lambda number: talk_minute(number, said, said)):
        assert np.array_equal(make(3), make(3))
        assert not np.array_equal(make(3), make(4))
