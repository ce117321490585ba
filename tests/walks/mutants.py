"""Mutants of a flow as data: one limit, comparison, target, range or condition changed in each.

A mutant is made of the loaded flow, where a step stands as often as its file is included; what is
written once is changed everywhere at once. What a way does that no walk can take (OL where none is
taken, `impossible.yaml`) is not changed, since nothing could notice. See `killing.py` for how
mutants are found out.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise
from typing import Any, TypeAlias

from mutant_decisions import Found, case_edits
from mutant_parts import Edit, beside, in_choice, in_member, update, update_in, without
from ways import cannot_come, home, impossible, never_goes_on

from assistant.flow import judging
from assistant.flow.judging import CONTINUE, RuleModel
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import (
    END,
    DecideStep,
    DoStep,
    JudgedStep,
    NumberStep,
    SpokenStep,
    WorkOutStep,
)


@dataclass(frozen=True)
class Mutant:
    """One change.

    Args:
        kind: limit, comparison, target, range, mapping, condition or clause.
        place: file, line and step, for people.
        what: what is changed.
        steps: the linked steps that are changed.
        edit: changes one of them; none for a change of the flow's start.
        start: the changed start; empty where it is not.
    """

    kind: str
    place: str
    what: str
    steps: tuple[str, ...]
    edit: Edit | None = None
    start: str = ""

    def apply(self, flow: Flow) -> Flow:
        """Give the flow with this change."""
        if self.edit is None:
            return replace(flow, start=self.start)
        changed = {name: self.edit(name, flow.steps[name]) for name in self.steps}
        return replace(flow, steps={**flow.steps, **changed})


def mutants(flow: Flow) -> list[Mutant]:
    """Give every mutant of a flow, in the order in which its steps are written."""
    written: dict[str, list[str]] = {}
    for name in flow.steps:
        written.setdefault(home(flow, name), []).append(name)
    found = [_start(flow)]
    dead = impossible(flow.id)
    for names in written.values():
        step = flow.steps[names[0]]
        place = _place(flow, names[0])
        for kind, what, edit in _edits(flow, names[0], step):
            if (home(flow, names[0]), _way_of(what)) not in dead:
                found.append(Mutant(kind, place, what, tuple(names), edit))
    return found


def _way_of(what: str) -> str:
    """Give the way out that a change of a target is about, as `rule0.low`; else nothing."""
    words = what.replace(":", "").split()
    match words:
        case ["rule", position, outcome, "elsewhere"] | ["rule", position, outcome, "goes", "on"]:
            return f"rule{position}.{outcome}"
        case ["case", position, "elsewhere"] | ["case", position, "gone"]:
            return f"case{position}"
        case ["choice", choice, "elsewhere"]:
            return f"choice.{choice}"
        case [key, "elsewhere"]:
            return key
        case _:
            return ""


def _start(flow: Flow) -> Mutant:
    other = next(name for name in flow.steps if name != flow.start)
    return Mutant("target", f"{flow.file.name}: start", f"start: {other}", (), start=other)


def _place(flow: Flow, name: str) -> str:
    origin = flow.origins[name]
    line, _ = origin.source.places.get(origin.where, (1, 1))
    return f"{origin.source.file.name}:{line}: {home(flow, name)}"


def _edits(flow: Flow, name: str, step: LinkedStep) -> Found:
    yield from _targets(flow, name, step)
    if isinstance(step, JudgedStep):
        yield from _rule_edits(step)
    if isinstance(step, NumberStep):
        yield from _ranges(step)
    if isinstance(step, WorkOutStep):
        for key, operand in step.given.items():
            if isinstance(operand, Decimal):
                for new in beside(operand, step):
                    yield "limit", f"{key}: {new}", update_in("given", key, new)
    if isinstance(step, SpokenStep):
        yield from _conditions(step)
    if isinstance(step, DecideStep):
        for position, case in enumerate(step.cases):
            yield from case_edits(flow, position, case, len(step.cases))


# ---- targets


def _targets(flow: Flow, name: str, step: LinkedStep) -> Found:
    for key in ("next", "skipped", "unknown", "otherwise"):
        if key == "next" and never_goes_on(step):
            continue
        if isinstance(getattr(step, key, None), str):
            yield "target", f"{key} elsewhere", _led(flow, _key_target(key))
    for choice, answer in getattr(step, "choices", {}).items():
        if answer.next is not None:
            edit = _in_choice_target(choice)
            yield "target", f"choice {choice} elsewhere", _led(flow, edit)
    for position, case in enumerate(getattr(step, "cases", ())):
        del case
        yield "target", f"case {position} elsewhere", _led(flow, _case_target(position))
    for position, rule in enumerate(getattr(step, "judge", ())):
        for outcome, target in _ways_out(step, rule):
            if target != CONTINUE:
                what = f"rule {position} {outcome} elsewhere"
                yield "target", what, _led(flow, _go_target(position, outcome))
    del name


_Aim: TypeAlias = Callable[[Any, Callable[[str], str]], Any]
"""Changes one target of a step by a function."""


def _led(flow: Flow, aim: _Aim) -> Edit:
    def edit(name: str, step: Any) -> Any:  # noqa: ANN401 - any step
        return aim(step, lambda target: _elsewhere(flow, name, target))

    return edit


def _elsewhere(flow: Flow, name: str, target: str) -> str:
    """Give another plausible target: where the step leads too, else the next step of its file."""
    others = [to for _, to in flow.steps[name].exits() if to not in (target, name)]
    if others:
        return others[0]
    prefix = name.rpartition("/")[0]
    near = [n for n in flow.steps if n.rpartition("/")[0] == prefix and ">" not in n]
    at = near.index(name) if name in near else -1
    return next((one for one in (*near[at + 1 :], *near) if one not in (target, name)), END)


def _key_target(key: str) -> _Aim:
    return lambda step, to: step.model_copy(update={key: to(getattr(step, key))})


def _in_choice_target(choice: str) -> _Aim:
    return lambda step, to: in_choice(
        choice, lambda _, answer: answer.model_copy(update={"next": to(answer.next)})
    )("", step)


def _case_target(position: int) -> _Aim:
    return lambda step, to: in_member(
        "cases", position, lambda _, case: case.model_copy(update={"next": to(case.next)})
    )("", step)


def _go_target(position: int, outcome: str) -> _Aim:
    return lambda step, to: in_member(
        "judge",
        position,
        lambda _, rule: rule.model_copy(update={"go": {**rule.go, outcome: to(rule.go[outcome])}}),
    )("", step)


# ---- rules


def _ways_out(step: LinkedStep, rule: RuleModel) -> list[tuple[str, str]]:
    """Give a rule's targets without those that no value of the step can lead to."""
    position = step.judge.index(rule) if isinstance(step, JudgedStep) else 0
    return [pair for pair in rule.go.items() if not cannot_come(step, f"rule{position}.{pair[0]}")]


def _rule_edits(step: JudgedStep) -> Found:
    for position, rule in enumerate(step.judge):
        for key in type(rule).model_fields:
            value = getattr(rule, key)
            if key in rule.model_fields_set and isinstance(value, Decimal):
                for new in beside(value, None if key == "percent" else step):
                    edit = in_member("judge", position, update(key, new))
                    yield "limit", f"rule {position} {key}: {new}", edit
        other = _neighbour(rule)
        if other is not None:
            edit = in_member("judge", position, lambda *_, other=other: other)
            yield "comparison", f"rule {position} is another: {type(other).__name__}", edit
        yield from _mappings(position, rule, step)


def _neighbour(rule: RuleModel) -> RuleModel | None:
    """Give the rule it could be confused with, with the same targets as far as they fit."""
    make = _NEIGHBOURS.get(type(rule))
    return None if make is None else make(rule)


def _remade(model: Any, rule: RuleModel, **fields: object) -> RuleModel:  # noqa: ANN401
    named = model.model_fields["rule"].annotation.__args__[0]
    kinds: dict[str, str] = {}
    for outcome, kind in rule.outcomes.items():
        target = rule.target(outcome)
        if target is not None:
            kinds.setdefault(kind.value, target)
    words = {k: v for k, v in rule.go.items() if k in model.outcomes}
    kinds.setdefault("fail", next(iter(rule.go.values()), CONTINUE))
    kinds.setdefault("cannot_tell", CONTINUE)
    made: RuleModel = model.model_construct(rule=named, go={**kinds, **words}, **fields)
    return made


_NEIGHBOURS: dict[type[RuleModel], Callable[[Any], RuleModel]] = {
    judging.AtLeast: lambda rule: _remade(judging.AtMost, rule, limit=rule.limit),
    judging.AtMost: lambda rule: _remade(judging.AtLeast, rule, limit=rule.limit),
    judging.NearZero: lambda rule: _remade(judging.NotZero, rule, limit=rule.limit),
    judging.NotZero: lambda rule: _remade(judging.NearZero, rule, limit=rule.limit),
    judging.IsOverLimit: lambda rule: _remade(judging.NotOverLimit, rule),
    judging.NotOverLimit: lambda rule: _remade(judging.IsOverLimit, rule),
    judging.Within: lambda rule: _remade(judging.AtLeast, rule, limit=rule.low),
    judging.WithinPercent: lambda rule: _remade(judging.AtLeast, rule, limit=rule.rating),
    judging.WithinVoltage: lambda rule: _remade(judging.AtLeast, rule, limit=rule.rating),
    judging.SameAs: lambda rule: _remade(judging.AtMost, rule, limit=rule.other),
    judging.SumOfParts: lambda rule: _remade(judging.AtLeast, rule, limit=rule.parts[0]),
    judging.FallsInOrder: lambda rule: rule.model_copy(
        update={"values": tuple(reversed(rule.values))}
    ),
    judging.ReplacementAllowed: lambda rule: rule.model_copy(
        update={"kind": "equal_or_higher" if rule.kind == "equal" else "equal"}
    ),
}
"""Each rule's neighbour; one row a rule."""


def _mappings(position: int, rule: RuleModel, step: Any) -> Found:  # noqa: ANN401
    """Give each outcome's target taken for another's; `continue` for a way out, and back."""
    items = _ways_out(step, rule)
    for (one, first), (other, second) in pairwise(items):
        if first != second:
            go = {**rule.go, one: second, other: first}
            edit = in_member("judge", position, update("go", go))
            yield "mapping", f"rule {position}: {one} and {other} swapped", _here(edit, step)
    for outcome, target in items:
        if target != CONTINUE and step.next not in {None, target}:
            edit = in_member("judge", position, update_in("go", outcome, CONTINUE))
            yield "mapping", f"rule {position}: {outcome} goes on", edit


def _here(edit: Edit, first: JudgedStep) -> Edit:
    """Keep each copy's own targets: swap by name, not by the first copy's ids."""

    def changed(name: str, step: Any) -> Any:  # noqa: ANN401 - any step
        made = edit(name, first)
        rules = []
        for own, old, new in zip(step.judge, first.judge, made.judge, strict=True):
            back = {target: key for key, target in old.go.items()}
            go = {key: own.go[back[target]] for key, target in new.go.items()}
            rules.append(own.model_copy(update={"go": go}))
        return step.model_copy(update={"judge": tuple(rules)})

    return changed


# ---- ranges


def _ranges(step: NumberStep) -> Found:
    low, high = step.plausible
    if not step.allowed:
        for new in beside(low, step):
            if low != 0 or new > 0:
                yield "range", f"plausible from {new}", update("plausible", (new, high))
        for new in beside(high, step):
            yield "range", f"plausible to {new}", update("plausible", (low, new))
    for value in step.allowed:
        left = tuple(one for one in step.allowed if one != value)
        if left:
            yield "range", f"{value} not allowed", update("allowed", left)


# ---- conditions


def _conditions(step: SpokenStep) -> Found:
    for name in step.needs:
        yield "condition", f"needs no {name}", without("needs", name)
    for name in step.leaves:
        yield "condition", f"leaves no {name}", without("leaves", name)
    for choice, answer in step.choices.items():
        for name in answer.leaves:
            edit = in_choice(choice, without("leaves", name))
            yield "condition", f"{choice} leaves no {name}", edit
    for caution in step.cautions:
        left = tuple(one for one in step.cautions if one != caution)
        yield "condition", f"no caution {caution}", update("cautions", left)
    if isinstance(step, DoStep) and step.hold:
        yield "condition", "no hold point", update("hold", False)
