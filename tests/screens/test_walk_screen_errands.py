"""What the desk hands to the screen: a walk that is sent on, a practice, and refusals."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from screen_driver import Seat, make_desk, run_walk, told

from assistant.bench.practice import ShownEars
from assistant.bench.technician import BenchEars
from assistant.cli import run
from assistant.desk.errands import PracticeErrand, WalkErrand
from assistant.flow.library import shipped
from assistant.walk.ends import Ears

FLOW = """\
flow: {id}
title: {title}
edition: "1"
start: ask
steps:
  ask:
    kind: observe
    about: {about}
    say: "{say}"
    again: Which?
    help: Look at it and tell what it is.
    why: It decides what comes next.
    choices: {choices}
"""


def _folder(tmp_path: Path) -> Path:
    """Give a folder with two flows, the first sending on to the second."""
    shutil.copy(shipped("flows") / "vocabulary.yaml", tmp_path)
    first = FLOW.format(
        id="which",
        title="Which one",
        about="footing",
        say="Where is it? Say on the floor, or on a roof.",
        choices="{on_floor: {next: flow.floor-one}, on_roof: {next: end}}",
    )
    second = FLOW.format(
        id="floor-one",
        title="The one on the floor",
        about="filter_look",
        say="Look at the filter. Say filter is clean, or filter is dirty.",
        choices="{filter_clean: {next: end}, filter_dirty: {next: end}}",
    )
    (tmp_path / "which.yaml").write_text(first, encoding="utf-8")
    (tmp_path / "floor-one.yaml").write_text(second, encoding="utf-8")
    return tmp_path


def test_a_walk_that_is_sent_on_goes_on_in_the_same_screen(tmp_path: Path) -> None:
    """The second flow's title and step appear; both sessions are kept, one after the other."""
    folder = _folder(tmp_path)
    sessions = tmp_path / "kept"

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer("on the floor")
        await seat.see("The one on the floor · RTU-9 · R.K.")
        await seat.see("Look at the filter.")
        assert "Q quit" not in seat.text
        await seat.answer("filter is clean")
        await seat.see("No fault was found: The one on the floor, RTU-9.")

    run_walk(WalkErrand(make_desk(sessions), str(folder / "which.yaml"), "RTU-9"), script)
    begun = {told(one)[0]["flow"]: (one.name, told(one)[0]) for one in sessions.iterdir()}
    assert begun["floor-one"][1]["after"] == begun["which"][0]
    assert all(
        (one / "journal.jsonl").read_text("utf-8").count('"sealed"') for one in sessions.iterdir()
    )


class HonestTrainee(PracticeErrand):
    """A practice whose trainee says just what the bench shows."""

    bench: BenchEars

    def wrap(self, ears: Ears, show: Callable[[str], None]) -> Ears:
        """Remember the bench beside the screen's ears."""
        shown = super().wrap(ears, show)
        session = self.session
        assert session is not None
        assert isinstance(shown, ShownEars)
        self.bench = BenchEars(shown._technician, lambda: session.state)
        return shown


def test_a_practice_shows_what_the_meter_would_and_tells_at_the_end(tmp_path: Path) -> None:
    """Typed from what is shown, the hidden fault is found, and nothing was misjudged."""
    errand = HonestTrainee(make_desk(tmp_path), "capacitor", [], seed=1, fault=None)
    shown: list[str] = []

    async def script(seat: Seat) -> None:
        await seat.begun()
        assert "The customer says" in seat.flat
        await seat.see("You find")
        await seat.answer("help")
        assert len(seat.walk.query(".seen")) == 1  # what is seen stays while the step waits
        while seat.walk.account is None:
            session = errand.session
            assert session is not None
            if "The meter shows" in seat.flat:
                shown.append(seat.flat)
            await seat.answer(errand.bench.listen(session.expectation).words)
        await seat.see("It was:")
        await seat.press("pagedown", "pagedown")
        await seat.see("Readings misjudged: none.")

    run_walk(errand, script, (120, 40))
    assert shown


@pytest.mark.parametrize(
    "arguments",
    [
        ["walk", "--text"],
        ["practice", "--text"],
        ["walk", "--text", "--plain"],
        ["walk", "--text", "--answers", "x.txt"],
        ["practice", "--text", "--auto"],
    ],
)
def test_what_does_not_go_together_is_said_in_a_sentence(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """A screen without a terminal, two ends at once: wrong usage, and what would be right."""
    assert run(arguments) == 2
    said = capsys.readouterr().err
    assert said.startswith("rungside: ")
    assert said.count("\n") == 1


def test_alone_without_a_terminal_it_lists_what_there_is(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """`rungside` in a pipe shows its help and is no error."""
    assert run([]) == 0
    assert "walk" in capsys.readouterr().out
