"""What the numbers and hashes of a journal's lines say about them: pure, entries to problems.

Each line carries its number and the hash of the line before it. From both together it can be told
whether a line was changed, put in, taken out or moved, and which one. Who rewrites every line after
the one changed leaves no trace here: the seal's code, kept elsewhere, shows that.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from assistant.journal.entry import Entry
from assistant.journal.line import NO_LINE, Line
from assistant.journal.problem import Fault, Problem
from assistant.journal.seal import is_sound_seal

_NEAR = 32
"""Hashes of different bytes differ in about 60 of their 64 digits; fewer is a damaged hash."""


@dataclass(frozen=True, slots=True)
class _Link:
    """A readable line, with the number it should have."""

    number: int
    due: int
    digest: str
    line: Line
    is_canonical: bool


def chain_problems(entries: Sequence[Entry]) -> tuple[Problem, ...]:
    """Name every line that does not fit its neighbours; one problem a line, in file order."""
    found = [*_unreadable(entries), *_copies(entries)]
    copied = {problem.line for problem in found}
    links = [link for link in _links(entries) if link.number not in copied]
    found += _inserted(links)
    strange = {problem.line for problem in found}
    genuine = [link for link in links if link.number not in strange]
    ordered = sorted(genuine, key=lambda link: link.due)
    found += _moved(genuine)
    found += _renumbered(ordered)
    found += _edited(ordered)
    found += _unusual(ordered)
    found += _missing(ordered, [entry.number for entry in entries if entry.line is None])
    found += _clock(ordered)
    first = {problem.line: problem for problem in reversed(found)}
    return tuple(first[number] for number in sorted(first))


def _unreadable(entries: Sequence[Entry]) -> Iterator[Problem]:
    for entry in entries:
        if entry.line is None:
            yield Problem(entry.number, Fault.UNREADABLE, f"Line {entry.number} {entry.why}.")


def _copies(entries: Sequence[Entry]) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for entry in entries:
        original = seen.setdefault(entry.digest, entry.number)
        if original != entry.number:
            sentence = f"Line {entry.number} is a copy of line {original}."
            yield Problem(entry.number, Fault.COPIED, sentence)


def _links(entries: Sequence[Entry]) -> Iterator[_Link]:
    """Give the readable lines; where one is linked to the line before, that says its number."""
    before_digest, before_due = NO_LINE, 0
    for entry in entries:
        due = 0
        if entry.line is not None:
            is_linked = entry.line.prev == before_digest and before_due >= 0
            due = before_due + 1 if is_linked else entry.line.seq
            yield _Link(entry.number, due, entry.digest, entry.line, entry.is_canonical)
        before_digest, before_due = entry.digest, due if entry.line is not None else -1


def _inserted(links: Sequence[_Link]) -> Iterator[Problem]:
    """Where two lines claim one number, keep the one on which more lines follow."""
    rivals: defaultdict[int, list[_Link]] = defaultdict(list)
    for link in links:
        rivals[link.due].append(link)
    reach = _reaches(links)
    for claimants in rivals.values():
        genuine = max(claimants, key=lambda link: reach[link.digest])
        for link in claimants:
            if link is not genuine:
                sentence = (
                    f"Line {link.number} was put in: line {genuine.number} is number {link.due}."
                )
                yield Problem(link.number, Fault.INSERTED, sentence)


def _reaches(links: Sequence[_Link]) -> dict[str, int]:
    """Count for each line how many follow it in one chain; a sound seal counts as one more."""
    reach = {link.digest: int(is_sound_seal(link.line)) for link in links}
    for link in sorted(links, key=lambda link: link.due, reverse=True):
        if link.line.prev in reach:
            reach[link.line.prev] = max(reach[link.line.prev], reach[link.digest] + 1)
    return reach


def _moved(links: Sequence[_Link]) -> Iterator[Problem]:
    """Name the fewest lines that must move so that the numbers rise."""
    kept = _longest_rise([link.due for link in links])
    for index, link in enumerate(links):
        if index not in kept:
            sentence = f"Line {link.number} is out of order: it is number {link.due}."
            yield Problem(link.number, Fault.MOVED, sentence)


def _longest_rise(numbers: Sequence[int]) -> set[int]:
    """Give the places of a longest rising run of numbers (patience sorting)."""
    tops: list[int] = []
    places: list[int] = []
    below: list[int] = []
    for place, number in enumerate(numbers):
        pile = bisect_left(tops, number)
        below.append(places[pile - 1] if pile else -1)
        tops[pile : pile + 1] = [number]
        places[pile : pile + 1] = [place]
    kept = set()
    place = places[-1] if places else -1
    while place >= 0:
        kept.add(place)
        place = below[place]
    return kept


def _renumbered(ordered: Sequence[_Link]) -> Iterator[Problem]:
    for link in ordered:
        if link.line.seq != link.due:
            sentence = f"Line {link.number} has number {link.line.seq} where {link.due} is due."
            yield Problem(link.number, Fault.EDITED, sentence)


def _edited(ordered: Sequence[_Link]) -> Iterator[Problem]:
    """Compare each line's hash with what the next one says of it."""
    if ordered and ordered[0].due == 1 and ordered[0].line.prev != NO_LINE:
        number = ordered[0].number
        sentence = f"Line {number} is the first but gives a line before it."
        yield Problem(number, Fault.EDITED, sentence)
    for before, after in pairwise(ordered):
        if after.due != before.due + 1 or after.line.prev == before.digest:
            continue
        if _is_near(after.line.prev, before.digest):
            sentence = f"Line {after.number} was changed: its hash of the line before is damaged."
            yield Problem(after.number, Fault.EDITED, sentence)
        else:
            sentence = f"Line {before.number} was changed after line {after.number} was written."
            yield Problem(before.number, Fault.EDITED, sentence)


def _is_near(one: str, other: str) -> bool:
    return sum(a != b for a, b in zip(one, other, strict=True)) <= _NEAR


def _unusual(ordered: Sequence[_Link]) -> Iterator[Problem]:
    """Find lines that say something in another way than a journal writes it."""
    for link in ordered:
        if not link.is_canonical:
            sentence = f"Line {link.number} was changed: a journal does not write it so."
            yield Problem(link.number, Fault.EDITED, sentence)


def _missing(ordered: Sequence[_Link], unreadable: Sequence[int]) -> Iterator[Problem]:
    """Find gaps in the numbers; an unreadable line that stands in a gap fills one place of it."""
    number, due = 0, 0
    for link in ordered:
        filled = sum(number < place < link.number for place in unreadable)
        count = link.due - due - 1 - filled
        if count > 0:
            span = f"{due + 1}" if count == 1 and not filled else f"{due + 1} to {link.due - 1}"
            sentence = f"Before line {link.number} {_lines(count)} missing (number {span})."
            yield Problem(link.number, Fault.MISSING, sentence)
        number, due = link.number, link.due


def _lines(count: int) -> str:
    return "1 line is" if count == 1 else f"{count} lines are"


def _clock(ordered: Sequence[_Link]) -> Iterator[Problem]:
    for before, after in pairwise(ordered):
        if after.line.time < before.line.time:
            sentence = (
                f"Line {after.number} is earlier than line {before.number}: the clock was set back."
            )
            yield Problem(after.number, Fault.CLOCK, sentence)
