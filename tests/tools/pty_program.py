"""A program in a terminal of its own, for tests: typed to, and read as a person would."""

import os
import pty
import select
import subprocess
import termios
import time
from collections.abc import Mapping, Sequence


class PtyProgram:
    """A program in a terminal of its own.

    Args:
        command: what is run.
        environment: what is added to the environment.
        patience: seconds to wait for words.
    """

    def __init__(
        self, command: Sequence[str], environment: Mapping[str, str], patience: float = 60
    ) -> None:
        self._ours, self._theirs = pty.openpty()
        self._patience = patience
        self.before = termios.tcgetattr(self._theirs)
        self.program = subprocess.Popen(
            command,
            stdin=self._theirs,
            stdout=self._theirs,
            stderr=self._theirs,
            env={**os.environ, "TERM": "xterm", **environment},
            start_new_session=True,
        )
        self.seen = ""

    def type(self, keys: str) -> None:
        """Type."""
        os.write(self._ours, keys.encode())

    def see(self, words: str, times: int = 1) -> None:
        """Wait until words are on it, so many times; broken lines are read as one."""
        end = time.monotonic() + self._patience
        while " ".join(self.seen.split()).count(words) < times:
            assert time.monotonic() < end, self.seen
            self._read(0.1)

    def _read(self, seconds: float) -> None:
        if select.select([self._ours], [], [], seconds)[0]:
            self.seen += os.read(self._ours, 4096).decode("utf-8", "replace")

    def end(self) -> int:
        """Read on until the program has ended, and give its exit code."""
        end = time.monotonic() + self._patience
        while self.program.poll() is None:
            assert time.monotonic() < end, self.seen
            self._read(0.1)
        self._read(0.1)
        return self.program.returncode

    @property
    def is_as_before(self) -> bool:
        """Whether the terminal is set as it was."""
        return termios.tcgetattr(self._theirs) == self.before

    def close(self) -> None:
        """End the program and the terminal."""
        self.program.kill()
        self.program.wait()
        os.close(self._ours)
        os.close(self._theirs)
