"""Whether all that was spoken in an answer is in the words it came to.

A soft first digit, far away in noise, can pass for noise in front of the second: "six two" comes
out as "two", and a second ear may make the same of it. But its sound is there, where no word is.

The limits were set on 145 answers of the hearing bench's tuning part at 20, 10 and 5 dB. Where the
words were right (84) at most 60 ms of loud sound were beside them, and the first began within
0.1 s of the first voice, but for one where an "it's" before the number had been lost.
"""

from collections.abc import Sequence

import numpy as np

from assistant.ears.detector import FRAME
from assistant.ears.sound import RATE, Stretch, frame_powers

_LOUD_SHARE = 10 ** (-15 / 10)
_LOUDEST = 0.25
_MOST_BESIDE = 0.08
_LATEST_START = 0.2


def has_unheard(answer: Stretch, spans: Sequence[tuple[float, float]]) -> bool:
    """Tell whether something that may be a word was heard as none.

    Args:
        answer: the sound.
        spans: from where to where each word lasts, in seconds; where there are none, nobody told.
    """
    if not spans:
        return False
    if answer.onset is not None and spans[0][0] - answer.onset > _LATEST_START:
        return True
    return seconds_beside(answer, spans) > _MOST_BESIDE


def seconds_beside(answer: Stretch, spans: Sequence[tuple[float, float]]) -> float:
    """Give for how long it is about as loud as the words where no word is, its noise taken out."""
    powers = frame_powers(answer.cleaned, FRAME)
    is_word = np.zeros(len(powers), np.bool_)
    for start, end in spans:
        is_word[int(start * RATE / FRAME) : int(end * RATE / FRAME) + 1] = True
    within = np.sort(powers[is_word])
    if not len(within):
        return 0.0
    loud = within[-max(1, round(len(within) * _LOUDEST)) :].mean()
    beside = powers[~is_word] > loud * _LOUD_SHARE
    return float(np.count_nonzero(beside)) * FRAME / RATE
