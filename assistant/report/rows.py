"""Rows of words for what a record holds: readings, checks, answers, cautions."""

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.journal.account import Account, NamedAnswer, TakenValue
from assistant.report import labels
from assistant.report.band import Band, lay_out
from assistant.report.beside import PlaceName
from assistant.report.proving import Check
from assistant.report.selection import SaidCaution


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading as words.

    Args:
        label: its name.
        place: where it was taken.
        shown: the reading, for the eye.
        expected: the limits; empty where none were judged by.
        verdict: the verdict as a word.
        reason: why.
        remarks: its words, whether it was asked back, whether it was taken again.
        band: its picture, where it has limits.
    """

    label: str
    place: str
    shown: str
    expected: str
    verdict: str
    reason: str
    remarks: str
    band: Band | None


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One check after the repair, as words.

    Args:
        label: its name.
        before: what it read before the repair, with the verdict; empty where it was not taken.
        after: what it reads now.
        verdict: the verdict on that, as a word.
        expected: the limits; empty where none were judged by.
    """

    label: str
    before: str
    after: str
    verdict: str
    expected: str


def reading_row(value: TakenValue, account: Account, names: Mapping[str, PlaceName]) -> ReadingRow:
    """Tell a reading."""
    is_replaced = any(value is one for one in account.earlier)
    return ReadingRow(
        label=labels.spaced(value.id),
        place=labels.place_words(value, names),
        shown=labels.shown_value(value),
        expected=value.expected,
        verdict=labels.verdict_word(value.verdict),
        reason=value.reason,
        remarks=labels.remarks(value, is_replaced=is_replaced),
        band=lay_out(value),
    )


def check_row(check: Check) -> CheckRow:
    """Tell a check after the repair beside what was read before."""
    after, before = check.after, ""
    if check.before is not None:
        before = labels.judged_value(check.before)
        if check.before.id != after.id:
            before += f" ({labels.spaced(check.before.id)})"
    return CheckRow(
        label=labels.spaced(after.id),
        before=before,
        after=labels.shown_value(after),
        verdict=labels.verdict_word(after.verdict),
        expected=after.expected,
    )


def answer_row(answer: NamedAnswer) -> tuple[str, str, str]:
    """Tell a named answer: the step, what it was answered with, the words heard."""
    hold = " (hold point)" if answer.is_hold else ""
    return (f"{labels.spaced(answer.step)}{hold}", answer.meaning, answer.said)


def caution_row(said: SaidCaution, started: str) -> tuple[str, str, str]:
    """Tell a caution: what was said, when, how it was answered.

    Args:
        said: the caution.
        started: the walk's start; a time of the same day is told without its date.
    """
    caution = said.caution
    given = labels.clock_words(caution.given_at, started)
    if said.times > 1:
        given += f" (said {said.times} times)"
    if not said.is_answered:
        return (caution.text, given, "NOT ANSWERED")
    at = labels.clock_words(caution.answered_at, started).removesuffix(" UTC")
    after = "" if said.seconds is None else f" after {labels.duration_words(said.seconds)}"
    return (caution.text, given, f'answered "{caution.said}"{after} ({at})')
