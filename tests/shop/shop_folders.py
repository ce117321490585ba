"""Sessions put into folders, as the tests of the shop need them."""

from pathlib import Path

from assistant.journal.reading import JOURNAL


def put(folder: Path, content: bytes) -> Path:
    """Put a session into a folder."""
    folder.mkdir(parents=True)
    (folder / JOURNAL).write_bytes(content)
    return folder
