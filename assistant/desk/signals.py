"""A walk that the system ends: in order, as an interrupted one, and then as the signal would."""

import os
import signal
import threading
from collections.abc import Iterator
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
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = {number: signal.signal(number, _end) for number in _ENDING}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _end(number: int, frame: FrameType | None) -> None:
    del frame
    raise Ended(number)
