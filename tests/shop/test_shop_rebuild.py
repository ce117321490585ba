"""Whatever happened to the folders, the index is what it would be if it were made anew."""

import shutil
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shop_rows import MACHINE, all_rows

from assistant.journal.purging import plan_purge, purge
from assistant.journal.reading import JOURNAL
from assistant.shop.gathering import gather
from assistant.shop.index import Index
from assistant.shop.rebuilding import rebuild
from assistant.shop.settling import settle

Made = tuple[tuple[str, bytes], ...]
DEEDS = st.tuples(
    st.sampled_from(["add", "cut", "spoil", "purge", "remove", "copy", "touch", "ingest", "swap"]),
    st.integers(0, 7),
    st.floats(0, 1),
)


def do(folder: Path, made: Made, deed: tuple[str, int, float]) -> None:
    """Do something to a session's folder; nothing where it is not there."""
    what, number, share = deed
    name, content = made[number]
    place = folder / "one" / name
    journal = place / JOURNAL
    if what == "add":
        place.mkdir(parents=True, exist_ok=True)
        journal.write_bytes(content)
    elif not journal.is_file():
        return
    elif what == "cut":
        journal.write_bytes(content[: int(len(content) * share)])
    elif what == "spoil":
        lines = content.splitlines(keepends=True)
        gone = int((len(lines) - 1) * share)
        journal.write_bytes(b"".join(lines[:gone] + lines[gone + 1 :]))
    elif what == "purge":
        purge(plan_purge(place, is_clips_only=False), clock=lambda: datetime.now(UTC))
    elif what == "remove":
        shutil.rmtree(place)
    elif what == "copy":
        shutil.copytree(place, folder / "two" / name, dirs_exist_ok=True)
    elif what == "swap":
        journal.write_bytes(made[(number + 1) % 8][1])
    elif what == "touch":
        journal.touch()


def follows_the_folder(index: Index, made: Made, deeds: list[tuple[str, int, float]]) -> None:
    """Do deeds with ingests between them; the rows are those of an index made anew."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for kind in ("one", "two"):
            (folder / kind).mkdir()
        index.make_anew()
        for deed in deeds:
            if deed[0] == "ingest":
                gather(index, [folder], MACHINE, workers=1)
            else:
                do(folder, made, deed)
        gather(index, [folder], MACHINE, workers=1)
        rows = all_rows(index)
        rebuild(index, [], MACHINE, workers=1)
        assert all_rows(index) == rows
        assert 0 == settle(index)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(deeds=st.lists(DEEDS, max_size=24))
def test_the_index_follows_the_folder(
    sqlite_index: Index, made: Made, deeds: list[tuple[str, int, float]]
) -> None:
    """On SQLite, whatever was done in whatever order."""
    follows_the_folder(sqlite_index, made, deeds)


@settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(deeds=st.lists(DEEDS, min_size=8, max_size=24))
def test_the_index_on_a_server_follows_the_folder(
    server: str, made: Made, deeds: list[tuple[str, int, float]]
) -> None:
    """On PostgreSQL as well."""
    with Index.open(server, is_any=True) as index:
        follows_the_folder(index, made, deeds)
