"""What one way of leaving a step changes of what hands have been told and have left behind."""

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.checks.dead import READ, proof_of, shows_dead, shows_live
from assistant.flow.conditions import QUANTITY_NEEDS, Conditions, needs_of
from assistant.flow.linked import LinkedStep
from assistant.flow.model import (
    AskStep,
    DoStep,
    InteractiveStep,
    MeasureStep,
    NumberStep,
    ObserveStep,
    is_hold,
)
from assistant.flow.ways import Leaving

OPEN = "open"
"""Some path opened the unit or put hands on it, and nothing said since that it is closed."""
LADDER_DUE = "ladder due"
"""Some path stands on a ladder or a roof and was not warned of it yet."""
LEFT_LOCKED = "left locked"
"""Every path said, at a hold point and as the last thing done, that the lock stays on."""

OFF_THE_FLOOR = frozenset({"on_ladder", "on_roof"})
"""The answers to the observation `footing` that ask for the caution `ladder`."""
INSIDE = frozenset(QUANTITY_NEEDS)
"""What is measured on conductors, behind a cover."""

_GONE_BY: Mapping[str, frozenset[tuple[str, str]]] = {
    "live_parts": frozenset({("power", "on")}),
    "prove_dead": frozenset({("power", "on"), ("power", "unknown")}),
    "stored_energy": frozenset({("power", "on"), ("power", "unknown")}),
    "moving_wheel": frozenset({("power", "on")}),
    "power_returns": frozenset({("power", "off"), ("lock", "locked")}),
    "lockout": frozenset({("lock", "unlocked")}),
}
"""What makes a caution one of the past: the hazard it spoke of began anew."""


@dataclass(frozen=True, slots=True)
class Told:
    """What comes along with one set of conditions.

    Args:
        given: what every path has given: cautions by name, proofs by what was read, `LEFT_LOCKED`.
        due: what some path has left behind: `OPEN`, `LADDER_DUE`.
    """

    given: frozenset[str] = frozenset()
    due: frozenset[str] = frozenset()

    def joined(self, other: "Told") -> "Told":
        """Give what holds where two paths meet."""
        if self == other:
            return self
        return Told(self.given & other.given, self.due | other.due)


@dataclass(frozen=True, slots=True)
class Change:
    """What a step, left in one way, takes from what is given and due, and adds to it.

    Args:
        past: what is no longer given.
        given: what is given by it.
        done: what is no longer due.
        due: what is due behind it.
        is_new_proof: whether proofs read before it count no more.
    """

    past: frozenset[str] = frozenset()
    given: frozenset[str] = frozenset()
    done: frozenset[str] = frozenset()
    due: frozenset[str] = frozenset()
    is_new_proof: bool = False

    def made_to(self, told: Told) -> Told:
        """Give what holds behind it."""
        given = (told.given - self.past) | self.given
        if self.is_new_proof:
            given = frozenset(one for one in given if not one.startswith(READ))
        return Told(given, (told.due - self.done) | self.due)


_NO_CHANGE = Change()


def change_by(name: str, step: LinkedStep, met: Conditions, leaving: Leaving) -> Change:
    """Give what leaving a step in one way changes.

    Args:
        name: the step's id.
        step: the step.
        met: the conditions it was reached with.
        leaving: the way it is left.
    """
    if not isinstance(step, InteractiveStep):
        return _NO_CHANGE
    past, given = _past(leaving), set[str]()
    if not _is_only_told(step):
        past.add(LEFT_LOCKED)
    if is_hold(step) and leaving.left.get("lock") == met.get("lock") == "locked":
        given.add(LEFT_LOCKED)
    if leaving.outcome == "next" and leaving.is_proven and (shows_dead(step) or shows_live(step)):
        given.add(proof_of(name, step))
    done, due = _left_behind(step, met, leaving)
    is_new_proof = leaving.left.get("live_work") == "agreed"
    return Change(frozenset(past), frozenset(given), done, due, is_new_proof)


def _left_behind(
    step: InteractiveStep, met: Conditions, leaving: Leaving
) -> tuple[frozenset[str], frozenset[str]]:
    """Give what is no longer due behind a step, and what is."""
    done, due = set[str](), set[str]()
    is_asked_shut = met.get("panels") != leaving.here.get("panels") == "closed"
    if is_asked_shut or leaving.left.get("panels") == "closed":
        done.add(OPEN)
    if isinstance(step, DoStep | MeasureStep):
        done.add(LADDER_DUE)
    if _opens(step, leaving):
        due.add(OPEN)
    if is_off_the_floor(step, leaving.outcome):
        due.add(LADDER_DUE)
    return frozenset(done), frozenset(due)


def is_off_the_floor(step: LinkedStep, outcome: str) -> bool:
    """Whether an answer says that feet are on a ladder or a roof."""
    is_footing = isinstance(step, DoStep | ObserveStep) and step.about == "footing"
    return is_footing and outcome.removeprefix("choice.") in OFF_THE_FLOOR


def _opens(step: InteractiveStep, leaving: Leaving) -> bool:
    """Whether a step is work inside the unit: a cover off, leads apart, a reading on conductors."""
    made = {**needs_of(step), **leaving.left}
    is_inside = isinstance(step, MeasureStep) and step.quantity in INSIDE
    is_live = leaving.left.get("live_work") == "agreed"
    return is_inside or is_live or made.get("panels") == "open" or made.get("leads") == "isolated"


def _past(leaving: Leaving) -> set[str]:
    turned = {pair for pair in leaving.after if leaving.here[pair[0]] != pair[1]}
    turned |= set(leaving.left.items())
    return {one for one, by in _GONE_BY.items() if turned & set(by)}


def _is_only_told(step: InteractiveStep) -> bool:
    """Whether a step changes nothing: a word to say or a number to note, no more work."""
    if isinstance(step, AskStep):
        return True
    is_free = not step.needs and not step.leaves and not isinstance(step, NumberStep)
    return isinstance(step, DoStep) and is_free and not any(a.leaves for a in step.choices.values())
