"""What a check is, and what it looks at: a loaded flow and what many checks need of it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from assistant.checks.hands import Hands
from assistant.checks.knowing import Knowing
from assistant.flow.linked import Flow, GateStep
from assistant.flow.model import JudgedStep
from assistant.flow.plain import Where
from assistant.flow.problems import Problem, Severity
from assistant.flow.ways import Ways

Arrow = tuple[str, str, str]
"""A step, an outcome that leaves it, and the target it leads to."""


@dataclass(frozen=True)
class Subject:
    """A flow that is looked at.

    Args:
        flow: the flow as it loaded.
    """

    flow: Flow

    @cached_property
    def arrows(self) -> tuple[Arrow, ...]:
        """Give every arrow of the flow, in the order of its steps."""
        return tuple((n, outcome, to) for n, ways in self.exits.items() for outcome, to in ways)

    @cached_property
    def exits(self) -> Mapping[str, tuple[tuple[str, str], ...]]:
        """Give each outcome that leaves a step, with its target."""
        return {name: tuple(step.exits()) for name, step in self.flow.steps.items()}

    @cached_property
    def onward(self) -> Mapping[str, frozenset[str]]:
        """Give the targets that each step leads to, `end` and `stop` among them."""
        out: dict[str, set[str]] = {name: set() for name in self.flow.steps}
        for step, _, target in self.arrows:
            out[step].add(target)
        return {name: frozenset(targets) for name, targets in out.items()}

    @cached_property
    def backward(self) -> Mapping[str, frozenset[str]]:
        """Give the steps that lead to each target."""
        out: dict[str, set[str]] = {}
        for step, _, target in self.arrows:
            out.setdefault(target, set()).add(step)
        return {name: frozenset(steps) for name, steps in out.items()}

    @cached_property
    def reached(self) -> frozenset[str]:
        """Give the steps that some path from the start reaches."""
        return frozenset(spread([self.flow.start], self.onward)) & frozenset(self.flow.steps)

    @cached_property
    def knowing(self) -> Knowing:
        """Give what each answer, value and finding may be on arrival at each step."""
        return Knowing(self.flow)

    @cached_property
    def ways(self) -> Ways:
        """Give all ways through the flow, over the conditions that hands make true."""
        return Ways(self.flow)

    @cached_property
    def hands(self) -> Hands:
        """Give what hands have done and been told on every path."""
        return Hands(self.ways)

    def problem(self, step: str, way: Where, message: str, hint: str = "") -> Problem:
        """Make a complaint about a step, at the line of the key that `way` leads to.

        Args:
            step: the step's id in the whole flow.
            way: keys and list positions inside the step, as `("judge", 0, "go")`; () is the step.
            message: what is wrong, one sentence.
            hint: the nearest right thing, one sentence; may be empty.
        """
        origin = self.flow.origins[step]
        return origin.source.problem((*origin.where, *way), message, hint)

    def arrow_problem(self, step: str, outcome: str, message: str, hint: str = "") -> Problem:
        """Make a complaint about where an outcome of a step leads, at the key that says so."""
        return self.problem(step, self.arrow_way(step, outcome), message, hint)

    def arrow_way(self, name: str, outcome: str) -> Where:
        """Give the way inside a step to the key that says where an outcome leads."""
        step = self.flow.steps[name]
        if isinstance(step, GateStep):
            return ("flow",) if step.way == "in" else ()
        kind, _, word = outcome.partition(".")
        if kind == "choice" and self._is_written(name, ("choices", word, "next")):
            return ("choices", word, "next")
        if kind.startswith("rule") and isinstance(step, JudgedStep):
            position = int(kind.removeprefix("rule"))
            rule = step.judge[position]
            key = word if word in rule.go else rule.outcomes[word].value
            return ("judge", position, "go", key)
        if kind.startswith("case"):
            return ("cases", int(kind.removeprefix("case")), "next")
        return ("next",) if kind == "choice" else (kind,)

    def leaves_way(self, name: str, outcome: str, condition: str) -> Where:
        """Give the way inside a step to the key that says what an outcome leaves true."""
        way: Where = ("choices", outcome.removeprefix("choice."), "leaves", condition)
        return way if self._is_written(name, way) else ("leaves", condition)

    def _is_written(self, step: str, way: Where) -> bool:
        origin = self.flow.origins[step]
        return (*origin.where, *way) in origin.source.places

    def finding_problem(self, finding: str, way: Where, message: str, hint: str = "") -> Problem:
        """Make a complaint about a finding, at the line of the key that `way` leads to."""
        origin = self.flow.finding_origin(finding)
        return origin.source.problem((*origin.where, *way), message, hint)

    def text_problem(self, way: Where, message: str, hint: str = "") -> Problem:
        """Make a complaint about a shared text, as `("cautions", "ladder", "say")`, where it is."""
        sources = {id(o.source): o.source for o in self.flow.origins.values()}.values()
        for source in sources:
            if way[:2] in source.places:
                return source.problem(way, message, hint)
        return self.flow.source.problem(way, message, hint)

    def flow_problem(self, way: Where, message: str, hint: str = "") -> Problem:
        """Make a complaint about the flow's own file, as at `("covers", 2)`."""
        return self.flow.source.problem(way, message, hint)


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that must not be in a flow.

    Args:
        name: what the complaint is called, as `dead-end`.
        why: what it saves the technician from, one sentence.
        find: gives each complaint; its name and severity are put in afterwards.
        severity: an `error` keeps a flow from being walked, a `warning` does not.
    """

    name: str
    why: str
    find: Callable[[Subject], Iterable[Problem]]
    severity: Severity = "error"

    def run(self, subject: Subject) -> Iterable[Problem]:
        """Give what the check complains of, under its name."""
        for problem in self.find(subject):
            yield replace(problem, check=self.name, severity=self.severity)


def spread(first: Iterable[str], arrows: Mapping[str, Iterable[str]]) -> set[str]:
    """Give all that can be reached from some steps along arrows, themselves included."""
    found: set[str] = set()
    ahead = list(first)
    while ahead:
        name = ahead.pop()
        if name not in found:
            found.add(name)
            ahead.extend(arrows.get(name, ()))
    return found
