"""A walk that the system ends: in order, as an interrupted one, and then as the signal would."""

import os
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

_ENDING = tuple(
    number for name in ("SIGTERM", "SIGHUP") if (number := getattr(signal, name, None)) is not None
)


class Ended(BaseException):
    """The system has told this process to end.

    Args:
        number: the signal.
    """

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number
        self.sentence = f"Ended by {signal.Signals(number).name}."

    def end_process(self) -> None:
        """End as the signal would have, so that whoever sent it sees that."""
        signal.signal(self.number, signal.SIG_DFL)
        os.kill(os.getpid(), self.number)


@contextmanager
def ending_in_order() -> Iterator[None]:
    """Raise `Ended` where the system ends the process, so that all that is open is closed.

    Raises:
        Ended: in the main thread, wherever it is.
    """

    def end(number: int) -> None:
        raise Ended(number)

    with _handled(end):
        yield


@contextmanager
def leaving_in_order(leave: Callable[[], object]) -> Iterator[None]:
    """Leave where the system ends the process, and raise `Ended` once all is left.

    Args:
        leave: asks what runs in the main thread to end; it is called there.

    Raises:
        Ended: behind the block, where that was so.
    """
    numbers: list[int] = []

    def end(number: int) -> None:
        numbers.append(number)
        leave()

    with _handled(end):
        yield
    if numbers:
        raise Ended(numbers[0])


@contextmanager
def _handled(handle: Callable[[int], None]) -> Iterator[None]:
    """Hand the signals that end a process to a function; only the main thread can."""

    def take(number: int, frame: FrameType | None) -> None:
        del frame
        handle(number)

    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = {number: signal.signal(number, take) for number in _ENDING}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
