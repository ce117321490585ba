"""A PostgreSQL server of our own, for as long as a test or a measurement takes.

It lives in a temporary folder, listens on a socket there and on no port, and runs as no root. Where
there is no server's program, `NoServer` says what to do about it.
"""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_OWNER = "postgres"
_WAIT_SECONDS = 60


class NoServer(Exception):  # noqa: N818 - it is an answer, no error
    """Says why no server can be started, and what would be right."""


@contextmanager
def running_server(*, is_synced: bool = False) -> Iterator[str]:
    """Start a server and give its URL; it is gone afterwards.

    Args:
        is_synced: whether it waits for the disk, as a real one does.

    Raises:
        NoServer: when there is none on this machine, or nobody may run it.
    """
    binaries = _binaries()
    if binaries is None:
        raise NoServer("no PostgreSQL server here: install Debian's package 'postgresql'")
    owner = _OWNER if os.geteuid() == 0 else None
    if owner is not None and not any(one.pw_name == owner for one in pwd.getpwall()):
        raise NoServer("a PostgreSQL server runs for no root: run the tests as another user")
    folder = Path(tempfile.mkdtemp(prefix="rungside-pg-"))
    try:
        with _served(binaries, folder, owner, is_synced=is_synced) as url:
            yield url
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def _served(binaries: Path, folder: Path, owner: str | None, *, is_synced: bool) -> Iterator[str]:
    if owner is not None:
        shutil.chown(folder, owner)

    def run(*command: str | Path) -> None:
        subprocess.run(
            command, check=True, user=owner, cwd=folder, stdout=subprocess.DEVNULL, timeout=300
        )

    cluster = folder / "cluster"
    run(binaries / "initdb", "-D", cluster, "-A", "trust", "-U", "shop", "-E", "UTF8", "--no-sync")
    options = f"-k {folder} -c listen_addresses='' -c fsync={'on' if is_synced else 'off'}"
    control = (binaries / "pg_ctl", "-D", cluster, "-w", "-t", str(_WAIT_SECONDS))
    run(*control, "-o", options, "-l", folder / "log", "start")
    try:
        yield f"postgresql://shop@/postgres?host={folder}"
    finally:
        run(*control, "-m", "immediate", "stop")


def _binaries() -> Path | None:
    """Give where the server's programs are: those of Debian, or those of the path."""
    debian = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    found = shutil.which("initdb")
    if debian:
        return debian[-1].parent
    return Path(found).resolve().parent if found else None
