"""What the walk screen shows, computed from a flow, a state and one turn's events. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.flow.linked import Flow
from assistant.flow.model import AskStep, value_name
from assistant.quantity import format_for_eye
from assistant.screens.walking.entries import entries, heard_text, said_entry, verdicts
from assistant.screens.walking.expects import expected_lines
from assistant.screens.walking.places import leads_of
from assistant.screens.widgets.blocks import VerdictFacts
from assistant.screens.widgets.conversation import Entry
from assistant.screens.widgets.leads import Leads
from assistant.screens.words import counted, spaced, verdict_word
from assistant.spoken.meaning import Expectation
from assistant.spoken.phrasing import as_spoken
from assistant.walk.ends import Role
from assistant.walk.events import AnyEvent, HeardWords, Judged, Said
from assistant.walk.state import State, Taken, Turn


@dataclass(frozen=True, slots=True)
class Ask:
    """What the walk asks now.

    Args:
        name: what the turn is about, as "cap reading".
        turn: what kind of turn it is.
        text: the words asked; the caution's own where one waits.
        answer: the words that answer a caution; empty elsewhere.
        expected: what can be answered, in lines.
        leads: where the probes go; None where nothing is measured.
        is_held: whether the walk is on hold.
    """

    name: str
    turn: Turn
    text: str
    answer: str = ""
    expected: tuple[str, ...] = ()
    leads: Leads | None = None
    is_held: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A value beside the walk: its name, the value, the verdict's word where it was judged."""

    label: str
    shown: str
    verdict: str = ""


@dataclass(frozen=True, slots=True)
class WalkView:
    """One turn of a walk as the screen shows it.

    Args:
        turn: the number of the turn, counted by the screen.
        title: the flow's title.
        standing: what is proven, and how many answers were taken.
        entries: what came to the conversation, without what is asked now.
        asked: what is asked now, as it will stand in the conversation.
        heard: what was heard; None where nothing was listened for.
        verdicts: what was judged; None where what stands may stand.
        ask: what is asked.
        nameplate: what was read off labels.
        readings: what was measured and worked out, newest first.
        findings: the parts found, in order.
        is_over: whether the walk has ended.
    """

    turn: int
    title: str
    standing: str
    entries: tuple[Entry, ...]
    asked: tuple[Entry, ...]
    heard: str | None
    verdicts: tuple[VerdictFacts, ...] | None
    ask: Ask
    nameplate: tuple[Row, ...]
    readings: tuple[Row, ...]
    findings: tuple[str, ...]
    is_over: bool


def view_turn(
    flow: Flow, state: State, expects: Expectation, events: Sequence[AnyEvent], turn: int
) -> WalkView:
    """Give what is shown after a turn.

    Args:
        flow: the flow.
        state: where the walk stands after it.
        expects: what the present turn can be answered with.
        events: the turn's events.
        turn: its number.
    """
    asked = _asked(state, events)
    heard = [event for event in events if isinstance(event, HeardWords)]
    return WalkView(
        turn=turn,
        title=flow.title,
        standing=_standing(flow, state),
        entries=entries([event for event in events if event not in asked]),
        asked=tuple(said_entry(event) for event in asked),
        heard=heard_text(heard[-1]) if heard else None,
        verdicts=verdicts(flow, events),
        ask=_ask(flow, state, expects),
        nameplate=tuple(_rows(flow, state, is_label=True)),
        readings=tuple(reversed(tuple(_rows(flow, state, is_label=False)))),
        findings=tuple(flow.findings[name].part for name in state.findings),
        is_over=state.is_over,
    )


def _asked(state: State, events: Sequence[AnyEvent]) -> list[Said]:
    """Give the sayings that stand in blocks of their own now: what is asked, and a verdict's."""
    if state.is_over or state.is_held:
        return []
    asked = {utterance.text for utterance in state.said}
    is_judged = any(isinstance(event, Judged) for event in events)
    return [
        event
        for event in events
        if isinstance(event, Said)
        and (event.text in asked or (is_judged and event.role == Role.READ_BACK))
    ]


def _ask(flow: Flow, state: State, expects: Expectation) -> Ask:
    expected = expected_lines(flow, state, expects)
    name = spaced(state.step)
    if state.turn is Turn.CAUTION and not state.is_held:
        caution = flow.cautions[state.subject]
        answer = f'Say or type: "{as_spoken(caution.answer[0])}"'
        return Ask(name, state.turn, caution.say, answer)
    text = " ".join(utterance.for_eye for utterance in state.said)
    leads = leads_of(flow, state.step) if state.turn in {Turn.ANSWER, Turn.CONFIRM} else None
    return Ask(name, state.turn, text, "", expected, leads, state.is_held)


def _standing(flow: Flow, state: State) -> str:
    """Say what is proven, and how many answers were taken."""
    conditions = flow.vocabulary.conditions
    proven = [
        conditions[name].values[state.conditions[name]]
        for name in ("power", "capacitor")
        if name in conditions and name in state.conditions
    ]
    return " · ".join((*proven, counted(state.answer, "answer")))


def _rows(flow: Flow, state: State, *, is_label: bool) -> Iterator[Row]:
    asked = _label_names(flow)
    for name, taken in state.values.items():
        if (name.removesuffix("_second") in asked) is is_label:
            yield _row(name, taken)


def _label_names(flow: Flow) -> frozenset[str]:
    steps = flow.steps.items()
    return frozenset(value_name(name, step) for name, step in steps if isinstance(step, AskStep))


def _row(name: str, taken: Taken) -> Row:
    verdict = "" if taken.verdict is None else verdict_word(taken.verdict.kind.value)
    return Row(spaced(name), format_for_eye(taken.reading), verdict)
