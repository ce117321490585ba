"""What the review shows, computed: turns, rows, sections, comparisons, pace, kept sounds."""

import unicodedata
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from review_made import EVENTFUL, NOON, damage, keep_sound, make, write_sound
from rich.cells import cell_len
from screen_driver import KETTLE, TO_CAN, TO_END, load_once

from assistant.flow.library import open_flow
from assistant.journal.account import Account, MadeFinding, TakenValue
from assistant.journal.clips import ClipError, find_clip
from assistant.journal.gist import Gist, look_through
from assistant.screens.reviewing.comparing import Visit, draw_visits, pair_values, visits_of
from assistant.screens.reviewing.judging import judge_again
from assistant.screens.reviewing.list_screen import gist_more, gist_rows
from assistant.screens.reviewing.opened import Opened, open_session
from assistant.screens.reviewing.pacing import LONGEST_SECONDS, SPEEDS, next_speed, wait_seconds
from assistant.screens.reviewing.plain_list import plain_lines
from assistant.screens.reviewing.roll import columns, fit
from assistant.screens.reviewing.sections import sections_of
from assistant.screens.reviewing.session_screen import name_rows, standing_words
from assistant.screens.reviewing.turns import turn_at
from assistant.screens.reviewing.wording import span_words, tidy, value_words

HARD = 'שלום مرحبا 👩‍🔧 e\u0301 "quoted"\n\tline two\u2028\x00\x1b[31m\u202e 漢字 ' * 30


@pytest.fixture(scope="module")
def eventful(tmp_path_factory: pytest.TempPathFactory) -> Opened:
    """Give a session with a note, a hold, words not taken and an answer taken back."""
    return open_session(make(tmp_path_factory.mktemp("s"), "one", EVENTFUL))


def section(opened: Opened, name: str) -> list[str]:
    """Give the rows of a section, wide."""
    (found,) = [one for one in sections_of(opened) if one.name == name]
    return [" ".join(item.draw(118).split()) for item in found.items]


def test_each_thing_heard_is_a_turn(eventful: Opened) -> None:
    """There is a turn for the beginning and one for each thing heard, in order, with its time."""
    heard = [turn.heard for turn in eventful.turns]
    assert ["", *EVENTFUL] == heard
    assert 60.0 == eventful.turns[1].seconds
    lines = [turn.line for turn in eventful.turns]
    assert sorted(lines) == lines


def test_the_record_tells_what_may_be_put_in_and_how_it_was_left(eventful: Opened) -> None:
    """A finding stands with its repair and its replacement's rating; without one it has no row."""
    weak = MadeFinding(
        *("weak", "find", "Run capacitor", "It reads low.", (), "Replace it."),
        *("Fit 10 µF at 370 V or higher.", (), False, 9),
    )
    held = replace(weak, replacement="")
    account = replace(eventful.account, findings=(weak, held), has_ended=True)
    rows = section(replace(eventful, account=account), "Record")
    assert ["Replace by Fit 10 µF at 370 V or higher."] == [
        row for row in rows if row.startswith("Replace by")
    ]
    assert rows.index("Repair Replace it.") + 1 == rows.index(
        "Replace by Fit 10 µF at 370 V or higher."
    )
    assert any(row.startswith("Left locked out and tagged") for row in rows)


def test_a_turn_tells_asked_heard_understood_and_said(eventful: Opened) -> None:
    """What was asked, heard, heard nearly, asked back and answered stands in the turn in full."""
    turn = next(one for one in eventful.turns if one.heard == "ten" and "asked back" in one.came_to)
    told = {one.who: one.text for one in turn.told}
    assert ("ten  (microphone)", "ten too") == (told["Heard"], told["Or"])
    assert "10 µF" in told["Asked back"]
    assert "Asked" in told


def test_an_answer_taken_back_is_marked_where_it_was_given(eventful: Opened) -> None:
    """The turn whose answer was scratched says so; the one that gave it again does not."""
    taken_back = [turn.number for turn in eventful.turns if turn.is_taken_back]
    place = EVENTFUL.index("scratch that")
    assert taken_back == [place]
    assert "yes" == eventful.turns[place].heard


def test_every_line_belongs_to_a_turn(eventful: Opened) -> None:
    """From a line of the journal one comes to the turn that it is in."""
    for place, turn in enumerate(eventful.turns):
        assert place == turn_at(eventful.turns, turn.line) == turn_at(eventful.turns, turn.last)


def test_sections_list_what_happened(eventful: Opened) -> None:
    """Readings have verdicts, cautions their seconds, flags sentences, the record its state."""
    assert any("GOOD" in row and "10 µF" in row for row in section(eventful, "Readings"))
    assert any("answered after 60.0 s" in row for row in section(eventful, "Cautions"))
    flags = " ".join(section(eventful, "Flags"))
    assert "unsealed" in flags
    assert "on hold" in flags
    assert "answer taken back" in flags
    assert any("Not sealed" in row for row in section(eventful, "Record"))
    assert any("wet floor" in row for row in section(eventful, "Record"))
    assert len(eventful.turns) == len(section(eventful, "Turns"))
    assert section(eventful, "Path")


def test_a_flag_leads_to_its_turn(eventful: Opened) -> None:
    """Each flag, caution and reading names the journal's line it is about."""
    for name in ("Flags", "Cautions", "Readings"):
        (found,) = [one for one in sections_of(eventful) if one.name == name]
        for item in found.items:
            assert item.line or "unsealed" in item.lines[0][1]


def test_damage_stands_in_the_head_and_the_record(tmp_path: Path) -> None:
    """A session that was changed says so before anything else, and where."""
    folder = make(tmp_path, "one")
    damage(folder)
    opened = open_session(folder)
    assert "DAMAGED in 1 place" in standing_words(opened)
    assert "Before line 3" in section(opened, "Record")[0]


@given(st.text(max_size=60), st.integers(1, 60))
def test_a_row_is_as_wide_as_it_may_be(text: str, width: int) -> None:
    """Whatever is in it, a fitted text takes exactly its cells."""
    assert width == cell_len(fit(tidy(text), width))


@given(st.lists(st.tuples(st.text(max_size=20), st.integers(1, 10)), min_size=1, max_size=4))
def test_columns_never_widen(cells: list[tuple[str, int]]) -> None:
    """Columns take what they were given, whatever stands in them."""
    row = columns([*((tidy(text), size) for text, size in cells), (tidy(HARD), 0)], 100)
    assert 100 == cell_len(row)


@pytest.mark.parametrize("width", [20, 46, 48, 78, 118])
def test_hard_text_keeps_its_rows(tmp_path: Path, width: int) -> None:
    """Very long, right-to-left, wide and controlling text makes one row of the right width."""
    folder = make(tmp_path, "one", [*TO_CAN, f"note {HARD}"], technician=HARD, unit=HARD)
    opened = open_session(folder)
    for one in sections_of(opened):
        for item in one.items:
            row = item.draw(width)
            assert width == cell_len(row), (one.name, row)
            assert not [mark for mark in row if unicodedata.category(mark) in {"Cc", "Zl", "Zp"}]
            assert "\u202e" not in row
    gist = look_through(folder)
    for row in gist_rows(gist, width):
        assert width == cell_len(row)
    assert len(gist_more(gist)) < 310


def test_section_names_are_never_broken() -> None:
    """On a narrow screen the names go on in the next row, each whole, all there."""
    sections = [replace(one, items=()) for one in sections_of(_empty())]
    for width in (30, 48, 78, 118):
        rows = name_rows(sections, 4, width)
        assert all(len(row) <= width for row in rows)
        assert "1 Turns  2 Readings  3 Path  4 Cautions [5 Flags 0] 6 Remarks  7 Record" == (
            " ".join(" ".join(rows).split())
            .replace(" 2", "  2")
            .replace(" 3", "  3")
            .replace(" 4", "  4")
            .replace(" 7", "  7")
        )


def _empty() -> Opened:
    from assistant.checks.trail import Trail
    from assistant.journal.reading import Record
    from assistant.journal.remarks import Remarks

    record = Record((), (), is_sealed=False, torn=b"")
    return Opened(Path("none"), record, Account(), (), Trail(), (), Remarks())


def test_a_plain_line_has_all_its_parts(tmp_path: Path) -> None:
    """In a pipe each session is one line with date, people, unit, flow, outcome, flags, name."""
    gist = look_through(make(tmp_path, "one"))
    row, total = plain_lines([gist])
    assert ["2026-02-03 12:00", "R.K.", "K-1 Kettle", "kettle", "No fault was found"] == (
        row.split(" | ")[:5]
    )
    assert "one" == row.split(" | ")[-1]
    assert "1 session." == total
    assert "1 of them" in list(plain_lines([Gist("x")]))[-1]


def taken(value: str, **more: object) -> TakenValue:
    """Give a capacitor's reading."""
    base = TakenValue("can", "can", "measured", value, value, "microfarad", False, False, True, 1)
    return replace(base, **more)  # type: ignore[arg-type]


def account(started: str, *values: TakenValue) -> Account:
    """Give what a session came to."""
    return Account(started=started, values=values)


@pytest.mark.parametrize(
    ("earlier", "later", "expected"),
    [
        (taken("7.4"), taken("6.9"), "-0.5 (-6.8 %)"),
        (taken("7.4"), taken("7.4"), "same"),
        (taken("0"), taken("1"), "+1"),
        (taken("7.4"), taken("", over_limit=True), "changed"),
        (taken("", over_limit=True), taken("", over_limit=True), "same"),
        (taken("7.4"), taken("7.4", unit="ohm"), "changed"),
        (taken("x"), taken("1"), ""),
    ],
)
def test_two_values_are_told_apart(earlier: TakenValue, later: TakenValue, expected: str) -> None:
    """The change goes from the earlier session to the later one, whichever is opened."""
    one, other = account("2026-01-01T00:00:00.000Z", earlier), account("2026-02", later)
    assert expected == pair_values(one, other)[0].difference
    assert expected == pair_values(other, one)[0].difference


def test_what_was_taken_once_is_said() -> None:
    """A value of one session alone stands there with the other side empty."""
    (pair,) = pair_values(account("1", taken("7.4")), account("2"))
    assert (None, "only once") == (pair.other, pair.difference)


def test_the_capacitor_comes_first() -> None:
    """Side by side, the capacitor leads, then what was measured, worked out, read off labels."""
    values = [
        taken("1", id="label", origin="asked", unit="volt"),
        taken("2", id="sum", origin="worked_out", unit="ohm"),
        taken("3", id="low", unit="ohm"),
        taken("4", id="can"),
    ]
    pairs = pair_values(account("1", *values), account("2"))
    assert ["can", "low", "sum", "label"] == [pair.id for pair in pairs]


def test_visits_are_drawn_on_one_scale() -> None:
    """A capacitor that fades moves left from visit to visit, out of its limits, and it is said."""
    limits = {"low": "7.05", "high": "7.95"}
    accounts = [
        account("2026-03-01T00:00:00.000Z", taken("2.9", verdict="fail", **limits)),
        account("2026-01-01T00:00:00.000Z", taken("7.4", verdict="pass", **limits)),
        account("2026-02-01T00:00:00.000Z"),
    ]
    head, first, second, third = draw_visits("can", visits_of("can", accounts), 78)
    assert "Can over 3 visits" in head
    assert "not taken" in second
    assert first.index("[") < first.index("●") < first.index("]")
    assert third.index("●") < third.index("[") == first.index("[")
    assert ("7.4 µF", "GOOD") == (first.split()[2] + " µF", first.split()[-1])
    assert "FAILS" in third
    assert all(78 == cell_len(row) for row in (head, first, second, third))


@given(
    st.lists(
        st.one_of(
            st.none(),
            st.decimals(-(10**6), 10**6, places=2).map(lambda one: taken(f"{one:f}")),
        ),
        max_size=6,
    ),
    st.integers(30, 120),
)
def test_any_visits_can_be_drawn(values: list[TakenValue | None], width: int) -> None:
    """Equal, negative, missing and far values are all drawn, each in its width."""
    visits = [Visit("2026-01-01T00:00:00.000Z", value) for value in values]
    for row in draw_visits("can", visits, width):
        assert cell_len(row) <= max(width, 60)


def test_the_same_edition_differs_in_nothing(eventful: Opened) -> None:
    """Judged by the very flow it was walked with, not a letter differs."""
    judgement = judge_again(eventful, load_once(str(KETTLE)))
    assert () == judgement.differences
    assert "Nothing differs, to the letter." in judgement.summary


def test_another_edition_shows_what_would_differ(tmp_path: Path) -> None:
    """With the capacitor's rating another, the verdict and what follows are told."""
    opened = open_session(make(tmp_path, "one", [*TO_CAN, "nine", "yes"]))
    shared = KETTLE.parent / "shared"
    (tmp_path / "shared").mkdir()
    for file in shared.iterdir():
        (tmp_path / "shared" / file.name).write_bytes(file.read_bytes())
    text = KETTLE.read_text(encoding="utf-8")
    assert "rating: rated," in text
    other = text.replace("rating: rated,", "rating: rated, default: 20,")
    (tmp_path / "kettle.yaml").write_text(other, encoding="utf-8")
    judgement = judge_again(opened, open_flow(str(tmp_path / "kettle.yaml")))
    assert judgement.differences
    assert any("Judged otherwise: can" in sentence for sentence in judgement.summary)


def test_a_pause_is_replayed_at_its_speed_and_never_too_long(eventful: Opened) -> None:
    """A minute is shortened to ten seconds, at twice the speed to five; the first waits not."""
    assert LONGEST_SECONDS == wait_seconds(eventful.turns, 1, 1.0)
    assert LONGEST_SECONDS / 2 == wait_seconds(eventful.turns, 1, 2.0)
    assert 0.0 == wait_seconds(eventful.turns, 0, 1.0)
    short = (eventful.turns[0], replace(eventful.turns[1], seconds=3.0))
    assert 6.0 == wait_seconds(short, 1, 0.5)
    assert (0.5, 5.0) == (next_speed(SPEEDS[0], -1), next_speed(SPEEDS[-1], 1))


def test_a_kept_sound_is_the_one_that_was_heard(tmp_path: Path) -> None:
    """A sound is found by its hash; none, one purged, and one changed are each told as such."""
    name, file = keep_sound(tmp_path, b"sounds")
    assert file == find_clip(tmp_path, name)
    write_sound(file, b"others")
    with pytest.raises(ClipError, match="was changed"):
        find_clip(tmp_path, name)
    file.write_bytes(b"no sound at all")
    with pytest.raises(ClipError, match="was changed"):
        find_clip(tmp_path, name)
    file.unlink()
    with pytest.raises(ClipError, match="not there any more"):
        find_clip(tmp_path, name)
    for nothing in ("", "../../etc/passwd", name[:-1]):
        with pytest.raises(ClipError, match="No sound was kept"):
            find_clip(tmp_path, nothing)


@pytest.mark.parametrize(
    ("seconds", "expected"),
    [(0, "0 s"), (59.4, "59 s"), (60, "1 min 0 s"), (3599, "59 min 59 s"), (14400, "4 h 0 min")],
)
def test_spans_are_told(seconds: float, expected: str) -> None:
    """Seconds, minutes and hours are told as people say them."""
    assert expected == span_words(seconds)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (taken("7.40"), "7.40 µF"),
        (taken("", over_limit=True), "OL"),
        (taken("1.23456789", origin="worked_out"), "about 1.235 µF"),
        (taken("x", unit="parsec"), "x parsec"),
    ],
)
def test_values_are_written_as_said(value: TakenValue, expected: str) -> None:
    """Digits stay as they were said; a formula's tail is shortened; nonsense is shown as it is."""
    assert expected == value_words(value)


def test_a_whole_walk_is_sealed_in_the_head(tmp_path: Path) -> None:
    """A walk to its end says that it is sealed, and its code stands in the record."""
    opened = open_session(make(tmp_path, "one", TO_END, start=NOON + timedelta(days=1)))
    assert "sealed" in standing_words(opened)
    assert any(opened.account.seal_code in row for row in section(opened, "Record"))
