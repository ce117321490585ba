"""Words become sound through a process that may hang or die; tried on the real engine."""

import array
import math
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.voice.engines import Order
from assistant.voice.errors import VoiceError
from assistant.voice.process import SpeechProcess, worker_command
from assistant.voice.samples import NOTHING, Samples
from assistant.voice.synthesis import Synthesiser
from assistant.voice.worker import PACKAGED

PROMPT = "Set the meter to ohms. Put one probe on the common lead."
CAUTION = "Caution. The capacitor can hold a charge. Bleed it, then measure it."
FAKE_HEAD = (
    '{"why": "", "bytes": 0, "engine": "x", "origin": "system", "version": "", "voices": []}'
)


def loudness(samples: Samples) -> float:
    """Give the root mean square of the samples."""
    levels = array.array("h", samples.data)
    return math.sqrt(sum(level * level for level in levels) / len(levels))


def is_running(pid: int) -> bool:
    """Tell whether a process is there and is no zombie."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state != "Z"


def wait_until_gone(pid: int, seconds: float) -> bool:
    """Wait for a process to end; tell whether it did."""
    deadline = time.monotonic() + seconds
    while is_running(pid) and time.monotonic() < deadline:
        time.sleep(0.02)
    return not is_running(pid)


@pytest.fixture
def synthesiser() -> Iterator[Synthesiser]:
    """Give one that is closed afterwards."""
    with Synthesiser() as made:
        yield made


def test_prompt_becomes_sound_of_a_sane_length(synthesiser: Synthesiser) -> None:
    """Eleven words at 165 a minute take about four seconds and are loud enough to hear."""
    sound = synthesiser.render(PROMPT)
    assert 2.5 < sound.seconds < 6
    assert loudness(sound) > 500


@pytest.mark.parametrize("text", ["", "   ", "\n", "...", "\x00", "?!"])
def test_nothing_to_say_needs_no_engine(synthesiser: Synthesiser, text: str) -> None:
    """Text without a letter or digit gives no samples and starts nothing."""
    assert NOTHING == synthesiser.render(text)
    assert synthesiser.pid is None


@pytest.mark.parametrize(
    "text", ["a\x00b", "\ud800 volts", "<b>bold</b> & 3/4", "éµ ohms", "1" * 200]
)
def test_odd_text_is_said_or_left_out_but_never_stops_it(
    synthesiser: Synthesiser, text: str
) -> None:
    """Control characters, lone surrogates, markup and long numbers do not end the process."""
    assert synthesiser.render(text).frames > 0
    first = synthesiser.pid
    assert synthesiser.render("Yes.").frames > 0
    assert first == synthesiser.pid


def test_every_rendering_is_whole_whatever_was_asked_before(synthesiser: Synthesiser) -> None:
    """The same text at the same rate lasts the same, in 60 renderings of changing settings.

    A rendering that is cut short would be half a caution.
    """
    lengths: dict[tuple[str, int], list[float]] = {}
    for turn in range(60):
        text, rate = (PROMPT, CAUTION, "Yes.")[turn % 3], (120, 165, 200, 285)[turn // 3 % 4]
        sound = synthesiser.render(text, rate, (0.4, 1.0)[turn % 2])
        lengths.setdefault((text, rate), []).append(sound.seconds)
    assert len(lengths) == 12
    for seconds in lengths.values():
        assert max(seconds) - min(seconds) < 0.1


def test_slower_lasts_longer_and_louder_is_louder(synthesiser: Synthesiser) -> None:
    """Rate and volume do what they say, each without touching the other."""
    usual = synthesiser.render(PROMPT, 165, 0.8)
    slow = synthesiser.render(PROMPT, 110, 0.8)
    quiet = synthesiser.render(PROMPT, 165, 0.4)
    assert slow.seconds > 1.3 * usual.seconds
    assert loudness(usual) > 1.7 * loudness(quiet)
    assert pytest.approx(usual.seconds, abs=0.1) == quiet.seconds


def test_killed_process_is_replaced_within_two_seconds(synthesiser: Synthesiser) -> None:
    """After each kill -9 another process renders the next text whole; no zombie stays."""
    whole = synthesiser.render(PROMPT).seconds
    for _ in range(5):
        before = synthesiser.pid
        assert before is not None
        os.kill(before, signal.SIGKILL)
        start = time.monotonic()
        assert pytest.approx(whole, abs=0.1) == synthesiser.render(PROMPT).seconds
        assert time.monotonic() - start < 2
        assert before != synthesiser.pid
        assert not Path(f"/proc/{before}").exists()


def test_hung_process_is_replaced_within_two_seconds(synthesiser: Synthesiser) -> None:
    """A process that does not answer any more is killed and the text rendered by another one."""
    synthesiser.render("Yes.")
    before = synthesiser.pid
    assert before is not None
    os.kill(before, signal.SIGSTOP)
    start = time.monotonic()
    assert synthesiser.render(PROMPT).seconds > 2.5
    assert time.monotonic() - start < 2
    assert not Path(f"/proc/{before}").exists()


def fake_start(
    script: str, starts: list[tuple[str, ...]], render_seconds: float = 0.1
) -> Synthesiser:
    """Give a synthesiser whose process is a script, counting the starts."""

    def start(*options: str) -> SpeechProcess:
        starts.append(options)
        return SpeechProcess((sys.executable, "-c", script))

    return Synthesiser(start, render_seconds=render_seconds)


HEAD = f"print('{FAKE_HEAD}', flush=True); "
NO_SOUND = 'print(\'{"why": "", "bytes": 999}\', flush=True)'
NO_WAV = 'print(\'{"why": "", "bytes": 3}\\nabc\', end="", flush=True); input()'
BROKEN = {
    "silent": (HEAD + "import time; time.sleep(60)", "did not answer"),
    "ends": (HEAD + "input()", "is gone"),
    "babbles": ("print('no json at all', flush=True); input()", "is gone"),
    "refuses": ('print(\'{"why": "No voice.", "bytes": 0}\', flush=True); input()', "No voice."),
    "half": (HEAD + "input(); " + NO_SOUND, "is gone"),
    "no wav": (HEAD + "input(); " + NO_WAV, "no readable WAV"),
}


@pytest.mark.parametrize(("script", "why"), BROKEN.values(), ids=BROKEN)
def test_gives_up_with_one_sentence(script: str, why: str) -> None:
    """A process that always fails is started three times a text, for two texts, then no more."""
    starts: list[tuple[str, ...]] = []
    with fake_start(script, starts) as synthesiser:
        for expected in (why, why, "given up"):
            with pytest.raises(VoiceError, match=expected) as caught:
                synthesiser.render("Yes.")
            assert "\n" not in caught.value.message
    assert len(starts) == 6


def test_broken_system_library_is_gone_round() -> None:
    """When the first start fails, the next one takes the packaged library."""
    options_seen: list[tuple[str, ...]] = []

    def start(*options: str) -> SpeechProcess:
        options_seen.append(options)
        command = (
            worker_command(*options) if options else (sys.executable, "-c", "raise SystemExit")
        )
        return SpeechProcess(command)

    with Synthesiser(start) as synthesiser:
        assert synthesiser.render("Yes.").frames > 0
        assert "packaged" == synthesiser.facts().origin
    assert [(), (PACKAGED,)] == options_seen


def test_unknown_voice_is_named(synthesiser: Synthesiser) -> None:
    """A voice that is not there is told by its name."""
    with pytest.raises(VoiceError, match="no voice named klingon"):
        synthesiser.render("Yes.", voice="klingon")


def test_another_voice_does_not_stay(synthesiser: Synthesiser) -> None:
    """A voice asked for once is not used for the next text."""
    number = "1999"
    usual = synthesiser.render(number).seconds
    other = synthesiser.render(number, voice="gmw/de").seconds
    assert pytest.approx(usual, abs=0.1) == synthesiser.render(number).seconds
    assert abs(usual - other) > 0.3


def test_several_threads_share_one_process(synthesiser: Synthesiser) -> None:
    """Each of eight threads gets its own text whole."""
    expected = {rate: synthesiser.render(PROMPT, rate).seconds for rate in range(120, 280, 20)}
    found: dict[int, float] = {}

    def render(rate: int) -> None:
        found[rate] = synthesiser.render(PROMPT, rate).seconds

    threads = [threading.Thread(target=render, args=(rate,)) for rate in expected]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert expected == pytest.approx(found, abs=0.1)


def test_closing_leaves_nothing_and_can_be_done_twice(tmp_path: Path) -> None:
    """After closing there is no process and no folder, and a later text still comes out."""
    synthesiser = Synthesiser()
    synthesiser.render("Yes.")
    pid = synthesiser.pid
    assert pid is not None
    folder = Path(Path(f"/proc/{pid}/cmdline").read_bytes().split(b"\0")[-2].decode())
    assert folder.is_dir()
    synthesiser.close()
    synthesiser.close()
    assert not Path(f"/proc/{pid}").exists()
    assert not folder.exists()
    assert synthesiser.render("Yes.").frames > 0
    synthesiser.close()
    assert list(tmp_path.iterdir()) == []


PARENT = """
import os, sys, threading, time
from assistant.voice.synthesis import Synthesiser
made = Synthesiser(render_seconds=60)
made.render("Yes.")
print(made.pid, flush=True)
if sys.argv[1] == "busy":
    text = "Set the meter to ohms. " * 20000
    threading.Thread(target=made.render, args=(text,), daemon=True).start()
    time.sleep(0.2)
    print("busy", flush=True)
time.sleep(60)
"""


@pytest.mark.parametrize("state", ["idle", "busy"])
def test_process_dies_with_its_parent(state: str) -> None:
    """Kill -9 of the parent ends the process too, even in the middle of a long text.

    And nothing but what the parent printed stands on its standard output.
    """
    with subprocess.Popen(
        [sys.executable, "-c", PARENT, state], stdout=subprocess.PIPE, text=True
    ) as parent:
        assert parent.stdout is not None
        pid = int(parent.stdout.readline())
        if state == "busy":
            assert "busy\n" == parent.stdout.readline()
        assert is_running(pid)
        parent.kill()
        assert "" == parent.stdout.read()
    assert wait_until_gone(pid, 3)


def test_ctrl_c_reaches_only_the_parent(synthesiser: Synthesiser) -> None:
    """The process has a session of its own and ignores the interrupt besides."""
    synthesiser.render("Yes.")
    pid = synthesiser.pid
    assert pid is not None
    assert os.getsid(pid) != os.getsid(0)
    os.kill(pid, signal.SIGINT)
    synthesiser.render("Yes.")
    assert pid == synthesiser.pid


def test_files_in_the_current_folder_are_not_taken_for_modules(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file named as a module of Python's own does not keep the voice from speaking."""
    (tmp_path / "json.py").write_text("raise SystemExit('wrong json')")
    monkeypatch.chdir(tmp_path)
    with Synthesiser() as synthesiser:
        assert synthesiser.render("Yes.").frames > 0


def test_packaged_library_speaks() -> None:
    """The library that came with our installation renders by itself."""
    with Synthesiser(lambda *_: SpeechProcess(worker_command(PACKAGED))) as synthesiser:
        assert synthesiser.render(PROMPT).seconds > 2.5
        facts = synthesiser.facts()
    assert ("espeak", "packaged") == (facts.engine, facts.origin)
    assert "gmw/en-US" in facts.voices


def test_orders_are_plain_records() -> None:
    """An order says all that the process must know."""
    assert Order("Yes.", 165, 0.8, "", 2.0) == Order("Yes.", 165, 0.8)


def test_command_that_is_not_there_is_one_sentence() -> None:
    """A process that cannot be started at all is told, not raised as it comes."""
    with pytest.raises(VoiceError, match="does not start"):
        SpeechProcess(("/no/such/command",))


NOISY = """
import os
from assistant.voice import worker
quiet = worker.carry_out
def carry_out(engine, line):
    print("Audio saved", flush=True)
    os.system("echo from a command")
    return quiet(engine, line)
worker.carry_out = carry_out
worker.main()
"""


def test_what_libraries_print_is_no_answer() -> None:
    """Words on the process's standard output, from Python or a command, disturb no answer."""
    starts: list[tuple[str, ...]] = []
    with fake_start(NOISY, starts, render_seconds=5) as synthesiser:
        for _ in range(3):
            assert synthesiser.render(PROMPT).seconds > 2.5
    assert [()] == starts


def test_one_lost_text_is_forgotten_when_speech_comes_back() -> None:
    """Texts are given up for good only when they fail one after the other."""
    scripts = [BROKEN["ends"][0]] * 3 + [""] + [BROKEN["ends"][0]] * 3 + [""]

    def start(*options: str) -> SpeechProcess:
        script = scripts.pop(0)
        return SpeechProcess((sys.executable, "-c", script) if script else worker_command(*options))

    with Synthesiser(start) as synthesiser:
        for _ in range(2):
            with pytest.raises(VoiceError):
                synthesiser.render("Yes.")
            assert synthesiser.render("Yes.").frames > 0
            synthesiser.close()
