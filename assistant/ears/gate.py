"""The gate between a microphone and the ears: shut except while an answer is waited for.

What the voice says is never heard as an answer: `resume` throws away what came in before, `frames`
drops a short tail, the last of our own voice in the room.
"""

import contextlib
import queue
from collections.abc import Iterator
from typing import TypeAlias

import numpy as np

from assistant.ears.capture import BLOCK_MILLISECONDS
from assistant.ears.detector import FRAME
from assistant.ears.sound import RATE, Samples, is_muted
from assistant.ears.talk import TalkKey

BLOCKS_WAITING = int(30_000 / BLOCK_MILLISECONDS)
TAIL_SECONDS = 0.2
BLOCKS_AFTER = 3
"""Blocks behind a release that were spoken before it: a device gives its sound that much later."""
_QUIET: Samples = np.zeros(FRAME, np.int16)


class _Mark:
    """Something that stands between blocks."""


_END, _RELEASED = _Mark(), _Mark()
_Piece: TypeAlias = "Samples | _Mark"


class Gate:
    """Blocks of sound on their way from the device's thread to the ears.

    The queue is bounded: where nobody takes the blocks, the oldest are lost.

    Args:
        talk: says whether sound counts.
        tail: seconds to drop behind our own voice.
    """

    def __init__(self, talk: TalkKey | None = None, tail: float = TAIL_SECONDS) -> None:
        self._blocks: queue.Queue[_Piece] = queue.Queue(BLOCKS_WAITING)
        self._talk = talk or TalkKey()
        self._tail = 0 if self._talk.is_push else int(tail * RATE)
        self._is_open = False
        self._after = 0
        self._talk.on_release(self._mark_release)
        self.arrived = 0
        self.sounded = 0

    def put(self, block: Samples) -> None:
        """Take one block: dropped while the gate is shut, or nobody talks; but always counted."""
        self.arrived += 1
        if not is_muted(block):
            self.sounded = self.arrived
        if self._is_open and (self._talk.lets_through or self._after):
            self._add(block)
            self._end_talk()

    def _end_talk(self) -> None:
        """Count what the device still held when the key was let go; then the answer is over."""
        if self._after:
            self._after -= 1
            if not self._after:
                self._add(_RELEASED)

    def _add(self, piece: _Piece) -> None:
        if self._blocks.full():
            with contextlib.suppress(queue.Empty):  # the ears may just have taken it
                self._blocks.get_nowait()
        self._blocks.put_nowait(piece)

    def _mark_release(self) -> None:
        if self._is_open:
            self._after = BLOCKS_AFTER

    def resume(self) -> None:
        """Open the gate, then ask for a press; what came before is gone."""
        self.pause()
        self._is_open = True
        self._talk.wait()

    def pause(self) -> None:
        """Shut the gate and empty it."""
        self._is_open = False
        self._after = 0
        self._talk.shut()
        with contextlib.suppress(queue.Empty):
            while True:
                self._blocks.get_nowait()

    def end(self) -> None:
        """Shut the gate and end the frames that are being taken; from any thread."""
        self.pause()
        self._blocks.put_nowait(_END)

    def frames(self) -> Iterator[Samples]:
        """Give frames behind the tail as they come, until the gate is ended.

        Behind a release there is only quiet, so that the answer is over at once.
        """
        rest: Samples = np.zeros(0, np.int16)
        to_drop = self._tail
        while (piece := self._blocks.get()) is not _END:
            if isinstance(piece, _Mark):
                while True:
                    yield _QUIET
            rest = np.concatenate([rest, piece[to_drop:]])
            to_drop = max(0, to_drop - len(piece))
            whole = len(rest) - len(rest) % FRAME
            yield from rest[:whole].reshape(-1, FRAME)
            rest = rest[whole:]
