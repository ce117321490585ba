"""Mutants of a flow as data: one limit, comparison, target, range or condition changed in each.

A mutant is made of the loaded flow, where a step stands as often as its file is included; what is
written once is changed everywhere at once. What a way does that no walk can take (OL where none is
taken, `impossible.yaml`) is not changed, since nothing could notice. See `killing.py` for how
mutants are found out.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, TypeAlias

from ways import home, impossible, is_always_sure, never_goes_on, takes_no_over_limit

from assistant.bench.meter import METERS
from assistant.errors import RungsideError
from assistant.flow import judging
from assistant.flow.clauses import AnswerIs, Case, Clause, Compare, OutcomeIs, VerdictIs
from assistant.flow.judging import CONTINUE, RuleModel, VerdictKind
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import (
    END,
    DecideStep,
    DoStep,
    JudgedStep,
    NumberStep,
    SpokenStep,
    WorkOutStep,
    value_name,
)
from assistant.quantity import Quantity, Unit

Edit: TypeAlias = Callable[[str, Any], Any]
"""Gives the changed step for a step's id and the step."""


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


_Found: TypeAlias = Iterator[tuple[str, str, Edit]]


def _edits(flow: Flow, name: str, step: LinkedStep) -> _Found:
    yield from _targets(flow, name, step)
    if isinstance(step, JudgedStep):
        yield from _rule_edits(step)
    if isinstance(step, NumberStep):
        yield from _ranges(step)
    if isinstance(step, WorkOutStep):
        for key, operand in step.given.items():
            if isinstance(operand, Decimal):
                for new in _beside(operand, step):
                    yield "limit", f"{key}: {new}", _update_in("given", key, new)
    if isinstance(step, SpokenStep):
        yield from _conditions(step)
    if isinstance(step, DecideStep):
        for position, case in enumerate(step.cases):
            yield from _case_edits(flow, position, case, len(step.cases))


def _update(key: str, value: object) -> Edit:
    return lambda _, step: step.model_copy(update={key: value})


def _update_in(key: str, name: str, value: object) -> Edit:
    return lambda _, step: step.model_copy(update={key: {**getattr(step, key), name: value}})


def _without(key: str, name: str) -> Edit:
    def edit(_: str, step: Any) -> Any:  # noqa: ANN401 - any record
        left = {k: v for k, v in getattr(step, key).items() if k != name}
        return step.model_copy(update={key: left})

    return edit


def _in_member(key: str, position: int, edit: Edit) -> Edit:
    """Change one member of a list of records."""

    def changed(name: str, step: Any) -> Any:  # noqa: ANN401 - any record
        members = list(getattr(step, key))
        members[position] = edit(name, members[position])
        return step.model_copy(update={key: tuple(members)})

    return changed


def _in_choice(choice: str, edit: Edit) -> Edit:
    def changed(name: str, step: Any) -> Any:  # noqa: ANN401 - any record
        choices = {**step.choices, choice: edit(name, step.choices[choice])}
        return step.model_copy(update={"choices": choices})

    return changed


def _beside(value: Decimal, step: object = None) -> tuple[Decimal, Decimal]:
    """Give a number lower and higher by what matters: a tenth, and more than the meter's digit."""
    delta = max(abs(value) / 10, 2 * _digit(value, step))
    return value - delta, value + delta


def _digit(value: Decimal, step: object) -> Decimal:
    meter = METERS.get(getattr(step, "meter", None) or "")
    unit = getattr(step, "unit", Unit.COUNT)
    if meter is not None:
        base = meter.ranges[0].unit
        for one in meter.ranges:
            try:
                shown = Quantity(value, unit).to(base).value / Decimal(one.scale)
                if abs(shown) <= Decimal(one.limit):
                    return Quantity(Decimal(1).scaleb(-one.places), one.unit).to(unit).value
            except RungsideError:
                break
    if unit in {Unit.COUNT, Unit.VOLT, Unit.HERTZ}:
        return Decimal("0.5")
    return Decimal(1).scaleb(min(value.adjusted() - 2, 0)) if value else Decimal("0.1")


# ---- targets


def _targets(flow: Flow, name: str, step: LinkedStep) -> _Found:
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
    return lambda step, to: _in_choice(
        choice, lambda _, answer: answer.model_copy(update={"next": to(answer.next)})
    )("", step)


def _case_target(position: int) -> _Aim:
    return lambda step, to: _in_member(
        "cases", position, lambda _, case: case.model_copy(update={"next": to(case.next)})
    )("", step)


def _go_target(position: int, outcome: str) -> _Aim:
    return lambda step, to: _in_member(
        "judge",
        position,
        lambda _, rule: rule.model_copy(update={"go": {**rule.go, outcome: to(rule.go[outcome])}}),
    )("", step)


# ---- rules


def _ways_out(step: LinkedStep, rule: RuleModel) -> list[tuple[str, str]]:
    """Give a rule's targets without those that no value of the step can lead to."""
    is_without = takes_no_over_limit(step)
    position = step.judge.index(rule) if isinstance(step, JudgedStep) else 0
    return [
        pair
        for pair in rule.go.items()
        if not (is_without and pair[0] == "over_limit")
        and not is_always_sure(step, f"rule{position}.{pair[0]}")
    ]


def _rule_edits(step: JudgedStep) -> _Found:
    for position, rule in enumerate(step.judge):
        for key in type(rule).model_fields:
            value = getattr(rule, key)
            if key in rule.model_fields_set and isinstance(value, Decimal):
                for new in _beside(value, None if key == "percent" else step):
                    edit = _in_member("judge", position, _update(key, new))
                    yield "limit", f"rule {position} {key}: {new}", edit
        other = _neighbour(rule)
        if other is not None:
            edit = _in_member("judge", position, lambda *_, other=other: other)
            yield "comparison", f"rule {position} is {other.rule}", edit
        yield from _mappings(position, rule, step)


def _neighbour(rule: Any) -> RuleModel | None:  # noqa: ANN401 - any rule
    """Give the rule it could be confused with, with the same targets as far as they fit."""
    match rule:
        case judging.AtLeast():
            return _remade(judging.AtMost, rule, limit=rule.limit)
        case judging.AtMost():
            return _remade(judging.AtLeast, rule, limit=rule.limit)
        case judging.NearZero():
            return _remade(judging.NotZero, rule, limit=rule.limit)
        case judging.NotZero():
            return _remade(judging.NearZero, rule, limit=rule.limit)
        case judging.IsOverLimit():
            return _remade(judging.NotOverLimit, rule)
        case judging.NotOverLimit():
            return _remade(judging.IsOverLimit, rule)
        case judging.Within():
            return _remade(judging.AtLeast, rule, limit=rule.low)
        case judging.WithinPercent():
            return _remade(judging.AtLeast, rule, limit=rule.rating)
        case judging.WithinVoltage():
            return _remade(judging.AtLeast, rule, limit=rule.rating)
        case judging.SameAs():
            return _remade(judging.AtMost, rule, limit=rule.other)
        case judging.SumOfParts():
            return _remade(judging.AtLeast, rule, limit=rule.parts[0])
        case judging.FallsInOrder():
            return rule.model_copy(update={"values": tuple(reversed(rule.values))})
        case judging.ReplacementAllowed():
            other = "equal_or_higher" if rule.kind == "equal" else "equal"
            return rule.model_copy(update={"kind": other})
        case _:
            return None


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


def _mappings(position: int, rule: RuleModel, step: Any) -> _Found:  # noqa: ANN401
    """Give each outcome's target taken for another's; `continue` for a way out, and back."""
    items = _ways_out(step, rule)
    for (one, first), (other, second) in zip(items, items[1:], strict=False):
        if first != second:
            go = {**rule.go, one: second, other: first}
            edit = _in_member("judge", position, _update("go", go))
            yield "mapping", f"rule {position}: {one} and {other} swapped", _here(edit, step)
    for outcome, target in items:
        if target != CONTINUE and step.next not in {None, target}:
            edit = _in_member("judge", position, _update_in("go", outcome, CONTINUE))
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


def _ranges(step: NumberStep) -> _Found:
    low, high = step.plausible
    if not step.allowed:
        for new in _beside(low, step):
            if low != 0 or new > 0:
                yield "range", f"plausible from {new}", _update("plausible", (new, high))
        for new in _beside(high, step):
            yield "range", f"plausible to {new}", _update("plausible", (low, new))
    for value in step.allowed:
        left = tuple(one for one in step.allowed if one != value)
        if left:
            yield "range", f"{value} not allowed", _update("allowed", left)


# ---- conditions


def _conditions(step: SpokenStep) -> _Found:
    for name in step.needs:
        yield "condition", f"needs no {name}", _without("needs", name)
    for name in step.leaves:
        yield "condition", f"leaves no {name}", _without("leaves", name)
    for choice, answer in step.choices.items():
        for name in answer.leaves:
            edit = _in_choice(choice, _without("leaves", name))
            yield "condition", f"{choice} leaves no {name}", edit
    for caution in step.cautions:
        left = tuple(one for one in step.cautions if one != caution)
        yield "condition", f"no caution {caution}", _update("cautions", left)
    if isinstance(step, DoStep) and step.hold:
        yield "condition", "no hold point", _update("hold", False)


# ---- decisions


def _case_edits(flow: Flow, position: int, case: Case, count: int) -> _Found:
    if count > 1:
        yield "clause", f"case {position} gone", _dropped("cases", position)
    for place, clause in enumerate(case.when):
        here = f"case {position} clause {place}"
        if len(case.when) > 1:
            edit = _in_member("cases", position, _dropped("when", place))
            yield "clause", f"{here} gone", edit
        for kind, what, new in _clause_edits(flow, clause):
            edit = _in_member("cases", position, _in_member("when", place, _always(new)))
            yield kind, f"{here}: {what}", edit


def _always(new: object) -> Edit:
    return lambda *_: new


def _dropped(key: str, position: int) -> Edit:
    def edit(_: str, record: Any) -> Any:  # noqa: ANN401 - any record
        members = getattr(record, key)
        return record.model_copy(update={key: (*members[:position], *members[position + 1 :])})

    return edit


def _clause_edits(flow: Flow, clause: Clause) -> Iterator[tuple[str, str, Clause]]:
    match clause:
        case Compare():
            yield from _compare_edits(flow, clause)
        case AnswerIs() | VerdictIs() | OutcomeIs():
            for member in clause.is_:
                left = tuple(one for one in clause.is_ if one != member)
                if left:
                    yield "clause", f"not {member}", clause.model_copy(update={"is_": left})
            if isinstance(clause, VerdictIs):
                other = "pass" if "pass" not in clause.is_ else VerdictKind.FAIL.value
                yield "mapping", f"is {other}", clause.model_copy(update={"is_": (other,)})
        case _:
            pass


def _compare_edits(flow: Flow, clause: Compare) -> Iterator[tuple[str, str, Clause]]:
    for key in ("at_least", "below"):
        limit = getattr(clause, key)
        if isinstance(limit, Decimal):
            for new in _moved(flow, clause.value, limit):
                yield "limit", f"{key}: {new}", clause.model_copy(update={key: new})
    swapped = {"at_least": clause.below, "below": clause.at_least}
    yield "comparison", "at least and below swapped", clause.model_copy(update=swapped)


def _moved(flow: Flow, value: str, limit: Decimal) -> tuple[Decimal, ...]:
    """Give limits to both sides; where only some values can be printed, past the next of them."""
    given = [
        step
        for name, step in flow.steps.items()
        if isinstance(step, JudgedStep) and value_name(name, step) == value
    ]
    asked = [step for step in given if isinstance(step, NumberStep)]
    lowest = min((step.plausible[0] for step in asked), default=limit)
    if limit < lowest:  # it asks whether the value was taken: any number passes it
        return (_beside(lowest, asked[0])[1],)
    printed = sorted({v for step in asked for v in step.allowed})
    if not printed:
        return _beside(limit, given[0] if given else None)
    above = [v for v in printed if v >= limit]
    below = [v for v in printed if v < limit]
    moved = [above[0] + Decimal("0.5")] if above else []
    return (*moved, *([below[-1]] if below else []))
