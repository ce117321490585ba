"""A session judged by another edition of its flow: what would differ. Pure but for the flow."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.flow.linked import Flow
from assistant.journal.replay import Difference, replay
from assistant.screens.reviewing.opened import Opened
from assistant.screens.reviewing.wording import tidy
from assistant.screens.words import OUTCOME_WORDS, counted, spaced, verdict_word
from assistant.walk.events import AnyEvent, Found, Judged
from assistant.walk.walk import Walk


@dataclass(frozen=True, slots=True)
class Judgement:
    """What another edition makes of a session's words.

    Args:
        summary: in sentences: the edition, how much differs, finding and outcome of both.
        differences: where it differs, in order.
    """

    summary: tuple[str, ...]
    differences: tuple[Difference, ...]


def judge_again(opened: Opened, flow: Flow) -> Judgement:
    """Walk a session's heard words through another edition of its flow.

    Raises:
        JournalError: when the record does not begin with a walk.
    """
    result = replay(opened.record, Walk(flow))
    now_found = tuple(
        dict.fromkeys(
            one.part
            for one in result.events
            if isinstance(one, Found) and one.finding in result.state.findings
        )
    )
    sentences = [
        _edition(opened, flow),
        *_count(result.differences),
        *_finding(opened, now_found),
        *_readings(opened, result.events),
        *_outcome(opened, result.state.outcome or "stopped"),
    ]
    return Judgement(tuple(sentences), result.differences)


def _edition(opened: Opened, flow: Flow) -> str:
    account = opened.account
    if flow.digest == account.digest:
        return f"Judged by the very edition it was walked with, {account.edition}."
    return f"Walked with edition {tidy(account.edition)}, judged by edition {flow.edition}."


def _count(differences: tuple[Difference, ...]) -> Iterator[str]:
    if not differences:
        yield "Nothing differs, to the letter."
    else:
        yield f"{counted(len(differences), 'event differs', 'events differ')}."


def _finding(opened: Opened, now: tuple[str, ...]) -> Iterator[str]:
    before = tuple(dict.fromkeys(one.part for one in opened.account.findings))
    if before != now:
        yield f"Finding then: {_listed(before)}. Now: {_listed(now)}."
    else:
        yield f"The finding is the same: {_listed(now)}."


def _listed(parts: tuple[str, ...]) -> str:
    return tidy("; ".join(parts)) or "none"


def _readings(opened: Opened, events: Sequence[AnyEvent]) -> Iterator[str]:
    """Tell which values are judged otherwise than they were, as they stand at the end."""
    now = {one.name: one.verdict for one in events if isinstance(one, Judged) and one.decides}
    changed = [
        f"{spaced(value.id)} {verdict_word(value.verdict)}, now {verdict_word(now[value.id])}"
        for value in opened.account.values
        if value.verdict and now.get(value.id, value.verdict) != value.verdict
    ]
    if changed:
        yield f"Judged otherwise: {'; '.join(changed)}."


def _outcome(opened: Opened, now: str) -> Iterator[str]:
    before = opened.account.outcome
    if before != now:
        then, later = (OUTCOME_WORDS.get(one, one) for one in (before, now))
        yield f"It ended then: {then}. Now: {later}."
