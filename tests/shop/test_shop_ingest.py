"""Ingest: only what changed is read, twice is once, and the folder is the truth."""

import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from journal_made import odd_session
from shop_folders import put
from shop_rows import MACHINE, all_rows, names
from sqlalchemy import select

from assistant.journal.purging import plan_purge, purge
from assistant.journal.reading import JOURNAL
from assistant.shop.errors import ShopError
from assistant.shop.gathering import Gathered, gather
from assistant.shop.index import Index
from assistant.shop.questions import QUESTIONS
from assistant.shop.rebuilding import rebuild
from assistant.shop.tables import SESSIONS
from assistant.shop.wanted import Wanted

Made = tuple[tuple[str, bytes], ...]


def _names(index: Index) -> list[str]:
    with index.reading() as connection:
        return sorted(connection.scalars(select(SESSIONS.c.name)))


def _damaged(index: Index) -> list[tuple[object, ...]]:
    with index.reading() as connection:
        return [row[1:] for row in QUESTIONS["damaged"].ask(connection, Wanted()).rows]


def test_twice_reads_once_and_gives_the_same_rows(index: Index, shop: Path) -> None:
    """A second ingest of the same folders reads nothing and changes no row."""
    first = gather(index, [shop], MACHINE, workers=1)
    rows = all_rows(index)
    second = gather(index, [shop], MACHINE, workers=1)
    assert (Gathered(60, 60, 0), Gathered(60, 0, 0)) == (first, second)
    assert rows == all_rows(index)
    assert 60 == len(rows["sessions"])


def test_processes_read_the_same_rows(sqlite_index: Index, shop: Path, tmp_path: Path) -> None:
    """Two processes that read give the rows of one."""
    gather(sqlite_index, [shop], MACHINE, workers=2)
    with Index.open(str(tmp_path / "one.sqlite")) as one:
        gather(one, [shop], MACHINE, workers=1)
        assert all_rows(one) == all_rows(sqlite_index)


def test_what_was_added_is_read_alone(index: Index, shop: Path, made: Made) -> None:
    """Of sixty sessions and one more, one is read."""
    last = shop / made[-1][0]
    kept = last.rename(shop.parent / "aside")
    gather(index, [shop], MACHINE, workers=1)
    kept.rename(last)
    assert Gathered(60, 1, 0) == gather(index, [shop], MACHINE, workers=1)
    assert sorted(name for name, _ in made) == _names(index)


def test_a_session_that_goes_on_is_read_again(index: Index, tmp_path: Path, made: Made) -> None:
    """A walk is indexed as far as it went, then to its end, as if it had been read once."""
    name, content = made[0]
    lines = content.splitlines(keepends=True)
    folder = put(tmp_path / "open" / name, b"".join(lines[:100]))
    gather(index, [folder.parent], MACHINE, workers=1)
    with index.reading() as connection:
        half = connection.execute(select(SESSIONS.c.lines, SESSIONS.c.is_sealed)).one()
    assert (100, 0) == tuple(half)
    (folder / JOURNAL).write_bytes(content)
    gather(index, [folder.parent], MACHINE, workers=1)
    rows = all_rows(index)
    rebuild(index, [], MACHINE, workers=1)
    assert rows == all_rows(index)
    assert [] == _damaged(index)


def test_a_purged_session_leaves_the_index(index: Index, shop: Path, made: Made) -> None:
    """Where only a tombstone is left, no row is."""
    gather(index, [shop], MACHINE, workers=1)
    folder = shop / made[7][0]
    purge(plan_purge(folder, is_clips_only=False), clock=lambda: datetime.now(UTC))
    assert Gathered(59, 0, 1) == gather(index, [shop], MACHINE, workers=1)
    assert made[7][0] not in _names(index)
    rows = all_rows(index)
    rebuild(index, [], MACHINE, workers=1)
    assert rows == all_rows(index)


def test_what_was_purged_is_not_left_in_the_file(tmp_path: Path) -> None:
    """Neither a row nor an empty page of the file has the names of a purged session."""
    folder = odd_session(tmp_path / "s", unit="Walnut Court 7", technician="Z.Z.")
    odd_session(tmp_path / "s", unit="Other", technician="A.A.", session_id="odd-2")
    file = tmp_path / "shop.sqlite"
    with Index.open(str(file)) as index:
        gather(index, [tmp_path / "s"], MACHINE, workers=1)
    assert b"Walnut Court" in file.read_bytes()
    purge(plan_purge(folder, is_clips_only=False), clock=lambda: datetime.now(UTC))
    with Index.open(str(file)) as index:
        gather(index, [tmp_path / "s"], MACHINE, workers=1)
    left = b"".join(one.read_bytes() for one in tmp_path.glob("shop.sqlite*"))
    assert b"Walnut Court" not in left
    assert b"Other" in left


def test_a_copy_counts_once_and_stands_in_when_the_other_goes(
    index: Index, tmp_path: Path, made: Made
) -> None:
    """Of a whole session and a cut copy the whole one counts, until its folder is gone."""
    name, content = made[0]
    cut = b"".join(content.splitlines(keepends=True)[:50])
    whole, other = put(tmp_path / "a" / name, content), put(tmp_path / "b" / name, cut)
    gather(index, [other.parent, whole.parent], MACHINE, workers=1)
    with index.reading() as connection:
        assert [1] == list(connection.scalars(select(SESSIONS.c.is_sealed)))
    shutil.rmtree(whole)
    gather(index, [whole.parent, other.parent], MACHINE, workers=1)
    with index.reading() as connection:
        assert [50] == list(connection.scalars(select(SESSIONS.c.lines)))


def test_a_better_copy_that_is_spoiled_gives_way(index: Index, tmp_path: Path, made: Made) -> None:
    """A copy that is damaged after it was read no longer hides the sound one."""
    name, content = made[0]
    one, other = (
        put(tmp_path / "x" / "a" / name, content),
        put(tmp_path / "x" / "b" / name, content),
    )
    gather(index, [tmp_path / "x"], MACHINE, workers=1)
    for folder in sorted([one, other], reverse=True)[:1]:
        (folder / JOURNAL).write_bytes(content.replace(b'"answer":3', b'"answer":4', 1))
    gather(index, [tmp_path / "x"], MACHINE, workers=1)
    rows = all_rows(index)
    assert [] == _damaged(index)
    rebuild(index, [], MACHINE, workers=1)
    assert rows == all_rows(index)


@pytest.mark.parametrize(
    ("spoil", "line", "words"),
    [
        (lambda lines: lines[:80] + lines[81:], 81, "missing"),
        (lambda lines: [*lines[:40], b"rubbish\n", *lines[41:]], 41, "not JSON"),
        (
            lambda lines: [
                *lines[:60],
                lines[60].replace(b'"schema":1', b'"schema": 1'),
                *lines[61:],
            ],
            61,
            "changed",
        ),
        (lambda lines: [*lines[:20], lines[21], lines[20], *lines[22:]], 21, "out of order"),
        (lambda lines: [b"\xff\xfe\n", *lines[1:]], 1, "not UTF-8"),
        (lambda lines: [*lines, lines[-1]], None, "is a copy"),
        (lambda lines: lines[:0], 1, "no whole line"),
    ],
)
def test_a_damaged_journal_is_listed_by_line_and_counted_to_there(
    index: Index,
    shop: Path,
    made: Made,
    spoil: Callable[[list[bytes]], list[bytes]],
    line: int | None,
    words: str,
) -> None:
    """Damage is named by its line, what stands before it counts, and nothing fails."""
    name, content = made[5]
    lines = content.splitlines(keepends=True)
    (shop / name / JOURNAL).write_bytes(b"".join(spoil(lines)))
    gather(index, [shop], MACHINE, workers=1)
    expected = len(lines) + 1 if line is None else line
    ((folder, _, number, what),) = _damaged(index)
    assert (str(shop / name), expected) == (folder, number)
    assert words in str(what)
    with index.reading() as connection:
        mine = select(SESSIONS.c.lines).where(SESSIONS.c.folder == str(shop / name))
        assert expected - 1 == connection.scalar(mine)


def test_a_journal_that_is_no_file_is_listed_as_unread(index: Index, shop: Path) -> None:
    """A folder in the journal's place is told of, and the others are read."""
    (shop / "odd" / JOURNAL).mkdir(parents=True)
    gather(index, [shop], MACHINE, workers=1)
    ((folder, _, number, what),) = _damaged(index)
    assert (str(shop / "odd"), None) == (folder, number)
    assert "cannot be read" in str(what)
    assert 60 == len(_names(index))


def test_texts_that_no_database_takes_are_kept_as_marks(index: Index, tmp_path: Path) -> None:
    """A zero character, half of a pair and a quote in names are no trouble."""
    odd_session(tmp_path / "odd", unit="RTU '3'; --\x00 \ud800", technician="\u202eAB")
    gather(index, [tmp_path / "odd"], MACHINE, workers=1)
    with index.reading() as connection:
        row = connection.execute(select(SESSIONS.c.unit, SESSIONS.c.technician)).one()
    assert ("RTU '3'; --\ufffd ?", "\u202eAB") == tuple(row)


def test_a_folder_that_is_not_there_takes_nothing_out(index: Index, shop: Path) -> None:
    """A drive that is not mounted is one sentence, and the index stays as it is."""
    gather(index, [shop], MACHINE, workers=1)
    rows = all_rows(index)
    away = shop.rename(shop.parent / "away")
    with pytest.raises(ShopError, match="cannot be read"):
        gather(index, [shop], MACHINE, workers=1)
    with pytest.raises(ShopError, match="cannot be read"):
        rebuild(index, [], MACHINE, workers=1)
    assert rows == all_rows(index)
    assert 60 == len(names(list(away.iterdir())))


def test_another_machines_rows_stay_when_one_is_made_anew(
    index: Index, tmp_path: Path, made: Made
) -> None:
    """Rebuilding on one machine leaves what another put in."""
    for name, content in made[:4]:
        put(tmp_path / "one" / name, content)
    for name, content in made[4:9]:
        put(tmp_path / "two" / name, content)
    gather(index, [tmp_path / "one"], "van-1", workers=1)
    gather(index, [tmp_path / "two"], "van-2", workers=1)
    rows = all_rows(index)
    rebuild(index, [], "van-1", workers=1)
    assert rows == all_rows(index)
    assert 9 == len(_names(index))
