"""The folders of sessions under the folders that were named."""

import os
from collections.abc import Iterator
from pathlib import Path

from assistant.journal.reading import JOURNAL
from assistant.shop.errors import ShopError

DEEPEST = 4
"""So many folders down sessions are looked for: a shop's folder, a technician's, `sessions`."""


def session_folders(root: Path) -> Iterator[str]:
    """Give every session's folder under a folder, by name; links are not followed.

    A folder that may not be looked into is given as well, so that it is listed as unread.

    Args:
        root: an absolute path: a session's folder, a folder of sessions, or a folder above those.

    Raises:
        ShopError: when the folder named is not there or cannot be read.
    """
    look_at(root)
    yield from _under(os.fspath(root), DEEPEST)


def look_at(root: Path) -> None:
    """Look whether a folder that was named is there.

    Raises:
        ShopError: when it is not there or cannot be read.
    """
    try:
        os.scandir(root).close()
    except OSError as error:
        raise ShopError(
            f"The folder {root} cannot be read: {error.strerror}.",
            "Name a folder that holds sessions.",
        ) from error


def _under(folder: str, depth: int) -> Iterator[str]:
    if not is_gone(folder):
        yield folder
        return
    if depth == 0:
        return
    try:
        with os.scandir(folder) as entries:
            names = sorted(entry.name for entry in entries if entry.is_dir(follow_symlinks=False))
    except OSError:
        yield folder
        return
    for name in names:
        yield from _under(os.path.join(folder, name), depth - 1)  # noqa: PTH118 - many, so texts


def is_gone(folder: str) -> bool:
    """Say whether it is certain that a folder holds no journal of a session."""
    try:
        os.stat(os.path.join(folder, JOURNAL))  # noqa: PTH116, PTH118 - many, so texts
    except (FileNotFoundError, NotADirectoryError):
        return True
    except OSError:
        return False
    return False
