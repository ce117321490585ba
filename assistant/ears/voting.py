"""What several ears that heard the same sound come to together.

No ear's own score is a probability, so none is believed alone. Each ranks phrases; the phrase
that is least far behind in all rankings wins. What any ear put first, and what is nearly as likely,
becomes an alternative, so that the layer above asks wherever one of them means something else;
where the sound fits only fairly well, much less likely phrases are alternatives too.
Sound that fits the words badly is no answer; much less is let pass where the ears disagree.

The limits were set on four synthetic voices and tried on four others; see `tests/ears`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import fmean

from assistant.ears.recogniser import Hypothesis
from assistant.ears.sphinx_decoder import Decoded

OUTSIDE = "This was no answer that the step takes."

_NOT_RANKED = 600.0
_NEARLY = 200.0
_NEARLY_WHERE_DOUBTFUL = 600.0
_MOST_ALTERNATIVES = 6


@dataclass(frozen=True, slots=True)
class _Fit:
    """How badly the sound may fit: log scores a frame, of the worst word and of all words."""

    worst: float
    whole: float


_WHERE_AGREED = _Fit(-95.0, -62.0)
_WHERE_SPLIT = _Fit(-60.0, -45.0)
_BEYOND_DOUBT = _Fit(-52.0, -37.0)


def _behind(ballots: Sequence[Decoded]) -> dict[str, float]:
    """Give for each phrase how far it is behind on average, best first."""
    ranked = [{each.words: each.behind for each in ballot.ranking} for ballot in ballots]
    phrases = dict.fromkeys(words for ranking in ranked for words in ranking)
    mean = {
        words: fmean(min(ranking.get(words, _NOT_RANKED), _NOT_RANKED) for ranking in ranked)
        for words in phrases
    }
    return dict(sorted(mean.items(), key=lambda item: item[1]))


def vote(ballots: Sequence[Decoded], sense_of: Callable[[str], object]) -> Hypothesis:
    """Find the phrase that the ears agree on most, and what else it could have been.

    Args:
        ballots: what each ear made of the sound.
        sense_of: gives equal, hashable things for phrases that mean the same.
    """
    behind = _behind(ballots)
    if not behind:
        return Hypothesis("", why=OUTSIDE)
    words, least = next(iter(behind.items()))
    firsts = [ballot.words for ballot in ballots]
    is_agreed = all(first and sense_of(first) == sense_of(words) for first in firsts)
    if not _fits(ballots, _WHERE_AGREED if is_agreed else _WHERE_SPLIT):
        return Hypothesis("", why=OUTSIDE)
    nearly = _NEARLY if _fits(ballots, _BEYOND_DOUBT) else _NEARLY_WHERE_DOUBTFUL
    near = [other for other, mean in behind.items() if mean - least <= nearly]
    return Hypothesis(words, _other_senses(words, [*firsts, *near], sense_of))


def _other_senses(
    words: str, others: Sequence[str], sense_of: Callable[[str], object]
) -> tuple[str, ...]:
    """Give the first phrase of each sense that is not the one of `words`."""
    by_sense = {sense_of(words): words}
    for other in others:
        if other:
            by_sense.setdefault(sense_of(other), other)
    return tuple(by_sense.values())[1 : _MOST_ALTERNATIVES + 1]


def _fits(ballots: Sequence[Decoded], limit: _Fit) -> bool:
    heard = [ballot for ballot in ballots if ballot.words]
    worst = max((ballot.worst_fit for ballot in heard), default=limit.worst)
    whole = max((ballot.fit for ballot in heard), default=limit.whole)
    return worst >= limit.worst and whole >= limit.whole
