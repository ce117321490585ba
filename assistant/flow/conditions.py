"""What the hands have made true, and how it changes: set, taken back, needed, lacking.

The check that follows every path of a flow and the walk that enforces it share these functions.
"""

from collections.abc import Mapping
from typing import TypeAlias

from assistant.flow.judging import VerdictKind
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import MeasureStep, NumberStep, QuantityKind, SpokenStep
from assistant.flow.vocabulary import Vocabulary

Conditions: TypeAlias = Mapping[str, str]
"""The value of each condition."""

UNSURE = "unsure"
"""A condition set by hand whose last word was taken back: no value of it is believed."""

GOOD = frozenset({VerdictKind.PASS, VerdictKind.MARGINAL})
"""The verdicts that let a number pass."""

_DEAD = {"power": "off", "capacitor": "bled"}
_LIVE = {"live_work": "agreed"}

QUANTITY_NEEDS: dict[QuantityKind, dict[str, str]] = {
    QuantityKind.RESISTANCE: _DEAD,
    QuantityKind.CAPACITANCE: _DEAD,
    QuantityKind.INSULATION: _DEAD,
    QuantityKind.VOLTAGE: _LIVE,
    QuantityKind.STORED_VOLTAGE: {"power": "off"} | _LIVE,
    QuantityKind.CURRENT: _LIVE,
    QuantityKind.POWER: _LIVE,
}
"""What a quantity needs whatever the flow says: ohms and microfarads only dead and bled, never on a
live circuit; live readings only once the live test was agreed (29 CFR 1910.333, NFPA 70E 120.5)."""


def first_conditions(vocabulary: Vocabulary) -> dict[str, str]:
    """Give the conditions at the start of a walk: nothing proven."""
    return {name: condition.first for name, condition in vocabulary.conditions.items()}


def needs_of(step: LinkedStep) -> dict[str, str]:
    """Give all that must hold before a step: its quantity's needs and its own."""
    if not isinstance(step, SpokenStep):
        return {}
    own = dict(step.needs)
    if isinstance(step, MeasureStep):
        own |= QUANTITY_NEEDS.get(step.quantity, {})
    return own


def unmet(step: LinkedStep, conditions: Conditions) -> dict[str, str]:
    """Give what a step needs that does not hold."""
    return {name: value for name, value in needs_of(step).items() if conditions[name] != value}


def proofs(vocabulary: Vocabulary, lacking: Conditions) -> dict[str, str]:
    """Give those of some conditions that only a step can prove."""
    return {n: v for n, v in lacking.items() if vocabulary.conditions[n].by == "proof"}


def by_hand(vocabulary: Vocabulary, lacking: Conditions) -> dict[str, str]:
    """Give those of some conditions that the technician can make true when asked."""
    return {n: v for n, v in lacking.items() if vocabulary.conditions[n].by == "hand"}


def with_set(vocabulary: Vocabulary, conditions: Conditions, leaves: Conditions) -> dict[str, str]:
    """Give the conditions after some were set, with what follows from them.

    What the step itself says wins over what follows: a step that turns power on and agrees the
    live test leaves it agreed. A capacitor bled before the power was off is not bled.
    """
    after = dict(conditions)
    for name, value in leaves.items():
        if value != conditions[name]:
            after |= vocabulary.consequences.get(name, {}).get(value, {})
    return _tenable(vocabulary, after | dict(leaves))


def taken_back(vocabulary: Vocabulary, before: Conditions, now: Conditions) -> dict[str, str]:
    """Give the conditions once the words that made `now` of `before` are taken back.

    Words undo words, not hands: what changed is neither what it was nor what was said. A proof is
    gone; what hands can make true again is unsure and asked for before the next step needs it.
    """
    back = {}
    for name, value in before.items():
        condition = vocabulary.conditions[name]
        gone = condition.first if condition.by == "proof" else UNSURE
        back[name] = value if now[name] == value else gone
    return _tenable(vocabulary, back)


def after_break(vocabulary: Vocabulary) -> dict[str, str]:
    """Give the conditions after a break in the walk: nobody saw what was done meanwhile.

    What was proven is not proven any more; what hands can make true is unsure and asked for before
    the next step that needs it.
    """
    return {
        name: condition.first if condition.by == "proof" else UNSURE
        for name, condition in vocabulary.conditions.items()
    }


def _tenable(vocabulary: Vocabulary, conditions: dict[str, str]) -> dict[str, str]:
    """A capacitor counts as bled only while the power is proven off: live, it charges again."""
    if conditions["capacitor"] == "bled" and conditions["power"] != "off":
        conditions["capacitor"] = vocabulary.conditions["capacitor"].first
    return conditions


def can_prove(vocabulary: Vocabulary, step: LinkedStep) -> bool:
    """Say whether some answer to a step proves something."""
    if not isinstance(step, SpokenStep):
        return False
    left = [step.leaves, *(choice.leaves for choice in step.choices.values())]
    words = vocabulary.conditions
    return any(
        words[name].by == "proof" and value != words[name].first
        for leaves in left
        for name, value in leaves.items()
    )


def effects(
    vocabulary: Vocabulary, step: LinkedStep, outcome: str, *, is_proven: bool = True
) -> dict[str, str]:
    """Give what a step leaves true when it is left by an outcome.

    Skipping leaves nothing true, and neither does a number that a rule sends elsewhere. A number
    that no rule judged proves nothing; one that did not pass its rules, even where it went on
    (`continue`), shows that what it should have proven does not hold.

    Args:
        vocabulary: which conditions are proofs.
        step: the step.
        outcome: the outcome that leaves it.
        is_proven: of a number, whether rules judged it and each let it pass.
    """
    if not isinstance(step, SpokenStep) or outcome == "skipped":
        return {}
    if outcome.startswith("choice."):
        own = step.choices[outcome.removeprefix("choice.")].leaves
        return dict(own) if isinstance(step, NumberStep) else step.leaves | own
    left = by_hand(vocabulary, step.leaves) if outcome == "next" else {}
    if isinstance(step, NumberStep):
        if _is_failed(step, outcome, is_proven=is_proven):
            shown = proofs(vocabulary, step.leaves)
            return left | {name: vocabulary.conditions[name].first for name in shown}
        if not is_proven:
            return left
    return dict(step.leaves) if outcome == "next" else {}


def _is_failed(step: NumberStep, outcome: str, *, is_proven: bool) -> bool:
    if outcome == "next":
        return bool(step.judge) and not is_proven
    rule, _, word = outcome.removeprefix("rule").partition(".")
    return step.judge[int(rule)].outcomes[word] not in GOOD


def leads_to_live(flow: Flow, name: str, conditions: Conditions) -> bool:
    """Whether the way to prove what a step lacks is to bring power back, not to make it dead.

    What needs the unit dead is proven dead. What only needs the live test agreed (volts, before
    or after the unit was proven dead) takes power back only where power is on by now.
    """
    needs = needs_of(flow.steps[name])
    if needs.get("power") == "on":
        return True
    is_dead = needs.get("power") == "off" or "capacitor" in needs or needs.get("lock") == "locked"
    return not is_dead and (conditions["power"] == "on" or flow.make_safe is None)
