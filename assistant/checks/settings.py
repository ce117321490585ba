"""Meter settings that fit, needs that can be met, proofs that can be made again."""

import re
from collections.abc import Iterator, Mapping

from assistant.checks.check import Check, Subject
from assistant.flow.conditions import QUANTITY_NEEDS, needs_of
from assistant.flow.judging import AtLeast, NotZero, Within, WithinVoltage
from assistant.flow.linked import GateStep
from assistant.flow.model import MeasureStep, QuantityKind, SpokenStep
from assistant.flow.problems import Problem, nearest

_Kind = QuantityKind
_FIT: Mapping[str, tuple[QuantityKind, ...]] = {
    "ohms": (_Kind.RESISTANCE,),
    "capacitance": (_Kind.CAPACITANCE,),
    "volts_ac": (_Kind.VOLTAGE,),
    "volts_low_z": (_Kind.VOLTAGE,),
    "volts_dc": (_Kind.VOLTAGE, _Kind.STORED_VOLTAGE),
    "clamp_amps": (_Kind.CURRENT,),
    "watts": (_Kind.POWER,),
    "manometer": (_Kind.STATIC_PRESSURE,),
    "thermometer": (_Kind.TEMPERATURE,),
    "tachometer": (_Kind.SPEED,),
    "insulation_tester": (_Kind.INSULATION,),
}
"""What each meter setting of the shipped vocabulary can measure; others are taken at their word."""

_SAID_DIRECT = re.compile(r"\bd c\b", re.IGNORECASE)
_SAID_ALTERNATING = re.compile(r"\ba c\b", re.IGNORECASE)


def find_unfit_meters(subject: Subject) -> Iterator[Problem]:
    """Complain of a meter setting that cannot measure its quantity, or is not the one said."""
    for name, step in subject.flow.steps.items():
        if not isinstance(step, MeasureStep):
            continue
        fits = _FIT.get(step.meter)
        wrong = _wrong_words(subject, step)
        if fits is not None and step.quantity not in fits:
            message = f"The meter setting '{step.meter}' does not measure {_plain(step.quantity)}."
            fitting = [meter for meter, kinds in _FIT.items() if step.quantity in kinds]
            yield subject.problem(name, ("meter",), message, f"Write {' or '.join(fitting)}.")
        elif wrong:
            yield subject.problem(name, ("meter",), wrong, "Let setting, place and prompt agree.")


def _wrong_words(subject: Subject, step: MeasureStep) -> str:
    """Give what is wrong between the setting, the place and the words of the prompt."""
    if step.quantity not in {_Kind.VOLTAGE, _Kind.STORED_VOLTAGE}:
        return ""
    said = f"{step.say} {step.again}"
    is_direct = step.meter == "volts_dc"
    if not is_direct and _SAID_DIRECT.search(said) and not _SAID_ALTERNATING.search(said):
        return f"The prompt says D C, and the meter setting is '{step.meter}'."
    if is_direct and _SAID_ALTERNATING.search(said) and not _SAID_DIRECT.search(said):
        return "The prompt says A C, and the meter setting is 'volts_dc'."
    place = subject.flow.vocabulary.places.get(step.from_)
    is_line = place is not None and place.kind == "supply"
    if is_direct and (is_line or step.leaves.get("power") == "off"):
        return "A live A C line shows about zero on 'volts_dc'."
    return ""


def _plain(quantity: QuantityKind) -> str:
    return quantity.value.replace("_", " ")


def find_unmet_needs(subject: Subject) -> Iterator[Problem]:
    """Complain of needs that contradict the reading, or that no step of the flow makes true."""
    made = {pair for p in subject.hands.passages for pair in p.leaving.after}
    conditions = subject.flow.vocabulary.conditions
    made |= {(name, one.first) for name, one in conditions.items()}
    for name, step in subject.flow.steps.items():
        if not isinstance(step, SpokenStep):
            continue
        quantity = QUANTITY_NEEDS.get(step.quantity, {}) if isinstance(step, MeasureStep) else {}
        for condition, value in step.needs.items():
            way = ("needs", condition)
            words = conditions[condition].values
            if quantity.get(condition, value) != value:
                message = f"This reading needs: {words[quantity[condition]]}, not: {words[value]}."
                yield subject.problem(name, way, message, "Take this need out.")
            elif conditions[condition].by == "proof" and (condition, value) not in made:
                message = f"No path makes true what '{name}' needs: {words[value]}."
                yield subject.problem(name, way, message, "Add the step that proves it.")


_POSITIVE = (AtLeast, Within, NotZero, WithinVoltage)
"""The rules that let only something more than nothing pass."""


def find_dead_readings(subject: Subject) -> Iterator[Problem]:
    """Complain of volts, amps or watts that are expected where every path has proven power off.

    The tester's own test on a live source, beside the proof, is taken elsewhere.
    """
    for name, step in subject.flow.steps.items():
        is_live = isinstance(step, MeasureStep) and step.quantity in _RUNNING
        if not is_live or not subject.hands.reached[name] or _is_by_proof(subject, name):
            continue
        expects = any(isinstance(rule, _POSITIVE) for rule in step.judge)  # type: ignore[union-attr]
        if expects and subject.hands.is_always(name, "power", "off"):
            message = f"'{name}' expects a live reading, and every path has proven the power off."
            hint = "Bring power back before it, as shared/restore-power.yaml does."
            yield subject.problem(name, (), message, hint)


_RUNNING = frozenset({_Kind.VOLTAGE, _Kind.CURRENT, _Kind.POWER, _Kind.SPEED})


def _is_by_proof(subject: Subject, name: str) -> bool:
    inside = name.rpartition("/")[0]
    return any(
        isinstance(step, MeasureStep) and step.leaves.get("power") == "off"
        for other, step in subject.flow.steps.items()
        if other.rpartition("/")[0] == inside
    )


def find_no_way_back(subject: Subject) -> Iterator[Problem]:
    """Complain where a proof that was lost in a walk cannot be made again by an include."""
    needs = {pair for s in subject.flow.steps.values() for pair in needs_of(s).items()}
    flow = subject.flow
    if ("power", "off") in needs and flow.make_safe is None:
        message = "Steps of this flow need it dead, and nothing is named that makes it dead again."
        hint = "Write 'make_safe:' with the include that proves it dead."
        yield subject.flow_problem(("flow",), message, hint)
    if ("power", "on") in needs and flow.make_live is None:
        message = "Steps of this flow need power, and nothing is named that brings it back."
        hint = "Write 'make_live:' with the include that brings it back."
        yield subject.flow_problem(("flow",), message, hint)


def find_wrong_way_back(subject: Subject) -> Iterator[Problem]:
    """Complain of a `make_safe` that proves nothing dead, or a `make_live` without power."""
    dead = {"power": "off", "capacitor": "bled"}
    ways = (
        ("make_safe", subject.flow.make_safe, dead),
        ("make_live", subject.flow.make_live, {"power": "on"}),
    )
    for key, include, wanted in ways:
        if include is None or _some_return_has(subject, include, wanted):
            continue
        words = subject.flow.vocabulary.conditions
        said = " and ".join(words[name].values[value] for name, value in wanted.items())
        message = f"'{include}' never returns with: {said}."
        gates = [n for n in subject.hands.reached if _is_entry(subject, n)]
        good = [name for name in gates if _some_return_has(subject, name, wanted)]
        yield subject.flow_problem((key,), message, nearest(include, good))


def _is_entry(subject: Subject, name: str) -> bool:
    step = subject.flow.steps[name]
    return isinstance(step, GateStep) and step.way == "in"


def _some_return_has(subject: Subject, include: str, wanted: Mapping[str, str]) -> bool:
    """Whether some return of an include always has these conditions; true where none is reached."""
    if not subject.hands.reached.get(include):
        return True
    ways = [n for n in subject.hands.reached if n.startswith(f"{include}>")]
    reached = [subject.hands.reached[name] for name in ways if subject.hands.reached[name]]
    return any(all(set(wanted.items()) <= set(state) for state in states) for states in reached)


CHECKS = (
    Check(
        "meter-unfit",
        "A meter on the wrong setting shows nothing of what is there, or dies in the hand.",
        find_unfit_meters,
    ),
    Check(
        "needs-unmet",
        "A step that needs what nothing makes true is never done, or done all the same.",
        find_unmet_needs,
    ),
    Check(
        "reading-dead",
        "Volts expected on a dead unit are read as a fault, or someone closes the switch unwarned.",
        find_dead_readings,
    ),
    Check(
        "way-back-wrong",
        "Where a proof is lost in a walk, its include is walked again, so it must prove it.",
        find_wrong_way_back,
    ),
    Check(
        "way-back-missing",
        "Where a proof is lost in a walk, the walk can only stop.",
        find_no_way_back,
        severity="warning",
    ),
)
