"""What one session's screen lists, section by section: each item a row and its words. Pure."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

from assistant.flow.model import END, STOP
from assistant.journal.account import GivenCaution, MadeFinding, TakenValue
from assistant.journal.flag_finders import saying_seconds, seconds_between
from assistant.journal.flags import FLAG_KINDS, flag_words
from assistant.journal.left import left_words
from assistant.journal.remarks import Remark, Remarks, SignOff
from assistant.journal.repairing import find_unproven
from assistant.screens.reviewing.opened import Opened
from assistant.screens.reviewing.roll import columns, fit
from assistant.screens.reviewing.turns import TurnFacts
from assistant.screens.reviewing.wording import (
    clock_words,
    minute_words,
    span_words,
    tidy,
    value_words,
)
from assistant.screens.widgets.band import BandFacts
from assistant.screens.widgets.blocks import VerdictFacts
from assistant.screens.words import OUTCOME_WORDS, counted, spaced, verdict_word

NARROW = 64
"""Below so many columns an item leaves out what its words below tell anyway."""


Pairs: TypeAlias = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One thing in a section.

    Args:
        draw: gives its row for a width.
        tell: gives its words in full, who or what and the text; asked only for what is marked.
        line: the journal's line it is about; 0 for the whole session.
        verdict: what was judged; None where nothing was.
    """

    draw: Callable[[int], str]
    tell: Callable[[], Pairs]
    line: int = 0
    verdict: VerdictFacts | None = None

    @property
    def lines(self) -> Pairs:
        """Give its words in full."""
        return self.tell()


@dataclass(frozen=True, slots=True)
class Section:
    """One list of a session.

    Args:
        name: what it is called.
        items: what is in it.
        empty: the words where nothing is.
    """

    name: str
    items: tuple[Item, ...]
    empty: str


def sections_of(opened: Opened) -> tuple[Section, ...]:
    """Give everything a session's screen lists."""
    return (
        Section("Turns", tuple(_turns(opened)), "Nothing was recorded."),
        Section("Readings", tuple(_readings(opened)), "No reading was taken."),
        Section("Path", tuple(_path(opened)), "No step was left."),
        Section("Cautions", tuple(_cautions(opened)), "No caution was said."),
        Section("Flags", tuple(_flags(opened)), "Nothing that a lead should look at first."),
        Section("Remarks", tuple(_remarks(opened)), "Nobody has made a remark or signed it off."),
        Section("Record", tuple(_record(opened)), ""),
    )


def _fixed(row: str) -> Callable[[int], str]:
    return lambda width: fit(row, width)


def _kept(pairs: Pairs) -> Callable[[], Pairs]:
    return lambda: pairs


def _turns(opened: Opened) -> Iterator[Item]:
    flagged: dict[int, list[str]] = {}
    for flag in opened.flags:
        flagged.setdefault(flag.line, []).append(flag.sentence)
    for turn in opened.turns:
        sentences = tuple(
            text for line in range(turn.line, turn.last + 1) for text in flagged.get(line, ())
        )
        row = _turn_row(turn, is_marked=bool(sentences))
        yield Item(row, partial(_turn_pairs, turn, sentences, opened.remarks), turn.line)


def _turn_pairs(turn: TurnFacts, flags: tuple[str, ...], remarks: Remarks) -> Pairs:
    pairs = [(one.who, tidy(one.text)) for one in turn.told]
    pairs += [("Flag", tidy(text)) for text in flags]
    pairs += [
        (f"Remark, {tidy(one.author)}", tidy(one.text))
        for one in remarks.remarks
        if turn.line <= one.line <= turn.last
    ]
    if turn.is_taken_back:
        pairs.append(("Later", "This answer was taken back."))
    return tuple(pairs)


def _turn_row(turn: TurnFacts, *, is_marked: bool) -> Callable[[int], str]:
    mark = "!" if is_marked else " "

    def draw(width: int) -> str:
        heard = f'"{tidy(turn.heard)}"' if turn.heard else "(begins)"
        came = tidy(turn.came_to) + (" (taken back later)" if turn.is_taken_back else "")
        head = f"{mark}{clock_words(turn.time)}"
        if width < NARROW:
            return fit(f"{head} {heard} > {came}", width)
        parts = [(head, 9), (spaced(turn.step), 16), (heard, (width - 31) // 2), (came, 0)]
        return columns(parts, width)

    return draw


def _readings(opened: Opened) -> Iterator[Item]:
    account = opened.account
    lines = answer_lines(opened.turns)
    earlier = set(map(id, account.earlier))
    for value in sorted((*account.earlier, *account.values), key=lambda one: one.answer):
        yield _reading(value, lines.get(value.answer, 0), is_replaced=id(value) in earlier)


def answer_lines(turns: Sequence[TurnFacts]) -> dict[int, int]:
    """Give the line at which each answer was taken; of one given twice, the last."""
    return {answer: turn.line for turn in turns for answer in turn.answers}


def _reading(value: TakenValue, line: int, *, is_replaced: bool) -> Item:
    word = verdict_word(value.verdict) if value.verdict else ""
    notes = [_ORIGINS.get(value.origin, value.origin), "confirmed" if value.confirmed else ""]
    notes += ["taken again later" if is_replaced else "", "taken again" if value.retaken else ""]
    kind, first, second = (part.replace("_", " ") for part in value.places)
    place = " to ".join(part for part in (first, second) if part)
    shown = value_words(value)
    pairs = [
        ("Said", tidy(value.said)),
        ("How", ", ".join(note for note in notes if note)),
        ("Where", ", ".join(part for part in (kind, place) if part)),
        ("Expected", tidy(value.expected)),
    ]

    def draw(width: int) -> str:
        cells = [(spaced(value.id), 0), (shown, 14), (word, 11)]
        if width >= NARROW:
            cells.append((tidy(value.expected) + (" (replaced)" if is_replaced else ""), 24))
        return columns(cells, width)

    return Item(
        draw,
        _kept(tuple(pair for pair in pairs if pair[1])),
        line,
        verdict_facts(value) if value.verdict else None,
    )


_ORIGINS = {"measured": "measured", "asked": "read off a label", "worked_out": "worked out"}


def verdict_facts(value: TakenValue) -> VerdictFacts:
    """Give a judged value as the verdict's block draws it."""
    shown = value_words(value)
    return VerdictFacts(
        value.verdict,
        spaced(value.id),
        shown,
        tidy(value.reason),
        tidy(value.expected),
        BandFacts(value.value, value.low, value.high, value.over_limit, shown),
    )


def _path(opened: Opened) -> Iterator[Item]:
    lines = answer_lines(opened.turns)
    skipped = {step for step, _ in opened.trail.skipped}
    for number, move in enumerate(opened.trail.moves, start=1):
        target = {END: "the end", STOP: "a stop"}.get(move.target, spaced(move.target))
        outcome = move.outcome.replace(".", " ").replace("_", " ")
        mark = "SKIPPED " if move.step in skipped else ""
        pairs = (
            ("Step", move.step),
            ("Left by", outcome),
            ("Went to", move.target),
            ("Answer", str(move.answer)),
        )
        row = _path_row(number, f"{mark}{spaced(move.step)}", outcome, target)
        yield Item(row, _kept(pairs), lines.get(move.answer, 0))
    if opened.trail.scratched:
        text = f"{counted(opened.trail.scratched, 'answer')} taken back and not in this path."
        yield Item(_fixed(text), _kept((("Path", text),)))


def _path_row(number: int, step: str, outcome: str, target: str) -> Callable[[int], str]:
    def draw(width: int) -> str:
        return columns(
            [(f"{number:>3}", 3), (step, 0), (f"({outcome}) > {target}", width // 2)], width
        )

    return draw


def _cautions(opened: Opened) -> Iterator[Item]:
    lines = answer_lines(opened.turns)
    for caution in opened.account.cautions:
        line = lines.get(caution.answer, 0)
        needed = saying_seconds(caution.text)
        took = _took_seconds(caution)
        state = "NOT ANSWERED" if took is None else f"answered after {took:.1f} s"
        is_fast = took is not None and 0 <= took < needed
        pairs = [
            ("Caution", tidy(caution.text)),
            ("Before", spaced(caution.step)),
            ("Said at", clock_words(caution.given_at)),
            ("Answered", f"{tidy(caution.said)} ({state})" if caution.said else state),
        ]
        if is_fast:
            pairs.append(("Flag", f"Faster than it can be said: {needed:.1f} s."))
        name = f"{'! ' if is_fast or took is None else '  '}{spaced(caution.id)}"
        yield Item(_pair_row(name, state), _kept(tuple(pairs)), line)


def _took_seconds(caution: GivenCaution) -> float | None:
    if not caution.answered_at:
        return None
    return seconds_between(caution.given_at, caution.answered_at)


def _pair_row(left: str, right: str) -> Callable[[int], str]:
    return lambda width: columns([(left, 0), (right, max(width // 2, 20))], width)


def _flags(opened: Opened) -> Iterator[Item]:
    order = list(FLAG_KINDS)
    for flag in sorted(opened.flags, key=lambda one: (order.index(one.kind), one.line)):
        words = flag_words(flag.kind)
        pairs = (("Flag", words), ("What", tidy(flag.sentence)), ("Why", FLAG_KINDS[flag.kind].why))
        yield Item(_flag_row(words, tidy(flag.sentence)), _kept(pairs), flag.line)


def _flag_row(words: str, sentence: str) -> Callable[[int], str]:
    return lambda width: columns([(words, 17), (sentence, 0)], width)


def _remarks(opened: Opened) -> Iterator[Item]:
    for problem in opened.remarks.problems:
        word = "DAMAGED" if problem.is_damage else "Note"
        yield Item(_fixed(f"{word}: {problem.sentence}"), _kept(((word, problem.sentence),)))
    said: list[Remark | SignOff] = [*opened.remarks.remarks, *opened.remarks.sign_offs]
    said.sort(key=lambda one: one.number)
    for one in said:
        when, who = minute_words(one.time), tidy(one.author)
        if isinstance(one, SignOff):
            verb = "agrees" if one.agrees else "DISAGREES"
            row = f"{when}  {who} signed off, {verb}: {tidy(one.why)}"
            of = f"the {counted(one.seen, 'line')} there were"
            pairs = [("Signed off by", who), ("With the finding", verb), ("Why", tidy(one.why))]
            pairs += [("When", f"{when} UTC, of {of}")]
            yield Item(_fixed(row), _kept(tuple(pairs)))
        else:
            place = f"line {one.line}" if one.line else "the session"
            row = f"{when}  {who} on {place}: {tidy(one.text)}"
            pairs = [("Remark by", who), ("On", place), ("Says", tidy(one.text))]
            yield Item(_fixed(row), _kept((*pairs, ("When", f"{when} UTC"))), one.line)


def _record(opened: Opened) -> Iterator[Item]:
    account = opened.account
    for sentence in dict.fromkeys(
        [problem.sentence for problem in opened.record.problems] + list(account.problems)
    ):
        yield Item(_fixed(f"! {tidy(sentence)}"), _kept((("Record", tidy(sentence)),)))
    seal = f"Sealed. Code {account.seal_code}" if account.is_sealed else "Not sealed."
    facts = [
        ("Seal", seal),
        ("Ended", f"{OUTCOME_WORDS.get(account.outcome, account.outcome)}: {tidy(account.why)}"),
        ("Left", tidy(left_words(account)) or "nothing was done to it"),
        *(pair for one in account.findings for pair in _finding(one)),
        *(("Repaired", tidy(one.words)) for one in [find_unproven(account)] if one is not None),
        ("Unit", tidy(account.unit) or "not given"),
        ("Technician", tidy(account.technician) or "not given"),
        ("Flow", tidy(f"{account.title} ({account.flow}, edition {account.edition})")),
        ("Turns", str(account.turns)),
        ("Time", f"{minute_words(account.started)} UTC, {span_words(account.seconds)}"),
        *(("Note", tidy(note)) for note in account.notes),
        ("Folder", str(opened.folder)),
    ]
    for name, text in facts:
        yield Item(_pair(name, text), _kept(((name, text),)))


def _finding(made: MadeFinding) -> Pairs:
    """Tell a finding with its repair and what may be put in."""
    pairs = [("Finding", tidy(f"{made.part}: {made.reason}")), ("Repair", tidy(made.repair))]
    pairs += [("Replace by", tidy(made.replacement))] if made.replacement else []
    return tuple(pairs)


def _pair(name: str, text: str) -> Callable[[int], str]:
    return lambda width: columns([(name, 10), (text, 0)], width)
