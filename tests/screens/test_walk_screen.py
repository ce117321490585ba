"""The walk screen, driven as a person would: what is visible, what is kept, how one leaves."""

import json
from pathlib import Path

import pytest
from screen_driver import (
    SIZES,
    TO_CAN,
    TO_END,
    Seat,
    kettle_errand,
    only_session,
    run_walk,
    told,
)
from textual.widgets import Input

from assistant.desk.desk import Desk
from assistant.desk.errands import WalkErrand
from assistant.devices import Devices
from assistant.journal.transcript import OPEN, TRANSCRIPT
from assistant.screens.walking.keys import SPOKEN_KEYS
from assistant.screens.walking.leaving import LeaveScreen
from assistant.screens.widgets.blocks import CautionBlock
from assistant.settings import Settings


def kinds(folder: Path) -> list[str]:
    """Give the kinds of the events of the one session in a folder."""
    return [event["kind"] for event in told(only_session(folder))]


@pytest.mark.parametrize("size", SIZES)
def test_a_step_shows_what_is_asked_and_expected(tmp_path: Path, size: tuple[int, int]) -> None:
    """Prompt, places in words, unit, range, OL, nameplate and keys are visible at every size."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer(*TO_CAN)
        await seat.see("Microfarads of the capacitor. Expect about 10 µF.")
        for words in (
            "Probe 1: first capacitor terminal. Probe 2: second capacitor terminal.",
            "Expected: microfarads, about 0 to 150, rating 10 µF, or OL.",
            "CAPACITOR",
            "├─(1)─",
            "└─(2)─",
            "rated: 10 µF",
            "Heard: leads are apart",
            "F2 hold",
            "F6 stop",
            "Ctrl+Q leave",
        ):
            assert words in seat.flat, (words, seat.text)

    run_walk(kettle_errand(tmp_path), script, size)


@pytest.mark.parametrize("size", SIZES)
def test_a_caution_stands_alone_until_it_is_answered(tmp_path: Path, size: tuple[int, int]) -> None:
    """The whole caution and its answer are visible; another answer leaves it where it is."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer("it runs", "ten")
        await seat.see("CAUTION: answer it before anything else")
        assert 'Say or type: "I will lock it out"' in seat.flat
        await seat.answer("locked out")
        assert len(seat.walk.query(CautionBlock)) == 1
        await seat.answer("lock it out")
        assert len(seat.walk.query(CautionBlock)) == 0

    run_walk(kettle_errand(tmp_path), script, size)
    assert kinds(tmp_path).count("caution_given") == 1


@pytest.mark.parametrize("size", SIZES)
def test_a_verdict_is_a_word_with_its_band(tmp_path: Path, size: tuple[int, int]) -> None:
    """The word, what was read, why, and where it fell; the foot says it even when scrolled off."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer(*TO_CAN, "six point two", "yes")
        await seat.see("Heard: yes · can reading 6.2 µF FAILS")
        await seat.press("pageup")
        await seat.press("pagedown")
        assert "6.2 µF: below the limit of 9.4" in seat.flat
        assert "FOUND Run capacitor" in seat.flat or size == (50, 30)

    run_walk(kettle_errand(tmp_path), script, size)


def test_the_whole_walk_is_kept_and_sealed(tmp_path: Path) -> None:
    """At the end: the outcome, the seal's code, where the record is; the journal is sealed."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer(*TO_END)
        await seat.see("No fault was found: Kettle bench, K-1.")
        session = only_session(tmp_path)
        sealed = json.loads((session / "journal.jsonl").read_text("utf-8").splitlines()[-1])
        assert f"Seal code: {sealed['data']['code']}" in seat.flat
        assert session.name in seat.flat.replace(" ", "")
        await seat.press("q")

    app = run_walk(kettle_errand(tmp_path), script, (120, 40))
    assert app.return_value == 0
    assert "ended" in kinds(tmp_path)


def test_what_is_shown_is_on_disk_before(tmp_path: Path) -> None:
    """At every turn that is shown, the journal already holds what was heard."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        for line in TO_CAN:
            await seat.answer(line)
            assert line in [e.get("words") for e in told(only_session(tmp_path))]

    run_walk(kettle_errand(tmp_path), script)


@pytest.mark.parametrize("key", SPOKEN_KEYS, ids=lambda key: str(key.words))
def test_a_key_does_just_what_its_words_do(tmp_path: Path, key: object) -> None:
    """Each key gives the same events as typing the words it is listed with."""
    assert isinstance(key, type(SPOKEN_KEYS[0]))

    async def by_key(seat: Seat) -> None:
        await seat.begun()
        await seat.answer("it runs")
        turn = seat.turn
        await seat.press(key.key)
        await seat.until(lambda: seat.is_past(turn), key.words)

    async def by_words(seat: Seat) -> None:
        await seat.begun()
        await seat.answer("it runs", key.words)

    run_walk(kettle_errand(tmp_path / "key"), by_key)
    run_walk(kettle_errand(tmp_path / "words"), by_words)
    assert told(only_session(tmp_path / "words")) == told(only_session(tmp_path / "key"))


def test_hold_holds_and_the_same_key_goes_on(tmp_path: Path) -> None:
    """On hold the screen says so, no answer counts, and F2 is then "go ahead"."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        turn = seat.turn
        await seat.press("f2")
        await seat.until(lambda: seat.is_past(turn), "hold")
        await seat.see("ON HOLD.")
        assert "F2 go ahead" in seat.text
        await seat.answer("it runs")
        assert "ON HOLD." in seat.text
        turn = seat.turn
        await seat.press("f2")
        await seat.until(lambda: seat.is_past(turn), "go ahead")
        await seat.see("What does it do?")
        assert "ON HOLD." not in seat.text

    run_walk(kettle_errand(tmp_path), script)
    assert "answered" not in kinds(tmp_path)


def test_a_line_begun_at_one_turn_is_not_sent_at_the_next(tmp_path: Path) -> None:
    """Typing that began before the step changed waits for a look, and a second Enter sends it."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer("it runs")
        entry = seat.walk.query_one("#answer", Input)
        entry.value = "ten"
        await seat.pilot.pause()
        turn = seat.turn
        await seat.press("f3")
        await seat.until(lambda: seat.is_past(turn), "repeat")
        turn = seat.turn
        await seat.press("enter")
        await seat.see("The step changed while you were typing.")
        assert entry.value == "ten"
        assert seat.turn == turn
        await seat.press("enter")
        await seat.until(lambda: seat.is_past(turn), "the second Enter")
        assert seat.walk.query_one("#answer", Input).value == ""

    run_walk(kettle_errand(tmp_path), script)
    assert "took" in kinds(tmp_path)


@pytest.mark.parametrize("key", ["ctrl+c", "ctrl+q"])
def test_leaving_in_the_middle_asks_once(tmp_path: Path, key: str) -> None:
    """The question says where the session is; no goes on, yes keeps it unsealed."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer("it runs")
        await seat.press(key)
        assert isinstance(seat.app.screen, LeaveScreen)
        assert only_session(tmp_path).name[:30] in seat.text
        await seat.press("n")
        await seat.answer("ten")
        await seat.press(key, key)
        await seat.until(lambda: seat.app._exit, "leaving")

    app = run_walk(kettle_errand(tmp_path), script)
    assert app.return_value == 1
    assert kinds(tmp_path)[-1] == "hung_up"
    assert "took" in kinds(tmp_path)
    told = (only_session(tmp_path) / TRANSCRIPT).read_text(encoding="utf-8")
    assert told.rstrip().endswith(OPEN)


def test_without_a_microphone_the_walk_goes_on_by_typing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No microphone and no loudspeaker are told in a sentence, and the typed answer counts."""
    monkeypatch.setattr("assistant.ears.capture.microphones", lambda: Devices("Null"))
    monkeypatch.setattr("assistant.voice.watched.loudspeakers", lambda: Devices("Null"))

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.see("There is no microphone on this machine.")
        assert "No loudspeaker was found, so it is only shown." in seat.flat
        assert "Type the answers meanwhile." in seat.flat
        await seat.answer("it runs")
        assert "no microphone" not in seat.text

    run_walk(kettle_errand(tmp_path, is_voice=True, mute=False), script)
    assert "answered" in kinds(tmp_path)


def test_a_flow_that_does_not_load_says_why(tmp_path: Path) -> None:
    """A missing flow is one sentence on the screen, and quitting is a key away."""

    async def script(seat: Seat) -> None:
        await seat.see("There is no flow 'no-such'")
        assert "Q quit" in seat.text
        await seat.press("q")

    errand = WalkErrand(Desk(Settings(sessions=tmp_path), is_mute=True), "no-such")
    assert run_walk(errand, script).return_value == 1
    assert not list(tmp_path.iterdir())


def test_a_record_that_cannot_be_written_can_be_tried_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing of the turn is shown, the sentence says so, and T goes on from where it stood."""
    from assistant.journal.errors import JournalError
    from assistant.journal.store import Journal

    real, broken = Journal.append, [True]

    def append(self: Journal, events: object) -> object:
        if broken[0]:
            raise JournalError("The disk is full.", "Make room.")
        return real(self, events)  # type: ignore[arg-type]

    async def script(seat: Seat) -> None:
        await seat.begun()
        monkeypatch.setattr(Journal, "append", append)
        seat.walk.query_one("#answer", Input).value = "it runs"
        await seat.press("enter")
        await seat.see("The disk is full.")
        assert "What was acknowledged is kept in" in seat.flat
        assert "You typed: it runs" not in seat.text
        broken[0] = False
        await seat.press("t")
        await seat.until(lambda: seat.turn == 2, "the same turn again")
        await seat.answer("it runs")
        assert "You typed: it runs" in seat.text

    run_walk(kettle_errand(tmp_path), script)
    assert kinds(tmp_path).count("answered") == 1


def test_a_long_note_emoji_and_right_to_left_words_break_nothing(tmp_path: Path) -> None:
    """What is typed is shown as it is, mark-up signs too, and the walk goes on."""
    note = "note [bold]pan[/] 💧 " + "שלום " * 60

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer(note)
        assert "[bold]pan[/] 💧" in seat.text
        await seat.answer("it runs")
        await seat.see("Rated microfarads on the label?")

    run_walk(kettle_errand(tmp_path), script, (50, 30))
    assert "noted" in kinds(tmp_path)


def test_resizing_in_the_middle_keeps_the_step_in_sight(tmp_path: Path) -> None:
    """Through all three sizes and a tiny one, the step and the answer's line stay visible."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer(*TO_CAN)
        for width, height in (*SIZES, (40, 16), (80, 24)):
            await seat.pilot.resize_terminal(width, height)
            await seat.see("Step: can")
            assert "type the answer" in seat.text

    run_walk(kettle_errand(tmp_path), script)
