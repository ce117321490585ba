"""What several ears that heard the same sound come to together.

No ear's own score is a probability, so none is believed alone. Those that the speaker's voice suits
best are counted. Each ranks phrases; the phrase that is least far behind in all rankings wins,
where phrases that mean nothing at the turn, and commands, have a price. What any ear put first, and
what is nearly as likely, becomes an alternative, so that the layer above asks wherever one of them
means something else; where the sound fits only fairly well, much less likely phrases are
alternatives too. Sound that fits the words badly is only good for a question; sound that fits them
worse, or a command that fits badly and is not to wait or to stop, is no answer.

The limits were set on voices of the hearing bench's tuning part, with and without noise.
"""

import math
from collections.abc import Callable, Sequence
from statistics import fmean

from assistant.ears.recogniser import Hypothesis
from assistant.ears.sphinx_decoder import Decoded
from assistant.spoken.meaning import Command, CommandKind, Unclear

OUTSIDE = "This was no answer that the step takes."
FAINT = "That was hard to hear."

NOT_RANKED = 600.0
"""How far behind a phrase counts that an ear did not rank; none is further behind."""
_NEARLY = 200.0
_NEARLY_WHERE_DOUBTFUL = 600.0
_MOST_ALTERNATIVES = 6
_FEWEST_COUNTED = 3
_SUITS, _HEARD_AT_ALL = 6.0, 12.0
"""How much worse an ear may fit than the best one to be counted, to be doubted for its first."""

_OF_NO_MEANING, _OF_A_COMMAND = 250.0, 60.0
"""By how much a phrase is put behind that means nothing here, and one that is a command."""

_WORST_WHERE_AGREED, _WORST_WHERE_SPLIT, _WORST_BEYOND_DOUBT = -95.0, -64.0, -52.0
_WHOLE_BEYOND_DOUBT = -37.0
_GOOD_FOR_A_QUESTION = 6.0
"""How far the whole may fit worse than what is believed, and a third of how far one word may."""

_SAFE_COMMANDS = frozenset({CommandKind.HOLD, CommandKind.STOP})


def _worst_whole_fit(frames: int) -> float:
    """Give how badly words of that length may fit: short ones fit worse even when they are right.

    Measured on eight voices: the worst right answer is at -55 below 0.45 s and at -35 above 1.5 s,
    speech that is no answer lasts longer and mostly is below -43.
    """
    return min(-59.0 + 0.17 * max(0, frames - 45), -40.0)


def _price(sense: object) -> float:
    if isinstance(sense, Unclear):
        return _OF_NO_MEANING
    return _OF_A_COMMAND if isinstance(sense, Command) else 0.0


def rank(
    ballots: Sequence[Decoded], price: Callable[[str], float] = lambda _: 0.0
) -> dict[str, float]:
    """Give for each phrase how far it is behind on average, its price added, best first."""
    ranked = [{each.words: each.behind for each in ballot.ranking} for ballot in ballots]
    phrases = dict.fromkeys(words for ranking in ranked for words in ranking)
    mean = {
        words: fmean(min(ranking.get(words, NOT_RANKED), NOT_RANKED) for ranking in ranked)
        + price(words)
        for words in phrases
    }
    return dict(sorted(mean.items(), key=lambda item: item[1]))


def vote(ballots: Sequence[Decoded], sense_of: Callable[[str], object]) -> Hypothesis:
    """Find the phrase that the ears agree on most, and what else it could have been.

    Args:
        ballots: what each ear made of the sound.
        sense_of: gives equal, hashable things for phrases that mean the same: what they mean.
    """
    by_fit = sorted(ballots, key=lambda ballot: -ballot.fit)
    counted = _within(by_fit, _SUITS)
    behind = rank(counted, lambda words: _price(sense_of(words)))
    if not behind:
        return Hypothesis("", why=OUTSIDE)
    words, least = next(iter(behind.items()))
    sense = sense_of(words)
    is_agreed = all(ballot.words and sense_of(ballot.words) == sense for ballot in counted)
    lacking = _lacks_fit(counted, is_agreed)
    if lacking > _GOOD_FOR_A_QUESTION or (lacking > 0 and _is_seldom(sense)):
        return Hypothesis("", why=OUTSIDE)
    nearly = _NEARLY if _is_beyond_doubt(counted) else _NEARLY_WHERE_DOUBTFUL
    near = [other for other, mean in behind.items() if mean - least <= nearly]
    firsts = [ballot.words for ballot in _within(by_fit, _HEARD_AT_ALL)]
    others = _other_senses(words, [*firsts, *near], sense_of)
    return Hypothesis(words, others, doubt=FAINT if lacking > 0 else "")


def fits(ballots: Sequence[Decoded]) -> bool:
    """Tell whether the sound fits words that the ears were held to well enough for a question."""
    return _lacks_fit(ballots, is_agreed=True) <= _GOOD_FOR_A_QUESTION


def is_settled(ballots: Sequence[Decoded], sense_of: Callable[[str], object]) -> bool:
    """Tell whether further ears need not be asked: all agree, it fits, nothing else is near."""
    senses = {sense_of(ballot.words) for ballot in ballots}
    is_agreed = len(senses) == 1 and all(ballot.words for ballot in ballots)
    return is_agreed and _is_beyond_doubt(ballots) and not vote(ballots, sense_of).alternatives


def _within(by_fit: Sequence[Decoded], limit: float) -> list[Decoded]:
    """Leave out ears that the speaker's voice does not suit, but never count on too few."""
    return [
        ballot
        for place, ballot in enumerate(by_fit)
        if place < _FEWEST_COUNTED or ballot.fit >= by_fit[0].fit - limit
    ]


def _is_seldom(sense: object) -> bool:
    """Whether it is a command that must be heard well to be obeyed."""
    return isinstance(sense, Command) and sense.kind not in _SAFE_COMMANDS


def _other_senses(
    words: str, others: Sequence[str], sense_of: Callable[[str], object]
) -> tuple[str, ...]:
    """Give the first phrase of each sense that is not the one of `words`."""
    by_sense = {sense_of(words): words}
    for other in others:
        if other:
            by_sense.setdefault(sense_of(other), other)
    return tuple(by_sense.values())[1 : _MOST_ALTERNATIVES + 1]


def _best_fits(heard: Sequence[Decoded]) -> tuple[float, float]:
    """Give the best of the ears' worst words, and the best of their wholes."""
    worst = max((ballot.worst_fit for ballot in heard), default=-math.inf)
    return worst, max((ballot.fit for ballot in heard), default=-math.inf)


def _lacks_fit(heard: Sequence[Decoded], is_agreed: bool) -> float:
    """Give by how much the sound fits the words too badly to be them; 0 or less where it fits."""
    worst, whole = _best_fits(heard)
    frames = max((ballot.word_frames for ballot in heard), default=0)
    worst_limit = _WORST_WHERE_AGREED if is_agreed else _WORST_WHERE_SPLIT
    return max(_worst_whole_fit(frames) - whole, (worst_limit - worst) / 3)


def _is_beyond_doubt(heard: Sequence[Decoded]) -> bool:
    worst, whole = _best_fits(heard)
    return worst >= _WORST_BEYOND_DOUBT and whole >= _WHOLE_BEYOND_DOUBT
