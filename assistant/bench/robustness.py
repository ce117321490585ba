"""Whether a misheard reading can end a walk wrong: each number as each value it is mistaken for."""

from dataclasses import dataclass

from assistant.bench.ground import Ground
from assistant.bench.technician import Technician
from assistant.bench.walking import Case, Tally, told, walk_on
from assistant.flow.model import JudgedStep, value_name
from assistant.quantity import Reading, format_for_eye
from assistant.spoken.confusion import neighbours
from assistant.spoken.phrasing import say_reading
from assistant.walk.ends import Heard
from assistant.walk.state import State, Turn
from assistant.walk.walk import Result, Walk


@dataclass(frozen=True, slots=True, order=True)
class Slip:
    """A misheard reading that was believed and ended in a wrong finding.

    Args:
        unit: the unit.
        fault: what was wrong with it.
        step: where it was misheard.
        shown: what the meter showed.
        heard: what was believed.
        findings: what the walk then found.
    """

    unit: str
    fault: str
    step: str
    shown: str
    heard: str
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Misheard:
    """What mishearing comes to.

    Args:
        tried: readings misheard, each as one neighbour.
        asked_back: of these, not believed but asked back or not understood.
        harmless: believed, and the walk went on as with the true reading or ended right.
        slips: believed, and the walk ended in a wrong finding.
    """

    tried: int = 0
    asked_back: int = 0
    harmless: int = 0
    slips: tuple[Slip, ...] = ()

    def __add__(self, other: "Misheard") -> "Misheard":
        """Give both together."""
        return Misheard(
            self.tried + other.tried,
            self.asked_back + other.asked_back,
            self.harmless + other.harmless,
            tuple(sorted({*self.slips, *other.slips})),
        )


class Mishearing:
    """Watches walks with exact meters and lets each number be misheard.

    Args:
        ground: the flow.
        walk: it, ready to be walked.
    """

    def __init__(self, ground: Ground, walk: Walk) -> None:
        self._ground, self._walk = ground, walk
        self._known: dict[object, bool] = {}

    def listen(self, case: Case, state: State, technician: Technician, result: Result) -> Misheard:
        """Mishear what was just said, as each of its neighbours.

        Args:
            case: what is walked.
            state: where the walk stood.
            technician: who answered, as after the answer.
            result: what the true answer came to.
        """
        shown = technician.shown
        if state.turn is not Turn.ANSWER or shown is None:
            return Misheard()
        total = Misheard()
        for near in neighbours(shown, self._walk.expectation(state)):
            total += self._mishear(case, state, technician, result, near.reading)
        return total

    def _mishear(
        self, case: Case, state: State, technician: Technician, true: Result, heard: Reading
    ) -> Misheard:
        known = tuple((name, taken.reading) for name, taken in state.values.items())
        key = (state.step, heard, known)
        if self._known.get(key):
            return Misheard(1, asked_back=1)
        result = self._walk.hear(state, Heard(say_reading(heard)[0], source="bench"))
        is_asked = result.state.turn is Turn.CONFIRM or result.state.step == state.step
        self._known[key] = is_asked
        if is_asked:
            return Misheard(1, asked_back=1)
        if self._is_same(state, result.state, true.state):
            return Misheard(1, harmless=1)
        return self._walk_wrong(case, state, technician, result, heard)

    def _is_same(self, state: State, wrong: State, true: State) -> bool:
        """Whether the walk cannot tell the two from here on: same way, value used nowhere."""
        step = self._ground.flow.steps[state.step]
        is_used = isinstance(step, JudgedStep) and (
            value_name(state.step, step) in self._ground.flow.used_values
        )
        return wrong.step == true.step and wrong.findings == true.findings and not is_used

    def _walk_wrong(
        self, case: Case, state: State, technician: Technician, result: Result, heard: Reading
    ) -> Misheard:
        """Walk on with a number that was believed though it is wrong."""
        other = technician.copy()
        tally = Tally(self._ground.flow)
        tally.findings = list(result.state.findings)
        end = walk_on(self._walk, result.state, other, tally)
        walked = told(end, other, tally, case)
        wanted = self._ground.repairs(case.fault)
        named = [self._ground.groups(name) for name in walked.findings]
        if not any(groups and not groups & wanted for groups in named):
            return Misheard(1, harmless=1)
        shown = "" if technician.shown is None else format_for_eye(technician.shown)
        slip = Slip(
            case.unit, case.fault, state.step, shown, format_for_eye(heard), walked.findings
        )
        return Misheard(1, slips=(slip,))
