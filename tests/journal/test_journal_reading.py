"""Any cut of a journal opens with everything before it; nothing is skipped without a word."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.journal.errors import JournalError
from assistant.journal.line import Line, encode
from assistant.journal.memory import MemoryFiles
from assistant.journal.problem import Fault
from assistant.journal.reading import JOURNAL, read_content, read_journal
from assistant.journal.store import Event, Journal
from assistant.journal.upgrading import UPGRADES, upgrade

Clock = Callable[[], datetime]


def test_any_cut_gives_everything_before_it(sealed_content: bytes) -> None:
    """At every byte: the whole lines before the cut are read, the rest is given as torn."""
    whole = read_content(sealed_content)
    for cut in range(len(sealed_content)):
        content = sealed_content[:cut]
        record = read_content(content)
        count = content.count(b"\n")
        assert whole.lines[:count] == record.lines
        assert content[len(content) - len(record.torn) :] == record.torn
        assert b"\n" not in record.torn
        assert not record.is_sealed
        assert () == record.damage
        assert (Fault.UNSEALED in faults(content)) is True
        assert (Fault.TORN in faults(content)) is bool(record.torn)


def faults(content: bytes) -> set[Fault]:
    """Give the kinds of trouble in a journal's bytes."""
    return {problem.fault for problem in read_content(content).problems}


def test_any_cut_goes_on(open_content: bytes, clock: Clock) -> None:
    """At every byte: the session opens, an append joins no torn line, no byte is lost."""
    folder = Path("s/one")
    first = open_content.index(b"\n") + 1
    for cut in range(first, len(open_content) + 1):
        content = open_content[:cut]
        before = read_content(content)
        files = MemoryFiles()
        files.contents[folder / JOURNAL] = bytearray(content)
        with Journal.open(folder, clock=clock, files=files) as journal:
            journal.append([{"kind": "noted", "text": "after the cut"}])
        after = read_content(bytes(files.contents[folder / JOURNAL]))
        told = ["torn"] if before.torn else []
        kinds = [line.kind for line in after.lines[len(before.lines) :]]
        assert before.lines == after.lines[: len(before.lines)]
        assert [*told, "noted"] == kinds
        assert (b"", ()) == (after.torn, after.damage)
        assert before.torn == bytes(files.contents.get(folder / "journal.torn-1", b""))


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_cut_goes_on_on_the_disk(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory, open_content: bytes, clock: Clock
) -> None:
    """The same on a real disk, at places that hypothesis picks."""
    first = open_content.index(b"\n") + 1
    cut = data.draw(st.integers(first, len(open_content)))
    folder = tmp_path_factory.mktemp("cut")
    (folder / JOURNAL).write_bytes(open_content[:cut])
    before = read_journal(folder)
    with Journal.open(folder, clock=clock) as journal:
        journal.append([{"kind": "noted", "text": "after the cut"}])
        journal.seal()
    after = read_journal(folder / JOURNAL)
    assert before.lines == after.lines[: len(before.lines)]
    assert (True, ()) == (after.is_sealed, after.damage)


@given(noise=st.binary(max_size=300))
def test_any_bytes_open(noise: bytes) -> None:
    """Bytes that were never a journal are told line by line and raise nothing."""
    record = read_content(noise)
    assert () == record.lines
    assert record.problems
    unreadable = sum(problem.fault is Fault.UNREADABLE for problem in record.problems)
    assert noise.count(b"\n") - record.torn.count(b"\n") == unreadable


def test_unwritten_blocks_at_the_end_are_torn(open_content: bytes) -> None:
    """Zero bytes that a power cut left are torn off, with a line of which they are a part."""
    *_, last = open_content.rstrip(b"\n").split(b"\n")
    head = open_content[: -len(last) - 1]
    for torn in (bytes(512), bytes(len(last) - 9) + last[-9:] + b"\n", b'{"da' + bytes(40)):
        record = read_content(head + torn)
        assert (torn, ()) == (record.torn, record.damage)
        assert read_content(head).lines == record.lines


def test_zero_bytes_before_good_lines_are_damage(open_content: bytes) -> None:
    """A zeroed line with good ones behind it is not torn off but named."""
    lines = open_content.split(b"\n")
    lines[3] = bytes(len(lines[3]))
    record = read_content(b"\n".join(lines))
    assert [(4, Fault.UNREADABLE)] == [(p.line, p.fault) for p in record.damage]
    assert 6 == len(record.lines)


def test_unreadable_line_is_named_and_the_rest_is_read(open_content: bytes) -> None:
    """A broken line in the middle is named with its number; all others are given."""
    lines = open_content.split(b"\n")
    lines[2] = lines[2][:-1]
    record = read_content(b"\n".join(lines))
    assert [1, 2, 4, 5, 6, 7] == [line.seq for line in record.lines]
    assert ["Line 3 is not JSON."] == [problem.sentence for problem in record.damage]


def test_unknown_kinds_are_kept(open_content: bytes) -> None:
    """An event of a kind that nobody here knows is read with all its data."""
    (line,) = [one for one in read_content(open_content).lines if one.kind == "not_known_here"]
    assert {"deep": {"list": [1, 2.5, None, {"yes": True}]}} == line.data


def test_hard_text_comes_back(open_content: bytes, turns: tuple[tuple[Event, ...], ...]) -> None:
    """Right-to-left text, joined emoji, quotes, newlines and control characters come back."""
    (line,) = [one for one in read_content(open_content).lines if one.kind == "noted"]
    assert turns[2][0]["text"] == line.data["text"]


def test_reading_takes_folder_or_file(tmp_path: Path, open_content: bytes) -> None:
    """A session is read by its folder or by its journal's path; a missing one is one sentence."""
    (tmp_path / JOURNAL).write_bytes(open_content)
    assert read_journal(tmp_path) == read_journal(tmp_path / JOURNAL) == read_content(open_content)
    with pytest.raises(JournalError, match="There is no session at"):
        read_journal(tmp_path / "none")


def test_old_lines_are_upgraded_step_by_step() -> None:
    """A line goes through each version's function in turn; its chain is judged as it was written.

    The old versions are made up here: none was ever written before version 1.
    """
    old = Line(1, "2026-02-03T14:05:06.789Z", 0, "0" * 64, "reading", {"ohms": "17.5"})
    steps = {
        -1: lambda line: line,
        0: lambda line: replace(
            line, kind="took", data={"value": line.data["ohms"], "unit": "ohm"}
        ),
    }
    record = read_content(encode(old) + b"\n", steps)
    expected = replace(old, schema=1, kind="took", data={"value": "17.5", "unit": "ohm"})
    assert (expected,) == record.lines
    assert () == record.damage
    assert expected == upgrade(replace(old, schema=-1), steps)


def test_versions_without_a_way_are_told() -> None:
    """An old version that no function reads and a newer one are kept as they are, and said."""
    for schema in (0, 2):
        line = Line(1, "2026-02-03T14:05:06.789Z", schema, "0" * 64, "x", {})
        record = read_content(encode(line) + b"\n", {})
        assert (line,) == record.lines
        assert (1, Fault.NEWER) in [(p.line, p.fault) for p in record.problems]


def test_every_upgrade_has_a_fixture() -> None:
    """Each function in the table has a journal of its version beside these tests."""
    folder = Path(__file__).parent
    missing = [n for n in UPGRADES if not (folder / f"schema_{n}.jsonl").is_file()]
    assert [] == missing


def test_first_line_of_schema_1_is_these_bytes() -> None:
    """The form on the disk stays what it is: this line was written by the first edition."""
    raw = (
        '{"data":{"text":"17.5 Ω"},"kind":"noted","prev":"' + "0" * 64 + '","schema":1,"seq":1,'
        '"time":"2026-02-03T14:05:06.789Z"}'
    ).encode()
    record = read_content(raw + b"\n")
    assert () == record.damage
    assert "17.5 Ω" == record.lines[0].data["text"]
