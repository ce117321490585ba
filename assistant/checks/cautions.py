"""Hazards, and the caution that each must have on every path: given before it, or by its step."""

import re
from collections.abc import Iterator

from assistant.checks.changes import LADDER_DUE
from assistant.checks.check import Check, Subject
from assistant.checks.hands import Passage
from assistant.flow.model import DoStep, MeasureStep, ObserveStep, QuantityKind, SpokenStep
from assistant.flow.problems import Problem

Hazard = tuple[str, tuple[str, ...]]
"""A step, and the cautions of which one must have been given."""

_TURN = r"\b(turn|spin|rotate|move)\b.*\b(wheel|blades?|fan|shaft)\b.*\bby hand\b"
_BY_HAND = re.compile(_TURN, re.IGNORECASE)
_SPOKEN_OF = {
    name: re.compile(words, re.IGNORECASE | re.DOTALL)
    for name, words in {
        "moving_wheel": r"\b(wheel|blades?|propeller|impeller)\b",
        "stored_energy": r"\bcapacitors?\b.*\bcharged?\b",
        "live_parts": r"\blive parts\b",
        "power_returns": r"\bpower\b.*\b(back|returns?)\b",
        "lockout": r"\block(ed)?\b.*\btag",
        "prove_dead": r"\bprove[dn]? dead\b",
        "ladder": r"\bladder\b",
        "licensed_work": r"\b(licensed|qualified)\b",
    }.items()
}
"""What a caution of a flow's own must speak of to stand for a shared one."""
_TURNING = re.compile(r"\b(fan|wheel|blades?|blower|belt)\b", re.IGNORECASE)
_TURNED = frozenset({"shaft"})
"""Observations that are made by turning the wheel with a hand."""
_STORED = frozenset({QuantityKind.STORED_VOLTAGE, QuantityKind.CAPACITANCE})


def find_missing(subject: Subject) -> Iterator[Problem]:
    """Complain of a hazard that some path reaches unwarned, and where its work begins."""
    return _complain(subject, _hazards(subject))


def find_unadvised(subject: Subject) -> Iterator[Problem]:
    """Complain of what hurts nobody at once: no word on licensed work, or on how dead is proven."""
    return _complain(subject, _advice(subject), is_begun=False)


def _complain(
    subject: Subject, hazards: Iterator[Hazard], *, is_begun: bool = True
) -> Iterator[Problem]:
    for step, cautions in sorted(set(hazards)):
        known = [caution for caution in cautions if caution in subject.flow.cautions]
        enough = {one for caution in known for one in (caution, *_like(subject, caution))}
        if not known or subject.hands.on_arrival(step).given & enough:
            continue
        hint = f"Write 'cautions: [{known[0]}]' there."
        message = f"'{step}' can be reached without the caution '{known[0]}'."
        yield subject.problem(step, ("cautions",), message, hint)
        first = subject.hands.beginning_of(step)
        if is_begun and first != step:
            message = f"The work of '{step}' begins here, without the caution '{known[0]}'."
            yield subject.problem(first, ("cautions",), message, hint)


def _like(subject: Subject, caution: str) -> list[str]:
    """Give the flow's other cautions that speak of the same hazard."""
    words = _SPOKEN_OF.get(caution)
    others = ((n, c.say) for n, c in subject.flow.cautions.items() if n not in _SPOKEN_OF)
    return [name for name, said in others if words is not None and words.search(said)]


def _hazards(subject: Subject) -> Iterator[Hazard]:
    for name in subject.reached:
        step = subject.flow.steps[name]
        if isinstance(step, SpokenStep):
            yield from ((name, (caution,)) for caution in _of_step(subject, name, step))
    for passage in subject.hands.passages:
        yield from ((passage.step, cautions) for cautions in _of_passage(subject, passage))


def _of_step(subject: Subject, name: str, step: SpokenStep) -> Iterator[str]:
    hands = subject.hands
    is_stored = isinstance(step, MeasureStep) and step.quantity in _STORED
    if is_stored and hands.is_always(name, "power", "off"):  # else it is an unsafe path
        yield "stored_energy"
    if isinstance(step, DoStep | ObserveStep):
        is_near = step.about == "repair" and _TURNING.search(f"{step.say} {step.help}")
        is_repair_live = is_near and not hands.is_always(name, "power", "off")
        if is_repair_live or is_turned_by_hand(step):
            yield "moving_wheel"
    if isinstance(step, DoStep | MeasureStep) and LADDER_DUE in hands.on_arrival(name).due:
        yield "ladder"


def is_turned_by_hand(step: DoStep | ObserveStep) -> bool:
    """Whether a wheel, a blade or a shaft is turned by hand at a step."""
    return step.about in _TURNED or _BY_HAND.search(step.say) is not None


def _of_passage(subject: Subject, passage: Passage) -> Iterator[tuple[str, ...]]:
    left, here = passage.leaving.left, passage.leaving.here
    if left.get("live_work") == "agreed":
        is_proof = passage.step in subject.hands.before_proof
        yield ("live_parts", "prove_dead", "lockout") if is_proof else ("live_parts",)
    if left.get("lock") == "locked" != here["lock"]:
        yield ("lockout",)
    if left.get("capacitor") == "bled":
        yield ("stored_energy",)
    if left.get("power") == "on" and (here["power"] == "off" or here["lock"] == "locked"):
        yield ("power_returns",)


def _advice(subject: Subject) -> Iterator[Hazard]:
    for name in subject.hands.before_proof:
        yield name, ("prove_dead",)
        yield name, ("live_parts",)
    steps = subject.flow.steps
    working = [n for n in subject.reached if isinstance(steps[n], MeasureStep | DoStep)]
    if any("licensed_work" not in subject.hands.on_arrival(name).given for name in working):
        asked = [n for n, s in steps.items() if getattr(s, "about", "") == "complaint"]
        first = subject.hands.first_spoken(subject.flow.start) or working[0]
        yield (asked[0] if asked else first), ("licensed_work",)


CHECKS = (
    Check(
        "caution-missing",
        "A hazard that nobody was warned of is met with bare hands.",
        find_missing,
    ),
    Check(
        "caution-advised",
        "The equipment's instructions, local codes and licensed practice come first, and that is "
        "said; how dead is proven is said before it is tried.",
        find_unadvised,
        severity="warning",
    ),
)
