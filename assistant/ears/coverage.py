"""Whether all that was spoken in an answer is in the words it came to.

A soft first digit, far away in noise, can pass for noise in front of the second: "six two" comes
out as "two", and a second ear may make the same of it. But its sound is there, where no word is.

The limits were set on 145 answers of the hearing bench's tuning part at 20, 10 and 5 dB. Where the
words were right (84) at most 60 ms of loud sound were beside them, and the first began within
0.1 s of the first voice, but for one where an "it's" before the number had been lost.
"""

from collections.abc import Sequence

import numpy as np

from assistant.ears.detector import FRAME, FRAME_SECONDS
from assistant.ears.sound import Span, Stretch, frame_powers
from assistant.spoken.lexicon import BESIDE_NUMBERS

_LOUD_SHARE = 10 ** (-15 / 10)
_LOUDEST = 0.25
_MOST_BESIDE = 0.08
_LATEST_START = 0.2


def spans_of_number(words: Sequence[tuple[str, Span]]) -> tuple[Span, ...]:
    """Give where the words of a number are, but for one at either end that is none of it.

    In noise a soft first digit is taken for an "er" or a "reads", a last one for a "there"; two
    such words on end are longer than a digit, so they were said.

    Args:
        words: of the answer, in order, each with its span.
    """
    beside = [word in BESIDE_NUMBERS for word, _ in words]
    first = 1 if beside[:2] == [True, False] else 0
    last = len(words) - (beside[-2:] == [False, True])
    return tuple(span for _, span in words[first:last])


def has_unheard(answer: Stretch, spans: Sequence[Span]) -> bool:
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


def seconds_beside(answer: Stretch, spans: Sequence[Span]) -> float:
    """Give for how long it is about as loud as the words where no word is, its noise taken out."""
    powers = frame_powers(answer.cleaned, FRAME)
    is_word = np.zeros(len(powers), np.bool_)
    for start, end in spans:
        is_word[int(start / FRAME_SECONDS) : int(end / FRAME_SECONDS) + 1] = True
    within = np.sort(powers[is_word])
    if not len(within):
        return 0.0
    loud = within[-max(1, round(len(within) * _LOUDEST)) :].mean()
    beside = powers[~is_word] > loud * _LOUD_SHARE
    return int(np.count_nonzero(beside)) * FRAME_SECONDS
