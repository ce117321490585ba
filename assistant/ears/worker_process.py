"""A library in a process of its own, whose death or hanging costs one answer and no walk.

A request is one line of JSON, followed by as many bytes of sound as its `bytes` says; an answer is
one line of JSON. The process says that it is up with an answer of its own.
"""

import contextlib
import json
import queue
import subprocess
import sys
import threading
from collections.abc import Sequence
from typing import Any

LOADING_SECONDS = 60.0
ANSWER_SECONDS = 15.0
_ENDING_SECONDS = 2.0


class WorkerGoneError(Exception):
    """The process ended, or gave no answer in time."""


class WorkerLateError(WorkerGoneError):
    """It gave no answer in time; it may still come."""


class WorkerProcess:
    """One worker process and the talk with it; call `wait_until_up` before the first request.

    Args:
        module: the module of ours that it runs.
        arguments: what the module's command line takes.
    """

    def __init__(self, module: str, arguments: Sequence[str]) -> None:
        self._process = subprocess.Popen(  # noqa: S603 - our own module, no shell
            [sys.executable, "-m", module, *arguments],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._answers: queue.Queue[bytes] = queue.Queue()
        self._requests: queue.Queue[bytes | None] = queue.Queue()
        self._threads = [
            threading.Thread(target=work, daemon=True) for work in (self._read, self._write)
        ]
        for thread in self._threads:
            thread.start()

    @property
    def number(self) -> int:
        """The number that the system gave the process."""
        return self._process.pid

    def _read(self) -> None:
        assert self._process.stdout is not None  # noqa: S101 - it was asked for
        for line in self._process.stdout:
            self._answers.put(line)
        self._answers.put(b"")

    def _write(self) -> None:
        """Write requests; a process that hangs keeps this thread waiting, and nobody else."""
        assert self._process.stdin is not None  # noqa: S101 - it was asked for
        with contextlib.suppress(OSError, ValueError), self._process.stdin as requests:
            while (request := self._requests.get()) is not None:
                requests.write(request)
                if self._requests.empty():
                    requests.flush()

    def wait_until_up(self, seconds: float = LOADING_SECONDS) -> None:
        """Wait until it takes requests; one that does not come up is ended.

        Raises:
            WorkerGoneError: when it does not come up in time.
        """
        try:
            self.answer(seconds)
        except WorkerGoneError:
            self.end()
            raise

    def answer(self, seconds: float) -> dict[str, Any]:
        """Wait for the next answer.

        Raises:
            WorkerGoneError: when the process has ended; `WorkerLateError` where it does not answer
                in time.
        """
        try:
            line = self._answers.get(timeout=seconds)
            answer: dict[str, Any] = json.loads(line)
        except queue.Empty as error:
            raise WorkerLateError from error
        except ValueError as error:
            raise WorkerGoneError from error
        return answer

    def send(self, request: dict[str, object], sound: bytes = b"") -> None:
        """Send a request without waiting.

        Raises:
            WorkerGoneError: when the process has ended.
        """
        if self._process.poll() is not None:
            raise WorkerGoneError
        request = {**request, "bytes": len(sound)}
        self._requests.put(json.dumps(request).encode() + b"\n" + sound)

    def ask(self, request: dict[str, object]) -> dict[str, Any]:
        """Send a request and wait for its answer.

        Raises:
            WorkerGoneError: when the process has ended or does not answer in time.
        """
        self.send(request)
        return self.answer(ANSWER_SECONDS)

    def end(self) -> None:
        """End the process, by force if need be; may be called twice."""
        self._requests.put(None)
        try:
            self._process.wait(_ENDING_SECONDS)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        for thread in self._threads:
            thread.join(_ENDING_SECONDS)
        if self._process.stdout is not None:
            self._process.stdout.close()
