"""The parent's side of the process that owns the speech engine."""

import contextlib
import json
import os
import queue
import subprocess
import sys
import tempfile
import threading
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO, Any

import assistant
from assistant.voice.engines import Order
from assistant.voice.errors import VoiceError

LEAVE_SECONDS = 0.5


@dataclass(frozen=True, slots=True)
class Answer:
    """What the process said to one order, or on its start.

    Args:
        head: the answer's fields; `why` is empty when all went well.
        sound: the WAV file's content, if there is one.
    """

    head: dict[str, Any]
    sound: bytes = b""


def worker_command(*options: str) -> tuple[str, ...]:
    """Give the command that starts the process, without its folder.

    `-P` keeps a file that happens to lie in the current folder from being taken for a module.
    """
    return (sys.executable, "-P", "-m", "assistant.voice.worker", *options)


def worker_environment() -> dict[str, str]:
    """Give an environment in which the process finds this same package."""
    home = str(Path(assistant.__file__).resolve().parent.parent)
    paths = [path for path in (os.environ.get("PYTHONPATH", ""), home) if path]
    return os.environ | {"PYTHONPATH": os.pathsep.join(paths)}


class SpeechProcess:
    """One running process; it is not used again once it failed.

    Args:
        command: what starts it; the name of a folder for its files is put behind the module.

    Raises:
        VoiceError: it cannot be started at all.
    """

    def __init__(self, command: Sequence[str]) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="rungside-voice-")
        try:
            # A session of its own: Ctrl-C in the terminal then reaches only the parent.
            self._process = subprocess.Popen(  # noqa: S603 - our own module, no outside words
                [*command, self._folder.name],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=worker_environment(),
                start_new_session=True,
            )
        except OSError as trouble:
            self._folder.cleanup()
            raise VoiceError(f"The speech process does not start ({trouble}).") from trouble
        self._answers: queue.Queue[Answer | None] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    @property
    def pid(self) -> int:
        """Give the process's number."""
        return self._process.pid

    def _read(self) -> None:
        """Collect answers until the process is gone; None stands for its end."""
        output = self._process.stdout
        with contextlib.suppress(ValueError, OSError, EOFError):
            while output is not None and (line := output.readline()):
                head = json.loads(line)
                self._answers.put(Answer(head, _read_whole(output, int(head["bytes"]))))
        self._answers.put(None)

    def order(self, order: Order) -> None:
        """Hand over one order.

        Raises:
            VoiceError: the process is gone.
        """
        line = json.dumps(asdict(order)).encode() + b"\n"
        try:
            if self._process.stdin is not None:
                self._process.stdin.write(line)
                self._process.stdin.flush()
        except (OSError, ValueError) as trouble:
            raise VoiceError("The speech process is gone.") from trouble

    def receive(self, seconds: float) -> Answer:
        """Wait for the next answer.

        Raises:
            VoiceError: the process hangs or is gone.
        """
        try:
            answer = self._answers.get(timeout=seconds)
        except queue.Empty:
            raise VoiceError(f"The speech process did not answer in {seconds:.1f} s.") from None
        if answer is None:
            raise VoiceError("The speech process is gone.")
        return answer

    def leave(self) -> None:
        """Let the process end by itself; end it by force when it does not."""
        if self._process.stdin is not None:
            with contextlib.suppress(OSError, ValueError):
                self._process.stdin.close()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._process.wait(LEAVE_SECONDS)
        self.kill()

    def kill(self) -> None:
        """End the process by force and wait until it is gone; may be called twice."""
        self._process.kill()
        self._process.wait()
        self._reader.join()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()
        with contextlib.suppress(OSError):
            self._folder.cleanup()


def _read_whole(output: IO[bytes], count: int) -> bytes:
    content = output.read(count)
    if len(content) < count:
        raise EOFError
    return content
