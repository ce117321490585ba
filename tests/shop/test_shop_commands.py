"""`rungside shop` as it is run: filled, asked, written, refused."""

import csv
import io
import json
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant import cli

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Give a way to run the command with settings and an index of its own."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("RUNGSIDE_SHOP_LEADS", "RK, M.T.")
    monkeypatch.delenv("RUNGSIDE_SHOP_INDEX", raising=False)

    def command(*arguments: str | Path) -> tuple[int, str, str]:
        capsys.readouterr()
        code = cli.run(["shop", *map(str, arguments)])
        return code, *capsys.readouterr()

    return command


def _mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_a_shop_is_filled_and_asked(run: Run, shop: Path, tmp_path: Path) -> None:
    """Ingest twice, ask, write a private file; the index is the user's own and private."""
    assert (0, "60 sessions: 60 read, 0 as known, 0 gone.\n", "") == run("ingest", shop)
    assert (0, "60 sessions: 0 read, 60 as known, 0 gone.\n", "") == run("ingest", shop)
    own = tmp_path / "data" / "rungside" / "shop.sqlite"
    assert (0o600, 0o700) == (_mode(own), _mode(own.parent))
    _, text, _ = run("findings", "--by", "part", "--format", "csv")
    rows = list(csv.reader(io.StringIO(text)))
    assert ["part", "findings", "sessions"] == rows[0]
    assert 60 <= sum(int(row[1]) for row in rows[1:])
    page = tmp_path / "page.html"
    assert 0 == run("page", "--out", page)[0]
    assert 0o600 == _mode(page)
    assert "Capacitors by age against rating" in page.read_text(encoding="utf-8")
    assert "Technicians to coach" not in page.read_text(encoding="utf-8")
    why = "rungside: Parquet is no text for a terminal. Name a file with --out.\n"
    assert (2, "", why) == run("near", "--format", "parquet")
    assert 0 == run("near", "--format", "parquet", "--out", tmp_path / "near.parquet")[0]
    assert b"PAR1" == (tmp_path / "near.parquet").read_bytes()[:4]


def test_a_process_of_its_own_is_asked(run: Run, shop: Path, tmp_path: Path) -> None:
    """As a lead types it: the command, in a terminal's pipe, with the index by the environment."""
    file = tmp_path / "named.sqlite"
    run("ingest", shop, "--index", file)
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "shop", "times", "--top", "3"],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
        env={**os.environ, "RUNGSIDE_SHOP_INDEX": str(file)},
    )
    assert done.stdout.startswith("Time per step against the flow's estimates\n")
    assert "" == done.stderr


def test_single_people_are_shown_to_a_lead_only(
    run: Run, shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a lead's initials neither the coaching nor one technician's steps are told."""
    run("ingest", shop)
    for arguments in (
        ("coach",),
        ("coach", "--lead", "XX"),
        ("hesitation", "--tech", "AQ"),
        ("page", "--coaching"),
    ):
        code, out, error = run(*arguments)
        assert (1, "") == (code, out)
        assert error.startswith("rungside: How single technicians work is shown to")
    assert "coach" == json.loads(run("coach", "--lead", "m.t.", "--format", "json")[1])["question"]
    page = tmp_path / "lead.html"
    assert 0 == run("page", "--coaching", "--lead", "rk", "--out", page)[0]
    assert "Technicians to coach" in page.read_text(encoding="utf-8")
    assert 0o600 == _mode(page)
    monkeypatch.setenv("RUNGSIDE_SHOP_LEADS", "")
    assert 1 == run("coach", "--lead", "RK")[0]
    assert 1 == run("coach", "--lead", "")[0]


def test_what_cannot_be_done_is_one_sentence(run: Run, tmp_path: Path) -> None:
    """A folder, a server, a day, a name and a file that are not there."""
    text = tmp_path / "text"
    text.write_text("this is no database, whatever its name says, and it is long enough\n" * 40)
    nowhere = "postgresql://shop@/none?host=/nowhere"
    for arguments, words in (
        (("ingest", tmp_path / "nowhere"), "cannot be read: No such file"),
        (("ingest", tmp_path, "--index", nowhere), "cannot be used"),
        (("ingest", tmp_path, "--index", "mysql://host/name"), "An index is no mysql database."),
        (("near", "--index", text), "file is not a database"),
        (("near", "--unit", "RTU-1"), "The index holds no sessions. Fill it: rungside shop ingest"),
        (("rebuild",), "The index knows no folders of the machine"),
    ):
        code, _, error = run(*arguments)
        assert 1 == code
        assert words in error
        assert 1 == len(error.splitlines()), error


def test_what_cannot_be_asked_is_one_sentence(run: Run, shop: Path, tmp_path: Path) -> None:
    """A day, a name and a file that are not there."""
    run("ingest", shop)
    for arguments, words in (
        (("near", "--since", "2026-02-31"), "'2026-02-31' is no day."),
        (("near", "--since", "2026-03", "--until", "2026-01"), "Name the earlier day first."),
        (("near", "--unit", "RTU-99"), "The index knows no unit 'RTU-99'."),
        (("near", "--out", tmp_path / "no" / "file"), "cannot be written: No such file"),
    ):
        code, _, error = run(*arguments)
        assert 1 == code
        assert words in error
        assert 1 == len(error.splitlines()), error


def test_a_password_is_in_no_sentence(run: Run, tmp_path: Path) -> None:
    """An address that cannot be used is told without its password."""
    address = "postgresql://shop:hunter2@/none?host=/nowhere"
    code, out, error = run("ingest", tmp_path, "--index", address)
    assert 1 == code
    assert "hunter2" not in out + error


def test_damage_is_listed(run: Run, shop: Path, made: tuple[tuple[str, bytes], ...]) -> None:
    """Ingest goes on, says that there is damage, and lists it by line."""
    name, content = made[2]
    (shop / name / "journal.jsonl").write_bytes(content.replace(b'"said"', b'"sad"', 1))
    code, out, _ = run("ingest", shop)
    assert 0 == code
    assert "1 record damaged or unread: `rungside shop damaged` lists them." in out
    (row,) = json.loads(run("damaged", "--format", "json")[1])["rows"]
    assert (str(shop / name), 3) == (row["folder"], row["line"])
