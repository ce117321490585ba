"""What is called proven is measured: dead on every conductor, by a rule that shows it."""

from collections.abc import Iterator, Mapping

from assistant.checks.check import Check, Subject, spread
from assistant.checks.dead import MOST_VOLTS, proof_of, shows_dead, shows_live
from assistant.checks.hands import Passage
from assistant.flow.linked import LinkedStep
from assistant.flow.model import MeasureStep, QuantityKind
from assistant.flow.problems import Problem


def find_weak_proofs(subject: Subject) -> Iterator[Problem]:
    """Complain of a reading that is called a proof and does not show dead."""
    for name, step in subject.flow.steps.items():
        if not isinstance(step, MeasureStep) or not step.judge:
            continue
        is_bleeding = step.leaves.get("capacitor") == "bled"
        is_proof = step.leaves.get("power") == "off" and not _group(subject, name)
        if (is_bleeding or is_proof) and not shows_dead(step):
            message = f"'{name}' proves nothing dead: its rules let more than a few volts pass."
            hint = f"Judge it by 'near_zero' with a limit of {MOST_VOLTS} or less."
            yield subject.problem(name, ("judge", 0), message, hint)


def find_skipped_proofs(subject: Subject) -> Iterator[Problem]:
    """Complain of a path to the proof that leaves out one of its readings, and where it does."""
    for name in subject.reached:
        needed = _group(subject, name)
        for proof, reading in needed.items():
            if proof in subject.hands.on_arrival(name).given:
                continue
            message = f"'{name}' calls it dead, and some path has not read '{reading}'."
            yield subject.problem(name, (), message, "Lead every path through each reading.")
            for passage in _shortcuts(subject, name, proof):
                message = f"This leads past '{reading}', which '{name}' rests on."
                hint = f"Lead it through '{reading}'."
                yield subject.arrow_problem(passage.step, passage.leaving.outcome, message, hint)


def _group(subject: Subject, name: str) -> Mapping[str, str]:
    """Give the readings that a proof of dead rests on, by what they prove: the last step of each.

    They stand beside it, in the same file, are taken under the same lock, and are judged. Where it
    shows the tester good on a live source, the same was shown before the conductors were read.
    """
    step, hands = subject.flow.steps[name], subject.hands
    if not isinstance(step, MeasureStep) or step.leaves.get("power") != "off":
        return {}
    if not hands.is_always(name, "lock", "locked"):
        return {}
    inside = name.rpartition("/")[0]
    return {
        proof_of(other, one): other
        for other, one in subject.flow.steps.items()
        if other.rpartition("/")[0] == inside and other != name
        if _is_supply(subject, one) or shows_live(one)
        if hands.is_always(other, "lock", "locked")
        if proof_of(other, one) != proof_of(name, step) or shows_live(one)
    }


def _is_supply(subject: Subject, step: LinkedStep) -> bool:
    """Whether a step reads volts between conductors of the supply, and is judged to be dead."""
    if not isinstance(step, MeasureStep) or step.quantity is not QuantityKind.VOLTAGE:
        return False
    places = subject.flow.vocabulary.places
    is_there = all(places[one].kind == "supply" for one in (step.from_, step.to) if one)
    return is_there and shows_dead(step)


def _shortcuts(subject: Subject, name: str, proof: str) -> Iterator[Passage]:
    """Give the arrows that come without a reading to where others come with it."""
    behind = {
        target
        for one, step in subject.flow.steps.items()
        if proof_of(one, step) == proof
        for _, target in step.exits()
    }
    inside = name.rpartition("/")[0]
    for target, passages in subject.hands.into.items():
        with_it = [passage for passage in passages if proof in passage.after.given]
        if target.rpartition("/")[0] != inside or not (with_it or target in behind):
            continue
        ahead = spread([target], subject.onward)
        for passage in passages:
            is_without = proof not in passage.after.given and proof not in passage.before.given
            if is_without and name in ahead and passage.step not in ahead:
                yield passage


CHECKS = (
    Check(
        "proof-weak",
        "A rule that lets line volts pass calls a live conductor dead.",
        find_weak_proofs,
    ),
    Check(
        "proof-skipped",
        "One leg can stay live while the pair shows zero, so each conductor is read.",
        find_skipped_proofs,
    ),
)
