"""Sessions get names that sort by time and are found by path or name."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from assistant.journal.errors import JournalError
from assistant.journal.reading import JOURNAL
from assistant.journal.sessions import (
    default_sessions_folder,
    find_session,
    list_sessions,
    make_session_id,
)
from assistant.journal.store import Event, Journal

MOMENT = datetime(2026, 2, 3, 14, 5, 6, 789_000, tzinfo=UTC)


@pytest.mark.parametrize(
    ("unit", "suffix", "expected"),
    [
        ("RTU-3", "k7q2", "20260203T140506Z-rtu-3-k7q2"),
        ("  Roof / north #2 ", "A1", "20260203T140506Z-roof-north-2-a1"),
        ("Café Été", "x", "20260203T140506Z-cafe-ete-x"),
        ("../../etc", "x", "20260203T140506Z-etc-x"),
        ("", "x", "20260203T140506Z-unit-x"),
        ("שלום", "x", "20260203T140506Z-unit-x"),
        ("u" * 200, "x", f"20260203T140506Z-{'u' * 40}-x"),
        ("a" * 39 + " b", "x", f"20260203T140506Z-{'a' * 39}-x"),
    ],
)
def test_id_is_time_unit_and_suffix(unit: str, suffix: str, expected: str) -> None:
    """Whatever the unit is called, the name is a plain folder name that starts with the time."""
    assert expected == make_session_id(MOMENT, unit, suffix)


def test_id_is_in_utc_and_sorts_by_time() -> None:
    """The time zone of the technician changes nothing; a later session sorts later."""
    zone = timezone(timedelta(hours=-5))
    assert make_session_id(MOMENT, "a", "x") == make_session_id(MOMENT.astimezone(zone), "a", "x")
    assert make_session_id(MOMENT, "z", "x") < make_session_id(
        MOMENT + timedelta(seconds=1), "a", "x"
    )


def test_bad_parts_of_an_id_are_refused() -> None:
    """A time without zone and a suffix without a letter are one sentence each."""
    with pytest.raises(JournalError, match="has no time zone"):
        make_session_id(MOMENT.replace(tzinfo=None), "a", "x")
    with pytest.raises(JournalError, match="cannot end a session's name"):
        make_session_id(MOMENT, "a", "--")


def test_every_id_can_be_a_session(
    tmp_path: Path, opening: Event, clock: Callable[[], datetime]
) -> None:
    """The longest name that can be made is one that a journal takes."""
    name = make_session_id(MOMENT, "u" * 200, "s" * 8)
    Journal.create(tmp_path, name, opening, clock=clock).close()
    assert (tmp_path / name,) == list_sessions(tmp_path)


def test_default_folder_is_the_users_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """On Linux it follows XDG_DATA_HOME; source: XDG Base Directory Specification."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    folder = default_sessions_folder()
    assert ("sessions", "rungside") == (folder.name, folder.parent.name)


def test_sessions_are_listed_newest_first(tmp_path: Path) -> None:
    """Only folders with a journal are sessions; a folder that is not there has none."""
    for name in ("20260101T000000Z-a-x", "20260301T000000Z-a-x", "20260201T000000Z-b-x"):
        (tmp_path / name).mkdir()
        (tmp_path / name / JOURNAL).touch()
    (tmp_path / "no session").mkdir()
    (tmp_path / "note.txt").touch()
    expected = ["20260301T000000Z-a-x", "20260201T000000Z-b-x", "20260101T000000Z-a-x"]
    assert expected == [path.name for path in list_sessions(tmp_path)]
    assert () == list_sessions(tmp_path / "none")


def test_session_is_found_by_path_or_id(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder, its journal and an id lead to the same folder; a path goes before an id."""
    folder = tmp_path / "sessions" / "one"
    folder.mkdir(parents=True)
    (folder / JOURNAL).touch()
    for text in (str(folder), f"{folder}/", str(folder / JOURNAL), "one"):
        assert folder == find_session(text, tmp_path / "sessions")
    monkeypatch.chdir(folder)
    assert folder == find_session(JOURNAL, tmp_path / "none").absolute()
    assert folder == find_session(".", tmp_path / "none").absolute()


@pytest.mark.parametrize(
    "text", ["", "none", "/none/journal.jsonl", "~nobody-here", "a\0b", "x" * 5000]
)
def test_missing_session_is_one_sentence(tmp_path: Path, text: str) -> None:
    """What leads nowhere is said with where it was looked for."""
    with pytest.raises(JournalError) as caught:
        find_session(text, tmp_path)
    assert f"neither as a path nor in {tmp_path}." in caught.value.message


def test_missing_session_names_the_default_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Without a folder given, the user's own is where an id is looked for."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    with pytest.raises(JournalError) as caught:
        find_session("none")
    assert str(default_sessions_folder()) in caught.value.message
