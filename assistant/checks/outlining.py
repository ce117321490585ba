"""Making the outline of a flow: its steps in walking order, and what a walk left on them."""

from collections.abc import Iterator, Mapping

from assistant.checks.drawing_words import outcome_words, rule_words, takes_words
from assistant.checks.outline import Exit, FindingMark, Group, Node, Outline
from assistant.checks.power import power_marks
from assistant.checks.strands import Strand, group_of, lay_strands
from assistant.checks.trail import Trail
from assistant.flow.linked import Flow, GateStep, LinkedStep
from assistant.flow.model import FindStep, JudgedStep, SpokenStep, is_hold
from assistant.walk.machine import REPROVE_OFF, REPROVE_ON, RESUME


def outline_flow(flow: Flow, trail: Trail | None = None) -> Outline:
    """Give all that a drawing of a flow shows.

    Args:
        flow: the flow; one that fails its checks can be drawn, one that does not load cannot.
        trail: the way of a walk to mark, of this or another edition.
    """
    strands = lay_strands(flow)
    order = list(_in_walking_order(strands))
    numbers = {name: position for position, name in enumerate(order, start=1)}
    maker = _Maker(flow, numbers, trail)
    return Outline(
        id=flow.id,
        title=flow.title,
        edition=flow.edition,
        nodes={name: maker.node(name) for name in order},
        groups=dict(_groups(flow)),
        strands=strands,
        sentences=() if trail is None else tuple(_sentences(flow, trail)),
        has_walk=trail is not None,
    )


def _in_walking_order(strands: tuple[Strand, ...]) -> Iterator[str]:
    """Give every step once, an include's steps right behind the step that goes in."""
    inside: dict[str, list[Strand]] = {}
    for strand in strands:
        inside.setdefault(strand.group, []).append(strand)

    def run(group: str) -> Iterator[str]:
        for strand in inside.pop(group, ()):
            for spot in strand.spots:
                yield spot.step
                yield from run(spot.step)

    yield from run("")


def _groups(flow: Flow) -> Iterator[tuple[str, Group]]:
    for name, step in flow.steps.items():
        if isinstance(step, GateStep) and step.way == "in":
            first = flow.origins.get(step.next or "")
            title = name if first is None else str(first.source.data.get("title", name))
            yield name, Group(name, title, name.count("/") + 1)


class _Maker:
    """Makes nodes; knows what is needed of the whole flow and of the walk."""

    def __init__(self, flow: Flow, numbers: Mapping[str, int], trail: Trail | None) -> None:
        self.flow, self.numbers, self.trail = flow, numbers, trail
        self.power = power_marks(flow)
        self.groups = dict(_groups(flow))
        self.entries: dict[str, set[int]] = {}
        for step, _, target in flow.arrows():
            self.entries.setdefault(target, set()).add(numbers[step])
        self.visits: dict[str, list[int]] = {}
        self.walked: dict[tuple[str, str, str], list[int]] = {}
        if trail is not None:
            for position, name in enumerate(trail.visits, start=1):
                self.visits.setdefault(name, []).append(position)
            for position, move in enumerate(trail.moves, start=1):
                self.walked.setdefault((move.step, move.outcome, move.target), []).append(position)

    def node(self, name: str) -> Node:
        step = self.flow.steps[name]
        return Node(
            id=name,
            number=self.numbers[name],
            kind=_kind(step),
            group=group_of(name, step),
            takes=self._takes(name, step),
            rules=tuple(map(rule_words, step.judge)) if isinstance(step, JudgedStep) else (),
            cautions=step.cautions if isinstance(step, SpokenStep) else (),
            is_hold=is_hold(step),
            power=self.power[name],
            finding=self._finding(step),
            exits=tuple(self._exits(name, step)),
            entered_from=tuple(sorted(self.entries.get(name, ()))),
            returns=tuple(self._returns(name)),
            says=step.say if isinstance(step, SpokenStep) else "",
            visits=tuple(self.visits.get(name, ())),
            marks=tuple(self._marks(name)),
        )

    def _takes(self, name: str, step: LinkedStep) -> str:
        if name in self.groups:
            return f"the steps of: {self.groups[name].title}"
        return takes_words(self.flow, step)

    def _finding(self, step: LinkedStep) -> FindingMark | None:
        if not isinstance(step, FindStep):
            return None
        finding = self.flow.findings.get(step.finding)
        if finding is None:
            return FindingMark(step.finding, "", is_licensed=False)
        return FindingMark(step.finding, finding.part, finding.licensed)

    def _exits(self, name: str, step: LinkedStep) -> Iterator[Exit]:
        ways: dict[str, list[str]] = {}
        for outcome, target in step.exits():
            ways.setdefault(target, []).append(outcome)
        for target, outcomes in ways.items():
            words = dict.fromkeys(outcome_words(step, one) for one in outcomes)
            walked = sorted(n for one in outcomes for n in self.walked.get((name, one, target), ()))
            yield Exit(target, tuple(outcomes), tuple(words), tuple(walked))

    def _returns(self, name: str) -> Iterator[Exit]:
        if name not in self.groups:
            return
        for gate, step in self.flow.steps.items():
            if isinstance(step, GateStep) and step.include == name and step.way != "in":
                for way in self._exits(gate, step):
                    yield Exit(way.target, way.outcomes, (f"back by {step.way}",), way.walked)

    def _marks(self, name: str) -> Iterator[str]:
        if self.trail is None:
            return
        if any(name == step for step, _ in self.trail.skipped):
            yield "skipped in this walk"
        if any(name == step for step, _ in self.trail.findings):
            yield "found in this walk"
        for position, move in enumerate(self.trail.moves, start=1):
            if move.step == name:
                yield from self._detour_mark(position, move.outcome, move.target)
        if name == self.trail.stands_at:
            yield "the walk ended here" if self.trail.ended else "the walk stands here"

    def _detour_mark(self, position: int, outcome: str, target: str) -> Iterator[str]:
        """Say where the walk left the flow's own arrows to prove what a step needs."""
        number = self.numbers.get(target)
        there = target if number is None else f"{number} {target}"
        if outcome in {REPROVE_OFF, REPROVE_ON}:
            yield f"at {position} not proven, so led to {there}"
        elif outcome.startswith(RESUME):
            yield f"at {position} proven, so back to {there}"


def _kind(step: LinkedStep) -> str:
    if isinstance(step, GateStep):
        return "include" if step.way == "in" else "way out"
    return step.kind.replace("_", " ")


def _sentences(flow: Flow, trail: Trail) -> Iterator[str]:
    yield f"A walk is marked; its stops are numbered in order, {len(trail.visits)} of them."
    if trail.damaged:
        yield f"The record is damaged ({trail.damaged} found); only what can be read is marked."
    if trail.digest != flow.digest:
        yield (
            f"It was walked by another edition: recorded {trail.edition}, drawn {flow.edition};"
            f" {_missing_words(flow, trail)}"
        )
    for word, marked in (("Skipped", trail.skipped), ("Found at", trail.findings)):
        if marked:
            yield f"{word}: {', '.join(dict.fromkeys(step for step, _ in marked))}."
    if trail.scratched:
        answers = "answer was" if trail.scratched == 1 else "answers were"
        yield f"{trail.scratched} {answers} taken back; the steps behind them are not marked."
    if trail.ended:
        yield f"It ended at {trail.ended}: {trail.why}"
    elif trail.visits:
        yield f"It is not over; it stands at {trail.stands_at}."


def _missing_words(flow: Flow, trail: Trail) -> str:
    """Say which steps of a walk are not in the flow as it is drawn."""
    missing = [name for name in dict.fromkeys(trail.visits) if name not in flow.steps]
    if not missing:
        return "every step of the walk is in this one."
    verb = "is" if len(missing) == 1 else "are"
    return f"{', '.join(missing)} {verb} not in this one."
