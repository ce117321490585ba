"""A walk on a unit of the bench in which some steps are answered otherwise than the unit would."""

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.bench.faults import shipped_catalogue
from assistant.bench.loading import open_unit
from assistant.bench.walking import Case, make_technician
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.walk.ends import Heard
from assistant.walk.state import State, Turn
from assistant.walk.walk import Walk

MOST_TURNS = 400


@dataclass(frozen=True, slots=True)
class Gone:
    """What a walk came to.

    Args:
        state: where it ended.
        steps: the steps it was asked at, each time anew.
        said: what was said in each turn, for the ear.
    """

    state: State
    steps: tuple[str, ...]
    said: tuple[str, ...]

    @property
    def findings(self) -> tuple[str, ...]:
        """Give the findings in their order."""
        return self.state.findings


def walk_with(
    flow: Flow | str, case: Case, words: Mapping[str, str | tuple[str, ...]] | None = None
) -> Gone:
    """Walk a case; at the steps named, these words are said in place of the bench's.

    Args:
        flow: the flow, or its name.
        case: unit, fault and complaint.
        words: what is said at a step: the same each time, or one after another and then the
            bench's own.
    """
    found = open_flow(flow) if isinstance(flow, str) else flow
    walk, catalogue = Walk(found), shipped_catalogue()
    technician = make_technician(found, open_unit(case.unit), case, catalogue)
    left = {
        step: [said] * MOST_TURNS if isinstance(said, str) else list(said)
        for step, said in (words or {}).items()
    }
    state, is_ours = walk.begin().state, False
    steps: list[str] = []
    heard: list[str] = []
    for _ in range(MOST_TURNS):
        if state.is_over:
            break
        own = technician.answer(state)
        if state.turn is Turn.ANSWER:
            steps.append(state.step)
            is_ours = bool(left.get(state.step))
            own = left[state.step].pop(0) if is_ours else own
        elif state.turn is Turn.CONFIRM and is_ours:
            own = "yes"
        result = walk.hear(state, Heard(own, source="bench"))
        heard.append(" ".join(one.text for one in result.utterances))
        state = result.state
    return Gone(state, tuple(steps), tuple(heard))
