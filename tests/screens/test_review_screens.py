"""The review, driven as a lead would: list, search, open, replay, judge, compare, say, sign."""

import json
from datetime import timedelta
from pathlib import Path

import pytest
from review_made import EVENTFUL, NOON, damage, handed, keep_sound, make, ticking, write_sound
from rich.cells import cell_len
from screen_driver import KETTLE, SIZES, TO_CAN, Seat, run_app
from textual.screen import Screen
from textual.widgets import Input, TextArea

from assistant.errors import RungsideError
from assistant.journal.catalogue import MEMORY
from assistant.journal.clips import CLIPS
from assistant.journal.reading import JOURNAL
from assistant.journal.remarking import remark
from assistant.journal.remarks import REMARKS, read_remarks
from assistant.screens.app import RungsideApp
from assistant.screens.reviewing.compare_screen import CompareScreen
from assistant.screens.reviewing.judge_screen import JudgeScreen
from assistant.screens.reviewing.list_screen import HINTS, ListScreen
from assistant.screens.reviewing.remark_screens import RemarkScreen, SignScreen
from assistant.screens.reviewing.replay_screen import ReplayScreen
from assistant.screens.reviewing.roll import Roll
from assistant.screens.reviewing.session_screen import HINTS as SESSION_HINTS
from assistant.screens.reviewing.session_screen import SessionScreen
from assistant.screens.widgets.key_line import KeyLine

HARD = "יחידה 7 👩‍🔧 مرحبا \u202eTurm " * 8


def top(seat: Seat) -> Screen[object]:
    """Give the screen in front."""
    return seat.app.screen_stack[-1]


async def listed(seat: Seat, count: int) -> ListScreen:
    """Wait until the list has so many sessions, all looked through."""
    screen = seat.app.screen_stack[1]
    assert isinstance(screen, ListScreen)

    def is_done() -> bool:
        return count == len(screen.shown) and all(gist.is_looked for gist in screen.shown)

    await seat.until(is_done, "the list")
    return screen


async def opened(seat: Seat) -> SessionScreen:
    """Wait until the session in front is read."""
    await seat.until(lambda: isinstance(top(seat), SessionScreen), "the session's screen")
    screen = top(seat)
    assert isinstance(screen, SessionScreen)
    await seat.until(lambda: screen.opened is not None, "the session")
    return screen


def assert_whole(seat: Seat, size: tuple[int, int]) -> None:
    """Nothing is wider than the screen, and every key of it is listed on it."""
    rows = seat.text.split("\n")
    assert size[1] == len(rows)
    assert {size[0]} == {cell_len(row) for row in rows}, seat.text
    for line in top(seat).query(KeyLine):
        for hint in line.hints:
            assert f"{hint.key} {hint.words}" in " ".join(seat.text.split()), hint


def folder_of_four(folder: Path) -> None:
    """Make four sessions: sound, eventful, damaged, and one hard to show; and noise."""
    make(folder, "20260203-a")
    make(folder, "20260204-b", EVENTFUL, technician="M.T.", start=NOON + timedelta(days=1))
    damage(make(folder, "20260205-c", technician="Q.X.", start=NOON + timedelta(days=2)))
    hard = [*TO_CAN, f"note {HARD * 20}"]
    make(folder, "20260206-d", hard, technician=HARD, unit=HARD, start=NOON + timedelta(days=3))
    (folder / "noise").mkdir()
    (folder / "noise" / JOURNAL).write_bytes(b"\0\xff{")


@pytest.mark.parametrize("size", SIZES)
def test_every_screen_fits(tmp_path: Path, size: tuple[int, int]) -> None:
    """At each size every session, every section and every further screen is whole, keys and all."""
    folder_of_four(tmp_path)

    async def script(seat: Seat) -> None:
        screen = await listed(seat, 5)
        assert_whole(seat, size)
        for gist in screen.shown:
            await seat.press("enter")
            await opened(seat)
            for section in "1234567" if gist.name in {"20260206-d", "20260205-c"} else "1":
                await seat.press(section, "down")
                assert_whole(seat, size)
            await seat.press("escape", "down")
        await seat.press("end", "enter")
        await opened(seat)
        for key in "rjcms":
            await seat.press(key)
            await seat.pilot.pause()
            assert_whole(seat, size)
            await seat.press("escape")

    run_app(RungsideApp(ListScreen(handed(tmp_path))), script, size)


def test_a_screen_that_changes_its_size_stays_whole(tmp_path: Path) -> None:
    """Wide, narrow and wide again: list and session are laid out anew, what is marked stays."""
    folder_of_four(tmp_path)

    async def script(seat: Seat) -> None:
        screen = await listed(seat, 5)
        await seat.press("down", "down")
        marked = screen.query_one(Roll).place
        for size in ((120, 40), (50, 30), (80, 24)):
            await seat.pilot.resize_terminal(*size)
            await seat.pilot.pause()
            assert_whole(seat, size)
            assert marked == screen.query_one(Roll).place
        await seat.press("enter")
        await opened(seat)
        for size in ((120, 40), (50, 30), (80, 24)):
            await seat.pilot.resize_terminal(*size)
            await seat.pilot.pause()
            assert_whole(seat, size)

    run_app(RungsideApp(ListScreen(handed(tmp_path))), script)


def test_the_list_is_newest_first_and_says_what_matters(tmp_path: Path) -> None:
    """Date, technician, damage and flags stand in the list; what was read is remembered."""
    folder_of_four(tmp_path)

    async def script(seat: Seat) -> None:
        screen = await listed(seat, 5)
        names = [gist.name for gist in screen.shown]
        assert names == ["noise", "20260206-d", "20260205-c", "20260204-b", "20260203-a"]
        for words in ("2026-02-05 12:00", "Q.X.", "DAMAGED", "not sealed", "on hold"):
            assert words in seat.text
        await seat.until((tmp_path / MEMORY).exists, "the memory")

    run_app(RungsideApp(ListScreen(handed(tmp_path))), script, (120, 40))


def test_typing_filters_and_keys_narrow(tmp_path: Path) -> None:
    """Each letter typed narrows the list; keys narrow by flag, outcome, sign-off; X shows all."""
    folder_of_four(tmp_path)

    async def script(seat: Seat) -> None:
        screen = await listed(seat, 5)
        await seat.press("slash", *"m.t")
        assert ["20260204-b"] == [gist.name for gist in screen.shown]
        assert "Search: m.t" in seat.text
        await seat.press("escape")
        assert 5 == len(screen.shown)
        await seat.press("f")
        assert ["noise", "20260205-c"] == [gist.name for gist in screen.shown]
        assert "Flag: damaged" in seat.text
        await seat.press("x", "g", "g")
        assert [] == list(screen.shown)
        assert "No session fits." in seat.text
        await seat.press("enter", "x")
        assert 5 == len(screen.shown)

    run_app(RungsideApp(ListScreen(handed(tmp_path))), script)


def test_a_flag_leads_to_its_turn(tmp_path: Path) -> None:
    """Enter on a flag opens the turn it is about, with all that was said and heard."""
    folder = make(tmp_path, "one", EVENTFUL)

    async def script(seat: Seat) -> None:
        screen = await opened(seat)
        await seat.press("5")
        await seat.see("on hold")
        while "on hold" not in seat.flat.split("▸")[1][:12]:
            await seat.press("down")
        await seat.press("enter")
        assert 0 == screen.section
        await seat.see("Flag: The walk was put on hold at 'low'.")
        assert "Heard: hold" in seat.flat

    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script, (120, 40))


def test_a_reading_shows_its_band_and_its_turn(tmp_path: Path) -> None:
    """The capacitor's reading shows the verdict, the band and where the value fell."""
    folder = make(tmp_path, "one")

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("2")
        while "10 µF: inside the limits" not in seat.text:
            await seat.press("down")
        assert "GOOD   can reading 10 µF" in seat.text
        assert "●" in seat.text
        await seat.press("enter")
        await seat.see("Judged: GOOD")

    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script, (120, 40))


def test_signing_off_is_kept_beside_the_record(tmp_path: Path) -> None:
    """A choice and a reason are needed; then it is on disk and listed, the journal as it was."""
    folder = make(tmp_path, "one")
    before = (folder / JOURNAL).read_bytes()

    async def script(seat: Seat) -> None:
        screen = await listed(seat, 1)
        await seat.press("enter")
        await opened(seat)
        await seat.press("s")
        assert isinstance(top(seat), SignScreen)
        await seat.press("ctrl+s")
        await seat.see("It is not chosen whether you agree.")
        await seat.press("f2", "ctrl+s")
        await seat.see("A sign-off says why.")
        await seat.press(*"fits", "f3", "f2", "ctrl+s")
        await seat.see("LT signed off, agrees: fits")
        await seat.see("lead agrees")
        await seat.press("escape")
        await seat.until(lambda: "agrees" == screen.shown[0].signed, "the list")

    run_app(RungsideApp(ListScreen(handed(tmp_path))), script)
    (signed,) = read_remarks(folder).sign_offs
    assert ("LT", True, "fits") == (signed.author, signed.agrees, signed.why)
    assert before == (folder / JOURNAL).read_bytes()


def test_signing_warns_of_a_technician_s_own_and_of_no_seal(tmp_path: Path) -> None:
    """Both are told before it is signed, the first as soon as the name is written; it is taken."""
    folder = make(tmp_path, "one", EVENTFUL)

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("s")
        await seat.see("TAKE CARE: This session is not sealed")
        assert "walked this session" not in seat.text
        top(seat).query_one(Input).value = "rk"
        await seat.see("TAKE CARE: rk walked this session; somebody else should sign it off.")
        await seat.press(*"mine", "f2", "ctrl+s")
        await seat.see("SIGNED BY ITS TECHNICIAN, who agrees")

    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script, (120, 40))
    assert "rk" == read_remarks(folder).sign_offs[0].author


def test_capitals_do_what_the_key_line_says(tmp_path: Path) -> None:
    """R, M, S and Q as they stand at the foot work as capitals; in the search they are text."""
    make(tmp_path, "one")

    async def script(seat: Seat) -> None:
        screen = await listed(seat, 1)
        await seat.press("slash", *"RK")
        assert "RK" == screen.query_one(Input).value
        await seat.press("escape", "escape", "enter")
        await opened(seat)
        for key, kind in (("R", ReplayScreen), ("M", RemarkScreen), ("S", SignScreen)):
            await seat.press(key)
            assert isinstance(top(seat), kind)
            await seat.press("escape")
        await seat.press("shift+s")
        assert isinstance(top(seat), SignScreen)
        await seat.press("escape", "Q")
        await seat.until(lambda: top(seat) is screen, "the list")

    run_app(RungsideApp(ListScreen(handed(tmp_path))), script)


def test_a_remark_is_made_on_the_marked_turn(tmp_path: Path) -> None:
    """A remark names its turn; without a name it is not taken and nothing typed is lost."""
    folder = make(tmp_path, "one", EVENTFUL)

    async def script(seat: Seat) -> None:
        screen = await opened(seat)
        await seat.press("down", "down", "m")
        assert isinstance(top(seat), RemarkScreen)
        await seat.see("On the turn at 12:02:00")
        await seat.press(*"why", "space", *"so", "ctrl+s")
        await seat.see("Whoever says something of a session is named.")
        assert "why so" == top(seat).query_one(TextArea).text
        await seat.press("tab", *"LT", "ctrl+s")
        await seat.see("LT on line")
        await seat.press("enter")
        assert 0 == screen.section
        await seat.see("Remark, LT: why so")

    run_app(RungsideApp(SessionScreen(handed(tmp_path, author=""), folder)), script)
    (said,) = read_remarks(folder).remarks
    line = json.loads((folder / JOURNAL).read_bytes().splitlines()[said.line - 1])
    assert ("heard", "ten") == (line["kind"], line["data"]["words"])


def test_what_is_typed_is_not_lost_by_leaving(tmp_path: Path) -> None:
    """Leaving the program over a half-written remark is refused once, with the two ways out."""
    folder = make(tmp_path, "one")

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("m", *"ab", "ctrl+q")
        await seat.see("Save it with Ctrl+S, or drop it with Esc.")
        await seat.press("escape")
        assert isinstance(top(seat), SessionScreen)

    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script)
    assert not (folder / REMARKS).exists()


def test_damaged_remarks_are_said_and_not_added_to(tmp_path: Path) -> None:
    """Remarks that were cut show as damaged in the head, and another is refused with the line."""
    folder = make(tmp_path, "one")
    for text in ("One.", "Two."):
        remark(folder, text, author="LT", clock=ticking())
    lines = (folder / REMARKS).read_bytes().splitlines(keepends=True)
    (folder / REMARKS).write_bytes(b"".join(lines[:-1]))

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.see("REMARKS DAMAGED, see 6")
        await seat.press("m", "x", "ctrl+s")
        await seat.see("From line 3 on")

    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script, (120, 40))


def test_a_replay_goes_step_by_step_and_by_itself(tmp_path: Path) -> None:
    """Right and left step; space plays at the chosen speed to the end; the start is a key away."""
    folder = make(tmp_path, "one", ["it runs", "ten"])

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("r")
        screen = top(seat)
        assert isinstance(screen, ReplayScreen)
        await seat.see("Turn 0 of 2")
        assert "Heard: it runs" not in seat.flat
        await seat.press("right")
        await seat.see("> Heard: it runs (microphone)")
        await seat.see("next came after 1 min 0 s (shortened)")
        await seat.press("left")
        await seat.see("Turn 0 of 2")
        assert "Heard: it runs" not in seat.flat
        await seat.press("plus", "plus", "plus")
        await seat.see("Paused · speed 5x")
        await seat.press("right", "space")
        await seat.see("Playing")
        await seat.until(lambda: 2 == screen.place, "the replay's end")
        await seat.see("the end")
        await seat.press("home")
        await seat.see("Turn 0 of 2")
        await seat.press("escape")
        assert isinstance(top(seat), SessionScreen)

    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script)


def test_a_kept_sound_is_played(tmp_path: Path) -> None:
    """P plays the sound of the turn; where none was kept, or it was changed, that is said."""
    name, kept = keep_sound(tmp_path / "kept", b"sounds")
    folder = make(tmp_path, "one", ["it runs"], clip=name)
    (tmp_path / "kept" / CLIPS).rename(folder / CLIPS)
    file = folder / CLIPS / kept.name
    played: list[Path] = []

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("r", "p")
        await seat.see("No sound was kept of this turn.")
        await seat.press("right")
        await seat.see("A sound was kept of this turn: P plays it.")
        await seat.press("p")
        await seat.until(lambda: [file] == played, "the sound")
        write_sound(file, b"others")
        await seat.press("p")
        await seat.see("The sound of this turn was changed.")

    run_app(RungsideApp(SessionScreen(handed(tmp_path, play=played.append), folder)), script)
    assert [file] == played


def test_judging_again_names_what_differs(tmp_path: Path) -> None:
    """The same flow differs in nothing; a file that is none is a sentence, and one can go on."""
    folder = make(tmp_path, "one")

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("j")
        screen = top(seat)
        assert isinstance(screen, JudgeScreen)
        await seat.press("enter")
        await seat.see("Nothing differs, to the letter.")
        screen.query_one(Input).value = "no/such/flow.yaml"
        await seat.press("enter")
        await seat.until(lambda: "no/such/flow.yaml" in seat.flat.split("Judge again")[1][60:])
        screen.query_one(Input).value = str(other)
        await seat.press("enter")
        await seat.see("Walked with edition 3, judged by edition 4.")
        await seat.see("differ")
        assert isinstance(seat.app.focused, Roll)

    shared = tmp_path / "other" / "shared"
    shared.mkdir(parents=True)
    for part in (KETTLE.parent / "shared").iterdir():
        (shared / part.name).write_bytes(part.read_bytes())
    other = tmp_path / "other" / "kettle.yaml"
    text = KETTLE.read_text(encoding="utf-8").replace('edition: "3"', 'edition: "4"')
    other.write_text(
        text.replace("rating: rated,", "rating: rated, default: 20,"), encoding="utf-8"
    )
    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script, (120, 40))


def test_two_visits_are_compared(tmp_path: Path) -> None:
    """Visits to the same unit stand side by side with the change, and the capacitor as a chart."""
    make(tmp_path, "20260103-a", start=NOON - timedelta(days=31), unit="k-1 KETTLE")
    make(tmp_path, "20260104-x", unit="Another", start=NOON - timedelta(days=30))
    faded = [*TO_CAN, "nine point five", "yes"]
    folder = make(tmp_path, "20260203-b", faded)

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("c")
        screen = top(seat)
        assert isinstance(screen, CompareScreen)
        await seat.until(lambda: bool(screen.pairs), "the pairs")
        assert "1 other visit." in seat.flat
        await seat.see("-0.5 (-5.0 %)")
        await seat.see("Can reading over 2 visits")
        assert "2026-01-03" in seat.text.split("Can reading over")[1]

    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script)


def test_a_unit_seen_once_has_nothing_to_compare(tmp_path: Path) -> None:
    """Where there is no other visit, that is what stands there."""
    folder = make(tmp_path, "one")

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("c")
        await seat.see("There is no other session of this unit.")

    run_app(RungsideApp(SessionScreen(handed(tmp_path), folder)), script)


def test_only_what_is_in_sight_is_drawn() -> None:
    """Of a hundred thousand items, a screenful is drawn, wherever one goes."""
    drawn: set[int] = set()

    class Many(Screen[None]):
        def compose(self) -> list[Roll]:
            return [Roll()]

    async def script(seat: Seat) -> None:
        roll = top(seat).query_one(Roll)

        def draw(place: int, width: int) -> tuple[str]:
            drawn.add(place)
            return (f"item {place}"[:width],)

        roll.show_items(100_000, draw)
        roll.focus()
        await seat.pilot.pause()
        await seat.press("end")
        assert "▸ item 99999" in seat.text
        await seat.press("pageup", "home")
        assert "▸ item 0" in seat.text
        assert 0 < len(drawn) < 200

    run_app(RungsideApp(Many()), script)


def test_a_folder_that_is_none_is_a_sentence(tmp_path: Path) -> None:
    """A file in the folder's place does not break the screen."""
    (tmp_path / "file").write_text("x", encoding="utf-8")

    async def script(seat: Seat) -> None:
        await seat.see("could not be listed")
        await seat.press("q")

    run_app(RungsideApp(ListScreen(handed(tmp_path / "file"))), script)


def test_every_key_that_is_listed_does_something(tmp_path: Path) -> None:
    """Each single letter listed on list and session is bound there, in small letters."""
    folder = make(tmp_path, "one")
    for hints, screen in (
        (HINTS, ListScreen(handed(tmp_path))),
        (SESSION_HINTS, SessionScreen(handed(tmp_path), folder)),
    ):
        letters = [hint.key.lower() for hint in hints if len(hint.key) == 1 and hint.key != "/"]
        bound = {key for binding in screen.BINDINGS for key in binding.key.split(",")}  # type: ignore[union-attr]
        assert letters
        assert set(letters) <= bound


def test_a_sound_that_cannot_be_played_is_said(tmp_path: Path) -> None:
    """Without a loudspeaker the sentence and the file stand there, and the replay goes on."""

    def play(file: Path) -> None:
        del file
        raise RungsideError("No loudspeaker was found.")

    name, _ = keep_sound(tmp_path / "kept", b"sounds")
    folder = make(tmp_path, "one", ["it runs"], clip=name)
    (tmp_path / "kept" / CLIPS).rename(folder / CLIPS)

    async def script(seat: Seat) -> None:
        await opened(seat)
        await seat.press("r", "right", "p")
        await seat.see("No loudspeaker was found. The sound is")
        await seat.press("left")
        await seat.see("Turn 0 of 1")

    run_app(RungsideApp(SessionScreen(handed(tmp_path, play=play), folder)), script)
