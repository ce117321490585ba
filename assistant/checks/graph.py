"""How steps hang together: every step reached, every path with an end."""

from collections.abc import Iterable, Iterator, Mapping

from assistant.checks.check import Check, Subject, spread
from assistant.flow.linked import GateStep
from assistant.flow.model import END, STOP, FindStep, InteractiveStep
from assistant.flow.problems import Problem


def find_unreached(subject: Subject) -> Iterator[Problem]:
    """Complain of the first step of each part of the flow that no path from the start reaches."""
    flow = subject.flow
    begun = filter(None, (flow.start, flow.make_safe, flow.make_live))
    known = spread(begun, subject.onward)
    lost = [name for name in flow.steps if name not in known]
    told: set[str] = set()
    for name in sorted(lost, key=lambda one: _is_led_to(subject, one, lost)):
        step = flow.steps[name]
        if name not in told and not (isinstance(step, GateStep) and step.way != "in"):
            hint = "Lead a step to it, or take it out."
            yield subject.problem(name, (), f"No path leads to '{name}'.", hint)
        told |= spread([name], subject.onward)


def _is_led_to(subject: Subject, name: str, lost: list[str]) -> bool:
    """Whether another lost step leads to it, which is the one to complain of."""
    return bool(subject.backward.get(name, frozenset()) - {name} & set(lost))


def find_unused_returns(subject: Subject) -> Iterator[Problem]:
    """Complain of a way out of an included flow that no step of it takes."""
    for name, step in subject.flow.steps.items():
        if isinstance(step, GateStep) and step.way != "in" and step.include in subject.reached:
            if name in subject.reached:
                continue
            inside = subject.flow.steps[step.include].next or ""
            source = subject.flow.origins[inside].source
            ways = source.data.get("returns", ())
            place = list(ways).index(step.way) if step.way in ways else 0
            message = f"No step of this flow returns '{step.way}'."
            hint = f"Lead a step to 'return.{step.way}', or take it out of 'returns'."
            yield source.problem(("returns", place), message, hint)


def find_endless(subject: Subject) -> Iterator[Problem]:
    """Complain of a circle that no answer leads out of, where it leads back."""
    ending = spread([END, STOP], subject.backward)
    stuck = {name for name in subject.reached if name not in ending}
    for ring in rings(stuck, subject.onward):
        if all(subject.onward[name] <= ring for name in ring):
            yield from _where_back(subject, ring, "Nothing leads out of this circle of steps")


def find_silent(subject: Subject) -> Iterator[Problem]:
    """Complain of a circle of steps that ask nothing: the walk would go round without a word."""
    steps, knowing = subject.flow.steps, subject.knowing
    silent = {name for name in knowing.arrival if not isinstance(steps[name], InteractiveStep)}
    arrows = {name: knowing.onward(name) & silent for name in silent}
    for ring in rings(silent, arrows):
        gone = _way_round(subject, ring)
        if gone:
            said = "This circle asks nothing, so it goes round for ever"
            yield from _where_back(subject, gone, said)


_MOST_TRIED = 5000
"""Ways round a circle that are tried; beyond, the circle counts as one that does not close."""


def _way_round(subject: Subject, ring: frozenset[str]) -> frozenset[str]:
    """Give the steps of a way round that what is known allows twice; nothing where none closes.

    Once round may be possible for what is known on arrival by several paths together; what was
    decided on the way holds for the second round.
    """
    for start in sorted(ring):
        once = _back_at(subject, ring, start, subject.knowing.arrival[start])
        for _, here in once:
            for passed, _ in _back_at(subject, ring, start, here):
                return passed
    return frozenset()


def _back_at(
    subject: Subject, ring: frozenset[str], start: str, here: int
) -> Iterator[tuple[frozenset[str], int]]:
    """Give each way round from a step back to it, with what is known then."""
    ahead, tried = [(start, here, frozenset({start}))], 0
    while ahead and tried < _MOST_TRIED:
        name, known, passed = ahead.pop()
        tried += 1
        for _, target, brought in subject.knowing.leads(name, known):
            if brought and target == start:
                yield passed, brought
            elif brought and target in ring and target not in passed:
                ahead.append((target, brought, passed | {target}))


def _where_back(subject: Subject, ring: frozenset[str], said: str) -> Iterator[Problem]:
    order = {name: place for place, name in enumerate(subject.flow.steps)}
    listed = ", ".join(sorted(ring, key=order.__getitem__)[:5])
    for step, outcome, target in subject.arrows:
        if step in ring and target in ring and order[target] <= order[step]:
            message = f"{said}: {listed}."
            hint = "Lead one of its answers to another step, or to 'end'."
            yield subject.arrow_problem(step, outcome, message, hint)


def rings(steps: Iterable[str], arrows: Mapping[str, Iterable[str]]) -> Iterator[frozenset[str]]:
    """Give the circles among some steps: those that can reach each other, or themselves."""
    inside = set(steps)
    within = {name: [t for t in arrows[name] if t in inside] for name in inside}
    back: dict[str, list[str]] = {}
    for name, targets in within.items():
        for target in targets:
            back.setdefault(target, []).append(name)
    left = set(inside)
    for name in sorted(inside):
        if name in left:
            ring = spread([name], within) & spread([name], back)
            left -= ring
            if len(ring) > 1 or name in within[name]:
                yield frozenset(ring)


def find_unfound(subject: Subject) -> Iterator[Problem]:
    """Complain of a finding that no step reached makes."""
    made = {
        step.finding
        for name, step in subject.flow.steps.items()
        if isinstance(step, FindStep) and name in subject.knowing.arrival
    }
    for finding in subject.flow.findings:
        if finding not in made:
            hint = f"Lead a path to a step with 'finding: {finding}', or take it out."
            yield subject.finding_problem(finding, (), f"No path finds '{finding}'.", hint)


CHECKS: tuple[Check, ...] = (
    Check(
        "unreachable-step",
        "A step that no path leads to is a test, or a caution, that is never made.",
        find_unreached,
    ),
    Check(
        "return-never-taken",
        "A way out that is never taken hides that something is missing in the included flow.",
        find_unused_returns,
    ),
    Check(
        "endless-loop",
        "A circle with no way out keeps the technician on the unit for ever.",
        find_endless,
    ),
    Check(
        "silent-loop",
        "A circle that asks nothing never comes to a word, so the walk hangs.",
        find_silent,
    ),
    Check(
        "finding-never-reached",
        "A finding that no path makes is a fault that is never found.",
        find_unfound,
    ),
)
