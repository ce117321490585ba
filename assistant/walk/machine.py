"""The machine under a walk: a `transitions` machine whose states are the flow's steps.

Its triggers are outcomes; nothing but the flow adds a way. `auto_transitions` is off, so there is
no door from everywhere to everywhere.
"""

from collections.abc import Iterator

from transitions import Machine, MachineError

from assistant.flow.conditions import needs_of
from assistant.flow.linked import Flow, GateStep
from assistant.flow.model import END, STOP, SpokenStep, is_end

REPROVE_OFF, REPROVE_ON = "reprove.off", "reprove.on"
"""Triggers that lead back to the steps that prove the unit dead, or bring power back."""
RESUME = "resume."
"""Prefix of the triggers that lead from a gate back to the step that lacked its proof."""


class FlowMachine:
    """Moves from step to step, only along the flow's own arrows.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self._machine = Machine(
            model=self,
            states=[*flow.steps, *_ends(flow)],
            initial=flow.start,
            transitions=[list(arrow) for arrow in _arrows(flow)],
            auto_transitions=False,
        )

    def move(self, step: str, outcome: str) -> str:
        """Give the step that an outcome leads to.

        Raises:
            MachineError: when the flow has no such way; the machine has not moved.
        """
        self._machine.set_state(step)
        self._machine.events[outcome]  # an outcome that no step has is a KeyError
        self.trigger(outcome)  # type: ignore[attr-defined]
        return str(self.state)  # type: ignore[attr-defined]


def _ends(flow: Flow) -> list[str]:
    """Give the targets at which a walk of the flow is over."""
    return sorted({END, STOP} | {target for _, _, target in flow.arrows() if is_end(target)})


def _arrows(flow: Flow) -> Iterator[tuple[str, str, str]]:
    """Give the machine's ways as (trigger, source, target)."""
    for step, outcome, target in flow.arrows():
        yield outcome, step, target
    needing = [
        name for name, step in flow.steps.items() if isinstance(step, SpokenStep) and needs_of(step)
    ]
    for trigger, include in ((REPROVE_OFF, flow.make_safe), (REPROVE_ON, flow.make_live)):
        if include is None:
            continue
        gates = [
            name
            for name, step in flow.steps.items()
            if isinstance(step, GateStep) and step.include == include and step.way != "in"
        ]
        for name in needing:
            yield trigger, name, include
            for gate in gates:
                yield RESUME + name, gate, name


__all__ = ["REPROVE_OFF", "REPROVE_ON", "RESUME", "FlowMachine", "MachineError"]
