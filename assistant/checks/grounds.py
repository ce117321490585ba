"""Findings made on evidence: no path may condemn a part before anything was taken that shows it.

A path without evidence is followed from the start: it leaves no step that takes evidence, and takes
no branch that asks for what such a step, or one that the path has not come to, would have given.
"""

from collections.abc import Collection, Iterable, Iterator

from assistant.checks.check import Arrow, Check, Subject
from assistant.flow.clauses import Case, Clause, Compare, FoundIs
from assistant.flow.linked import LinkedStep
from assistant.flow.model import DecideStep, FindStep, JudgedStep, WorkOutStep, value_name
from assistant.flow.names import NOT_TAKEN
from assistant.flow.problems import Problem


def find_groundless(subject: Subject) -> Iterator[Problem]:
    """Complain of a finding that some path makes without any of its evidence, and of its arrows."""
    for name, steps in _found_at(subject).items():
        finding = subject.flow.findings[name]
        if finding.licensed or not finding.evidence:
            continue
        if _is_told_at_once(subject, steps, finding.evidence):
            continue
        if not _reaches_past(subject, steps, frozenset(finding.evidence)):
            continue
        walked = _walked_without(subject, finding.evidence)
        message = f"Some path finds '{name}' and has taken none of its evidence."
        hint = f"Lead every path through one of: {', '.join(finding.evidence)}."
        for step in steps:
            into = [arrow for arrow in subject.arrows if arrow[2] == step]
            bare = [arrow for arrow in into if arrow in walked]
            if bare:
                yield subject.problem(step, (), message, hint)
            for source, outcome, _ in bare if len(bare) < len(into) else ():
                yield subject.arrow_problem(source, outcome, message, hint)


def find_idle_evidence(subject: Subject) -> Iterator[Problem]:
    """Complain of evidence that no path to its finding brings along."""
    for name, steps in _found_at(subject).items():
        brought = _brought_to(subject, steps)
        for position, one in enumerate(subject.flow.findings[name].evidence):
            if one not in brought:
                message = f"No path that finds '{name}' brings '{one}' along."
                hint = "Take it before, or name what shows the fault."
                yield subject.finding_problem(name, ("evidence", position), message, hint)


def _brought_to(subject: Subject, goals: list[str]) -> set[str]:
    """Give the steps that lead to one of some steps, and the values they take."""
    before = subject.knowing.leading_to(goals)
    steps = subject.flow.steps
    values = {value_name(one, step) for one in before if isinstance(step := steps[one], JudgedStep)}
    return before | values


def _is_told_at_once(subject: Subject, steps: list[str], evidence: Collection[str]) -> bool:
    """Whether only steps that take evidence lead to where a finding is made."""
    before = {source for source, _, target in subject.arrows if target in steps}
    return all(
        name in evidence or getattr(subject.flow.steps[name], "name", None) in evidence
        for name in before
    )


def _reaches_past(subject: Subject, steps: list[str], evidence: frozenset[str]) -> bool:
    """Whether arrows alone lead past all evidence to a finding; most often they do not."""
    goals, every = set(steps), subject.flow.steps
    ahead, seen = [subject.flow.start], set[str]()
    while ahead:
        name = ahead.pop()
        if name in goals:
            return True
        if name in seen or name not in every or name in evidence:
            continue
        seen.add(name)
        step = every[name]
        if not isinstance(step, JudgedStep) or value_name(name, step) not in evidence:
            ahead.extend(subject.onward[name])
    return False


def _found_at(subject: Subject) -> dict[str, list[str]]:
    """Give the reached steps that make each finding."""
    found: dict[str, list[str]] = {}
    for name, step in subject.flow.steps.items():
        if isinstance(step, FindStep) and name in subject.reached:
            found.setdefault(step.finding, []).append(name)
    return found


def _walked_without(subject: Subject, evidence: Collection[str]) -> set[Arrow]:
    """Give the arrows of all paths from the start on which no evidence is taken."""
    walk = _Walk(subject, frozenset(evidence))
    size = -1
    while size < len(walk.walked):
        size = len(walk.walked)
        walk.follow()
    return walk.walked


class _Walk:
    """The paths without some evidence, followed until nothing new is come to."""

    def __init__(self, subject: Subject, evidence: frozenset[str]) -> None:
        self._subject, self._evidence = subject, evidence
        self._given: set[str] = set()
        self.walked: set[Arrow] = set()

    def follow(self) -> None:
        """Follow every arrow that can be taken with what was given up to now."""
        steps = self._subject.flow.steps
        ahead, seen = [self._subject.flow.start], set[str]()
        while ahead:
            name = ahead.pop()
            if name in seen or name not in steps:
                continue
            seen.add(name)
            step = steps[name]
            value = value_name(name, step) if isinstance(step, JudgedStep) else name
            if name in self._evidence or value in self._evidence:
                continue
            self._given |= {name, value}
            for outcome, target in self._exits(name, step):
                self.walked.add((name, outcome, target))
                ahead.append(target)

    def _exits(self, name: str, step: LinkedStep) -> Iterable[tuple[str, str]]:
        if isinstance(step, WorkOutStep) and set(step.given.values()) & self._evidence:
            return [("unknown", step.unknown)]
        return self._branches(step) if isinstance(step, DecideStep) else self._subject.exits[name]

    def _branches(self, step: DecideStep) -> Iterator[tuple[str, str]]:
        for position, case in enumerate(step.cases):
            held = self._holds(case)
            if held is not False:
                yield f"case{position}", case.next
            if held:
                return
        yield "otherwise", step.otherwise

    def _holds(self, case: Case) -> bool | None:
        """Whether a case holds on such a path; None where that does not tell."""
        told = [self._clause_holds(clause) for clause in case.when]
        if False in told:
            return False
        return None if None in told else True

    def _clause_holds(self, clause: Clause) -> bool | None:
        kind, asked = clause.asked
        wanted = () if isinstance(clause, Compare | FoundIs) else clause.is_
        if kind == "found":
            return None
        if asked in self._evidence:
            return NOT_TAKEN in wanted
        return None if asked in self._given or NOT_TAKEN in wanted else False


CHECKS = (
    Check(
        "finding-groundless",
        "A finding made before its evidence was taken condemns a good part.",
        find_groundless,
    ),
    Check(
        "evidence-never-taken",
        "Evidence that was never taken shows nothing, and the record has a hole.",
        find_idle_evidence,
    ),
)
