"""The catalogue: quick, never trusted over the folder, and searched as one types."""

import json
import os
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.journal.catalogue import (
    EDITION,
    MEMORY,
    list_gists,
    remember,
    stamp_of,
    with_looked,
)
from assistant.journal.catalogue_search import Search, Wanted
from assistant.journal.gist import NOTHING, Gist, glance, look_through
from assistant.journal.reading import JOURNAL
from assistant.journal.remarking import sign_off
from assistant.journal.store import Event, Journal

Clock = Callable[[], datetime]
TURNS: tuple[Event, ...] = (
    {"kind": "found", "answer": 3, "part": "Fan relay"},
    {"kind": "scratched", "answer": 3, "step": "x"},
    {"kind": "found", "answer": 3, "part": "Run capacitor"},
    {"kind": "noted", "text": 'It said "kind":"found" on the lid שלום 👩‍🔧'},
    {"kind": "ended", "outcome": "found", "why": "done"},
)


def make(folder: Path, name: str, clock: Clock, *, is_sealed: bool = True, unit: str = "U") -> Path:
    """Make a session on disk."""
    opening = {"kind": "began", "flow": "psc", "title": "A blower", "technician": "QX"}
    with Journal.create(folder, name, {**opening, "unit": unit}, clock=clock) as journal:
        journal.append(TURNS)
        if is_sealed:
            journal.seal()
    return folder / name


def test_a_first_look_says_what_a_session_is_about(tmp_path: Path, clock: Clock) -> None:
    """Head, findings that stand, notes, outcome and seal are known without reading all."""
    gist = glance(make(tmp_path, "one", clock), "stamp")
    assert ("QX", "U", "psc", "found", True) == (
        gist.technician,
        gist.unit,
        gist.flow,
        gist.outcome,
        gist.is_sealed,
    )
    assert ("Run capacitor",) == gist.findings
    assert "on the lid" in gist.notes
    assert "2026-02-03T14:05:06.789Z" == gist.started
    assert (False, ()) == (gist.is_looked, gist.flags)


@pytest.mark.parametrize("is_sealed", [True, False])
def test_both_looks_agree(tmp_path: Path, clock: Clock, *, is_sealed: bool) -> None:
    """Reading all tells the same of a sound session, and flags besides."""
    folder = make(tmp_path, "one", clock, is_sealed=is_sealed)
    looked = look_through(folder)
    assert glance(folder) == replace(looked, is_looked=False, flags=())
    assert looked.is_looked
    assert dict(looked.flags).get("unsealed") == (None if is_sealed else 1)


@given(data=st.data())
def test_no_cut_breaks_a_look(open_content: bytes, data: st.DataObject) -> None:
    """Cut at any byte, both looks give a gist, and they agree where no line is lost."""
    import tempfile

    cut = data.draw(st.integers(0, len(open_content)))
    with tempfile.TemporaryDirectory() as above:
        folder = Path(above)
        (folder / JOURNAL).write_bytes(open_content[:cut])
        first, looked = glance(folder), look_through(folder)
    assert first.name == looked.name
    assert (first.technician, first.outcome) == (looked.technician, looked.outcome)
    assert (NOTHING == looked.damage) is (b"\n" not in open_content[:cut])


def test_what_cannot_be_read_is_listed_with_a_sentence(tmp_path: Path, clock: Clock) -> None:
    """A folder where the journal should be, noise, and an empty file are rows, not crashes."""
    make(tmp_path, "good", clock)
    for name, content in (("noise", b"\0\xff\n\n{}"), ("empty", b"")):
        (tmp_path / name).mkdir()
        (tmp_path / name / JOURNAL).write_bytes(content)
    (tmp_path / "odd" / JOURNAL).mkdir(parents=True)
    (tmp_path / "no_session").mkdir()
    names = [gist.name for gist in list_gists(tmp_path)]
    assert names == ["odd", "noise", "good", "empty"]
    looked = {name: look_through(tmp_path / name) for name in names}
    assert all(looked[name].damage for name in ("odd", "noise", "empty"))
    assert "" == looked["good"].damage


def test_damage_is_told_once_looked_through(tmp_path: Path, clock: Clock) -> None:
    """A line taken out is named; a lost seal that the transcript tells of as well."""
    folder = make(tmp_path, "one", clock)
    lines = (folder / JOURNAL).read_bytes().splitlines(keepends=True)
    (folder / JOURNAL).write_bytes(b"".join(lines[:2] + lines[3:]))
    assert "Before line 3" in look_through(folder).damage
    (folder / JOURNAL).write_bytes(b"".join(lines[:-1]))
    assert "cut off" in look_through(folder).damage


def test_a_sign_off_shows_in_the_list(tmp_path: Path, clock: Clock) -> None:
    """Who looks at the list sees what was signed, also right after it was."""
    folder = make(tmp_path, "one", clock)
    remember(tmp_path, list_gists(tmp_path))
    sign_off(folder, author="LT", agrees=False, why="No.", clock=clock)
    assert ["disagrees"] == [gist.signed for gist in list_gists(tmp_path)]


def test_no_folder_is_no_session(tmp_path: Path) -> None:
    """Where nothing was walked yet, nothing is listed."""
    assert () == list_gists(tmp_path / "none")


def test_what_is_remembered_is_not_read_again(tmp_path: Path, clock: Clock) -> None:
    """A session whose files are as remembered is taken from memory."""
    folder = make(tmp_path, "one", clock)
    (gist,) = list_gists(tmp_path)
    marked = replace(gist, technician="from memory")
    assert remember(tmp_path, [marked])
    assert (marked,) == list_gists(tmp_path)
    assert stamp_of(folder) == gist.stamp


def test_memory_never_wins_over_the_folder(tmp_path: Path, clock: Clock) -> None:
    """A changed file, a new session and a session gone are all seen, whatever is remembered."""
    one, two = make(tmp_path, "one", clock), make(tmp_path, "two", clock)
    remember(tmp_path, [replace(g, technician="old") for g in list_gists(tmp_path)])
    content = (one / JOURNAL).read_bytes()
    before = (one / JOURNAL).stat()
    (one / JOURNAL).write_bytes(content.replace(b'"QX"', b'"ZZ"'))
    os.utime(one / JOURNAL, ns=(before.st_atime_ns, before.st_mtime_ns))
    shutil.rmtree(two)
    make(tmp_path, "three", clock)
    assert {"one": "ZZ", "three": "QX"} == {g.name: g.technician for g in list_gists(tmp_path)}


@pytest.mark.parametrize(
    "memory",
    [
        b"",
        b"\xff\xfe",
        b"[1, 2]",
        b"{" * 100_000,
        json.dumps({"edition": "other", "sessions": []}).encode(),
        json.dumps({"edition": EDITION, "sessions": [1, {"name": "one"}, None]}).encode(),
        json.dumps({"edition": EDITION, "sessions": {"one": 1}}).encode(),
    ],
)
def test_a_wrong_memory_is_made_anew(tmp_path: Path, clock: Clock, memory: bytes) -> None:
    """Whatever stands in the file of memory, the folder is listed, and remembered rightly after."""
    make(tmp_path, "one", clock)
    right = list_gists(tmp_path)
    (tmp_path / MEMORY).write_bytes(memory)
    assert right == list_gists(tmp_path)
    assert remember(tmp_path, right)
    assert EDITION == json.loads((tmp_path / MEMORY).read_bytes())["edition"]


@pytest.mark.parametrize("key", ["technician", "is_sealed", "findings", "flags", "stamp"])
def test_a_row_of_another_shape_is_not_believed(tmp_path: Path, clock: Clock, key: str) -> None:
    """One value of another type in a remembered session, and it is read from the folder."""
    make(tmp_path, "one", clock)
    right = list_gists(tmp_path)
    remember(tmp_path, right)
    memory = json.loads((tmp_path / MEMORY).read_bytes())
    memory["sessions"][0][key] = [[1]]
    (tmp_path / MEMORY).write_text(json.dumps(memory), encoding="utf-8")
    assert right == list_gists(tmp_path)


def test_where_nothing_may_be_written_the_list_still_works(tmp_path: Path) -> None:
    """A folder that is not there cannot remember; that is no error."""
    assert not remember(tmp_path / "none", [])


def gist(name: str, **more: object) -> Gist:
    """Give a gist."""
    return replace(Gist(name, is_sealed=True, is_looked=True), **more)  # type: ignore[arg-type]


GISTS = (
    gist("a", technician="R.K.", unit="AHU-2 Quarry Lane", flow="blower-psc", signed="agrees"),
    gist("b", technician="M.T.", unit="École RTU", findings=("Run capacitor",), outcome="found"),
    gist("c", technician="ÅSA", notes="wet floor", flags=(("skipped", 1),), signed="disagrees"),
    gist("d", started="2026-02-03T14:05:06.789Z", is_sealed=False, damage="Line 3 was changed."),
)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("", "abcd"),
        ("quarry", "a"),
        ("QUARRY  lane", "a"),
        ("ecole", "b"),
        ("École", "b"),
        ("asa", "c"),
        ("capacitor", "b"),
        ("wet", "c"),
        ("tech:r.k", "a"),
        ("tech:quarry", ""),
        ("unit:quarry flow:psc", "a"),
        ("finding:cap", "b"),
        ("note:floor", "c"),
        ("date:2026-02", "d"),
        ("flag:skip", "c"),
        ("tech:", "abcd"),
        ("http://x", ""),
        ("nothing such", ""),
    ],
)
def test_words_find_sessions(words: str, expected: str) -> None:
    """All words must be there, in any field or in the one named; accents and case do not count."""
    assert expected == "".join(one.name for one in Search(GISTS).find(Wanted(words)))


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        (Wanted(outcome="found"), "b"),
        (Wanted(flag="skipped"), "c"),
        (Wanted(flag="unsealed"), "d"),
        (Wanted(flag="damaged"), "d"),
        (Wanted(signed="agrees"), "a"),
        (Wanted(signed="disagrees"), "c"),
        (Wanted(signed="none"), "bd"),
        (Wanted("r.k", signed="none"), ""),
    ],
)
def test_filters_go_with_words(wanted: Wanted, expected: str) -> None:
    """Outcome, flag and sign-off each narrow what the words find."""
    assert expected == "".join(one.name for one in Search(GISTS).find(wanted))


def test_a_changed_session_is_found_by_its_new_words() -> None:
    """What was looked through later takes the place of what was known, in the same order."""
    search = Search(GISTS).with_changed([gist("b", unit="Mill Road")])
    assert () == search.find(Wanted("ecole"))
    assert ("b",) == tuple(one.name for one in search.find(Wanted("mill")))
    assert search.gists == with_looked(GISTS, [gist("b", unit="Mill Road")])
