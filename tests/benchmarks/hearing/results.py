"""Lines of trials on disk: one JSON object each, appended, read back by name."""

import json
from collections.abc import Iterator, Mapping
from pathlib import Path


def read_lines(path: Path) -> list[dict[str, object]]:
    """Read JSON lines; a last one that was cut off is left out. No file, no lines."""
    if not path.exists():
        return []
    found: list[dict[str, object]] = []
    for line in path.read_text("utf-8").splitlines():
        try:
            found.append(json.loads(line))
        except json.JSONDecodeError:
            continue
    return found


def append_line(path: Path, record: Mapping[str, object]) -> None:
    """Append one line and let go of the file, so that a broken-off run keeps it.

    A line that a killed run left half written is ended first, so that it spoils no other.
    """
    with path.open("a+b") as file:
        file.seek(max(file.tell() - 1, 0))
        is_torn = file.read(1) not in {b"", b"\n"}
        text = json.dumps(record, ensure_ascii=False) + "\n"
        file.write(b"\n" * is_torn + text.encode())


def chosen(
    lines: list[dict[str, object]], wanted: Mapping[str, list[str] | None]
) -> Iterator[dict[str, object]]:
    """Give the lines whose fields are among those wanted; None wants any.

    A ratio is written as `20`, and `clean` where there is no noise.
    """
    for line in lines:
        if all(ways is None or _written(line[name]) in ways for name, ways in wanted.items()):
            yield line


def _written(value: object) -> str:
    if value is None:
        return "clean"
    return f"{value:g}" if isinstance(value, float) else str(value)
