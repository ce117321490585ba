"""Where the probes go at a step, among the places of the same part that the flow knows."""

from assistant.flow.linked import Flow
from assistant.flow.model import MeasureStep
from assistant.screens.widgets.leads import Leads, Spot

_ALL_AT_ONCE = "every "
"""A place that stands for all of its kind, as "every motor lead", is no lead of the drawing."""


def leads_of(flow: Flow, step_id: str) -> Leads | None:
    """Give where the probes go; None at a step where nothing is measured.

    Args:
        flow: the flow.
        step_id: the step.
    """
    step = flow.steps.get(step_id)
    if not isinstance(step, MeasureStep):
        return None
    first = _spot(flow, step.from_)
    second = None if step.to is None else _spot(flow, step.to)
    marked = {spot for spot in (first, second) if spot is not None}
    kinds = {spot.kind for spot in marked}
    used = _used_places(flow)
    around = [_spot(flow, name) for name in flow.vocabulary.places if name in used]
    spots = tuple(
        spot
        for spot in around
        if spot in marked or (spot.kind in kinds and not spot.say.startswith(_ALL_AT_ONCE))
    )
    return Leads(spots, first, second)


def _used_places(flow: Flow) -> frozenset[str]:
    """Give the places that the flow's readings are taken at."""
    steps = [step for step in flow.steps.values() if isinstance(step, MeasureStep)]
    return frozenset(place for step in steps for place in (step.from_, step.to) if place)


def _spot(flow: Flow, name: str) -> Spot:
    place = flow.vocabulary.places[name]
    return Spot(name, place.say, place.kind)
