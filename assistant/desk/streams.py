"""The standard streams of a command: closed, full, or left by whoever read them."""

import errno
import io
import os
import sys
from contextlib import suppress

_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk is full",
    errno.EPIPE: "nobody reads it any more",
    errno.EBADF: "standard output is closed",
}


class ClosedStream(io.TextIOWrapper):
    """Stands in the place of a stream that was closed from the beginning.

    Args:
        flags: how nothing is opened; for reading, each write fails as on a closed stream.
    """

    def __init__(self, flags: int) -> None:
        handle = os.open(os.devnull, flags)
        os.set_inheritable(handle, True)
        super().__init__(io.BufferedWriter(io.FileIO(handle, "w")), encoding="utf-8")


def open_closed_streams() -> None:
    """Put something in the place of each standard stream that was closed from the beginning.

    Else the next file that is opened takes its number, and what a library prints goes into it: into
    a journal. Typing into the stand-in and printing to it fail; complaints go nowhere.
    """
    if sys.stdin is None:
        sys.stdin = ClosedStream(os.O_WRONLY)
    if sys.stdout is None:
        sys.stdout = ClosedStream(os.O_RDONLY)
    if sys.stderr is None:
        sys.stderr = ClosedStream(os.O_WRONLY)


def can_be_typed() -> bool:
    """Whether standard input was open when the program began."""
    return not isinstance(sys.stdin, ClosedStream)


def let_go_of_stuck() -> None:
    """Give up what a stream could not write, so that the end of the program does not try again."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, ValueError):
            with suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def stream_failure(error: OSError) -> str:
    """Say in one sentence why something could not be printed, or what else the system refused."""
    reason = error.strerror or str(error) or type(error).__name__
    if error.filename is not None:
        return f"{error.filename}: {reason}."
    if error.errno in _REASONS:
        return f"What is to be printed cannot be written: {_REASONS[error.errno]}."
    return f"The system reports: {reason}."
