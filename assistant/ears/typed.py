"""Ears for words that were written: typed at a prompt, or one phrase a line in a file."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from assistant.ears.sound import EarsError
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, HungUp, Silence, Sound

_COMMENT = "#"
_LARGEST_BYTES = 1024 * 1024


def typed_sound(line: str, source: str = "typed") -> Heard | Silence | None:
    """Give what a written line counts as: words, silence where it is empty, nothing for a remark.

    Args:
        line: as it was written; put in lower case with single spaces.
        source: what `Heard.source` says.
    """
    words = " ".join(line.lower().split())
    if words.startswith(_COMMENT):
        return None
    return Heard(words, source=source) if words else Silence(source)


class LineEars:
    """Takes one line for each answer and hangs up behind the last.

    A remark is passed over.

    Args:
        lines: where the lines come from; read one at a time, only when they are needed.
        source: what `Heard.source` says.
    """

    def __init__(self, lines: Iterable[str], source: str = "typed") -> None:
        self._lines: Iterator[str] = iter(lines)
        self._source = source

    def listen(self, expectation: Expectation) -> Sound:
        """Take the next line that is no remark."""
        del expectation  # a line is taken as it is; the walk judges it
        for line in self._lines:
            sound = typed_sound(line, self._source)
            if sound is not None:
                return sound
        return HungUp("There is no further line.")

    def close(self) -> None:
        """Take no further line."""
        self._lines = iter(())


def read_lines(path: Path | str) -> tuple[str, ...]:
    """Read a file of phrases, one a line, UTF-8.

    Raises:
        EarsError: when it is missing, a folder, too large, or no text.
    """
    path = Path(path)
    if path.is_dir():
        raise EarsError(f"{path} is a folder.", "Give a text file with one phrase a line.")
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise EarsError(f"{path} is too large.", "Give a text file of at most 1 MB.")
        return tuple(path.read_text("utf-8-sig").splitlines())
    except FileNotFoundError as error:
        raise EarsError(f"There is no file {path}.", "Check the name of the file.") from error
    except UnicodeDecodeError as error:
        raise EarsError(f"{path} is not a text file.", "Save it as UTF-8 text.") from error
    except OSError as error:
        raise EarsError(
            f"{path} cannot be read: {error.strerror}.", "Check who may read it."
        ) from error
