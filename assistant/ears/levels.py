"""How loud a microphone is: what it gives of a voice, and of the room behind it.

All levels are in dB of full scale (a sine that fills 16 bit has -3). The limits are common practice
for a recogniser that wants 10 dB between voice and room, no source.
"""

import math
import threading
from dataclasses import dataclass

import numpy as np

from assistant.ears.capture import Open, open_capture
from assistant.ears.detector import FRAME
from assistant.ears.sound import FULL_SCALE, RATE, Samples, frame_powers, is_muted

_SILENT = -100.0
_ROOM_SHARE, _VOICE_SHARE = 10, 95
_CLIPPED_AT = 32700
_CLIPPED_SHARE = 0.0005
_VOICE_ABOVE = 8.0
_SAFE_ABOVE = 10.0
_QUIET_ROOM, _LOUD_ROOM, _TOO_LOUD_ROOM = -50.0, -35.0, -25.0
_FAINT_VOICE = -45.0
_TOO_LOUD = "too loud here to hear numbers safely: bring it to the mouth, or type them"
_METER_CELLS, _METER_FLOOR = 30, -60.0


@dataclass(frozen=True, slots=True)
class Levels:
    """What a stretch of sound came to.

    Args:
        loudest: level of its loud parts: the voice, where there is one.
        room: level of its quiet parts.
        clipped: share of samples at the limit of what 16 bit can hold.
        is_silent: whether it is what a muted device gives, from end to end.
    """

    loudest: float
    room: float
    clipped: float = 0.0
    is_silent: bool = False

    @property
    def has_voice(self) -> bool:
        """Whether something stood out of the room: a voice, if somebody spoke."""
        return self.loudest - self.room >= _VOICE_ABOVE

    @property
    def verdict(self) -> str:
        """Say in words what it is worth, and what to do."""
        if self.is_silent:
            return "silence: it gives nothing at all; see whether it is muted or its switch is off"
        if self.clipped > _CLIPPED_SHARE:
            return "clipping: turn its level down, or move it away from the mouth"
        if self.room > _TOO_LOUD_ROOM:
            return _TOO_LOUD
        return self._voice_verdict if self.has_voice else self._room_verdict

    @property
    def _voice_verdict(self) -> str:
        if self.loudest < _FAINT_VOICE:
            return "too quiet: move the microphone nearer, or turn its level up"
        if self.loudest - self.room < _SAFE_ABOVE:
            return _TOO_LOUD
        return "good: the voice stands well above the room"

    @property
    def _room_verdict(self) -> str:
        if self.room > _LOUD_ROOM:
            return "loud: numbers will be asked back; hold the microphone close to the mouth"
        if self.room > _QUIET_ROOM:
            return "somewhat loud; hold the microphone close to the mouth"
        return "quiet; nobody spoke while it was measured"

    @property
    def lines(self) -> tuple[str, ...]:
        """Give it as text, a meter's bar with its figures and the words."""
        return (
            f"level:  {_bar(self.loudest)} {self.loudest:.0f} dBFS",
            f"noise:  {_bar(self.room)} {self.room:.0f} dBFS",
            f"so it is {self.verdict}.",
        )


def measure(samples: Samples) -> Levels:
    """Measure a stretch of sound: int16, mono, 16 kHz."""
    whole = samples[: len(samples) - len(samples) % FRAME].reshape(-1, FRAME)
    if is_muted(whole):
        return Levels(_SILENT, _SILENT, is_silent=True)
    powers = frame_powers(samples, FRAME)
    clipped = float((np.abs(whole.astype(np.int32)) >= _CLIPPED_AT).mean())
    room, loudest = np.percentile(powers, (_ROOM_SHARE, _VOICE_SHARE))
    return Levels(_decibels(float(loudest)), _decibels(float(room)), clipped)


def _decibels(power: float) -> float:
    return max(10 * math.log10(max(power, 1e-9) / FULL_SCALE**2), _SILENT)


def _bar(level: float) -> str:
    """Draw a level: nothing at -60 dB, all of it at 0."""
    filled = round((level - _METER_FLOOR) / -_METER_FLOOR * _METER_CELLS)
    filled = min(max(filled, 0), _METER_CELLS)
    return "[" + "#" * filled + "-" * (_METER_CELLS - filled) + "]"


def record(name: str, seconds: float, open_device: Open = open_capture) -> Samples:
    """Record from a microphone.

    Args:
        name: part of its name; empty: the usual one.
        seconds: how long.
        open_device: opens it.

    Returns:
        What it gave; less where it gave nothing more.

    Raises:
        EarsError: when it is not there or cannot be opened.
        DeviceError: when the sound system answers with an error.
    """
    blocks: list[Samples] = []
    is_enough = threading.Event()

    def take(block: Samples) -> None:
        blocks.append(block.copy())
        if sum(map(len, blocks)) >= seconds * RATE:
            is_enough.set()

    device = open_device(name, take)
    is_enough.wait(seconds + 2.5)
    device.close()
    return np.concatenate(blocks) if blocks else np.zeros(0, np.int16)
