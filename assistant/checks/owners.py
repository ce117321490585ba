"""Which steps every way to a step leads through."""

from collections.abc import Iterable, Mapping


def owners(onward: Mapping[str, Iterable[str]], start: str) -> dict[str, frozenset[str]]:
    """Give for each step the steps that every way from the start to it leads through.

    A step is among its own; a step that no way reaches is left out. (These are the dominators of
    a graph, by the plain iteration to a fixed point.)
    """
    order, before = _reached(onward, start)
    found = {start: frozenset([start])}
    is_settled = False
    while not is_settled:
        is_settled = True
        for name in order:
            known = [found[one] for one in before[name] if one in found]
            own = frozenset.intersection(*known) | {name} if known else found[name]
            if name != start and found.get(name) != own:
                found[name] = own
                is_settled = False
    return found


def _reached(
    onward: Mapping[str, Iterable[str]], start: str
) -> tuple[list[str], dict[str, list[str]]]:
    """Give the steps that are reached, nearest first, and the steps that lead to each."""
    order, before = [start], {start: list[str]()}
    for name in order:
        for target in onward.get(name, ()):
            if target not in onward:
                continue
            if target not in before:
                before[target] = []
                order.append(target)
            before[target].append(name)
    return order, before
