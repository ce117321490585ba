"""One terminal for two: lines that come from the walk, and a line that is being typed.

A line that comes while something is typed goes above it. The terminal gives each key at once, so
that a key can be a talk key; however the walk ends, it is put back as it was.
"""

import atexit
import os
import select
import signal
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from shutil import get_terminal_size
from types import FrameType
from typing import Any, TextIO

_ERASE = "\r\x1b[K"
_TELL_RELEASES, _TELL_NO_MORE = "\x1b[>2u", "\x1b[<u"
"""Ask a terminal to tell when a key is let go; those that cannot pass it over."""
_DUMB = {"", "dumb", "linux"}
_MARK = "> "


class SharedOutput:
    """Standard output with a line that is being typed at its foot.

    Args:
        stream: the terminal.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._lock = threading.RLock()
        self._entry = ""

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401 - whatever the stream has
        """Be the stream in all else."""
        return getattr(self._stream, name)

    def write(self, text: str) -> int:
        """Write above the line that is being typed."""
        with self._lock:
            if self._entry:
                self._stream.write(_ERASE)
            count = self._stream.write(text)
            if self._entry and text.endswith("\n"):
                self._stream.write(self._shown())
            self._stream.flush()
        return count

    def show_entry(self, entry: str) -> None:
        """Show what has been typed so far; empty: nothing."""
        with self._lock:
            self._entry = entry
            self._stream.write(_ERASE + (self._shown() if entry else ""))
            self._stream.flush()

    def end_entry(self) -> None:
        """Leave the typed line where it stands, and begin a new one."""
        with self._lock:
            self._entry = ""
            self._stream.write("\n")
            self._stream.flush()

    def _shown(self) -> str:
        room = max(get_terminal_size().columns - len(_MARK) - 1, 8)
        return _MARK + self._entry[-room:]


def _ask(sequence: str) -> None:
    """Ask the terminal for something that not every terminal can."""
    terminal = sys.__stdout__
    if terminal is None or os.environ.get("TERM", "") in _DUMB:
        return
    with suppress(OSError, ValueError):
        terminal.write(sequence)
        terminal.flush()


class RawTerminal:
    """Standard input, key by key, until it is closed.

    Args:
        take: takes each piece of bytes; empty at the end of input. From a thread of its own.
    """

    def __init__(self, take: Callable[[bytes], None]) -> None:
        self._take = take
        self._file = sys.stdin.fileno()
        self._wake = os.pipe()
        self._before: Any = None
        self._handlers: dict[int, Any] = {}
        self._thread = threading.Thread(target=self._read, name="keyboard", daemon=True)

    def open(self) -> None:
        """Take the terminal; put back at the end of the process, whatever ends it but a kill."""
        import termios

        self._before = termios.tcgetattr(self._file)
        atexit.register(self.restore)
        if threading.current_thread() is threading.main_thread():
            for number in (signal.SIGTERM, signal.SIGHUP):
                self._handlers[number] = signal.signal(number, self._leave)
            self._handlers[signal.SIGCONT] = signal.signal(signal.SIGCONT, self._take_again)
        self._set()
        self._thread.start()

    def _set(self) -> None:
        import tty

        tty.setcbreak(self._file)
        _ask(_TELL_RELEASES)

    def _take_again(self, number: int, frame: FrameType | None) -> None:
        """Take the terminal again after the process was stopped and continued."""
        del number, frame
        self._set()

    def _leave(self, number: int, frame: FrameType | None) -> None:
        """Put the terminal back, and end as the signal would have."""
        del frame
        self.restore()
        signal.signal(number, signal.SIG_DFL)
        os.kill(os.getpid(), number)

    def _read(self) -> None:
        while True:
            ready, _, _ = select.select([self._file, self._wake[0]], [], [])
            if self._wake[0] in ready:
                return
            piece = os.read(self._file, 1024)
            self._take(piece)
            if not piece:
                return

    def restore(self) -> None:
        """Put the terminal back as it was; may be called twice."""
        import termios

        before, self._before = self._before, None
        if before is None:
            return
        _ask(_TELL_NO_MORE)
        with suppress(termios.error):
            termios.tcsetattr(self._file, termios.TCSADRAIN, before)
        atexit.unregister(self.restore)

    def close(self) -> None:
        """Let go of the terminal; may be called twice."""
        self.restore()
        with suppress(OSError):
            os.write(self._wake[1], b".")
        for number, handler in self._handlers.items():
            signal.signal(number, handler)
        self._handlers.clear()
