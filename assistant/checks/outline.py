"""What a drawing of a flow shows, whatever it is drawn with: nodes, arrows, groups, marks."""

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.checks.drawing_words import ending_words
from assistant.checks.power import PowerMark
from assistant.checks.strands import Strand


@dataclass(frozen=True, slots=True)
class Exit:
    """The arrows from one step to one target.

    Args:
        target: the step, or `end`, or `stop`.
        outcomes: the outcomes that lead there, as the walk names them.
        words: each outcome in plain words.
        walked: the order numbers of the moves along it, where a walk is drawn.
    """

    target: str
    outcomes: tuple[str, ...]
    words: tuple[str, ...]
    walked: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class FindingMark:
    """What a step finds.

    Args:
        id: the finding's name.
        part: the part.
        is_licensed: whether a licensed person must take over.
    """

    id: str
    part: str
    is_licensed: bool


@dataclass(frozen=True, slots=True)
class Node:
    """One step as it is drawn.

    Args:
        id: its name in the whole flow.
        number: its place in walking order, from 1.
        kind: in words: `measure`, `include`, `way out`, ...
        group: the include it belongs to; empty for the flow's own.
        takes: what it takes, one line; may be empty.
        rules: what judges it, a line each.
        cautions: the cautions said before it, by name.
        is_hold: whether it is a hold point.
        power: the state of power on arrival.
        finding: what it finds, if it does.
        exits: where it leads.
        entered_from: the numbers of the steps that lead to it.
        returns: where the walk goes on behind an include, by each of its ways out.
        says: the prompt, first time; empty where nothing is said.
        visits: the order numbers of a walk's visits.
        marks: what happened here in the walk, in words.
    """

    id: str
    number: int
    kind: str
    group: str
    takes: str
    rules: tuple[str, ...]
    cautions: tuple[str, ...]
    is_hold: bool
    power: PowerMark
    finding: FindingMark | None
    exits: tuple[Exit, ...]
    entered_from: tuple[int, ...]
    returns: tuple[Exit, ...] = ()
    says: str = ""
    visits: tuple[int, ...] = ()
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Group:
    """The steps of one include.

    Args:
        id: the include step's name.
        title: the included file's title.
        depth: 1 for an include of the flow itself, 2 for one inside it.
    """

    id: str
    title: str
    depth: int


@dataclass(frozen=True, slots=True)
class Outline:
    """A flow as it is drawn.

    Args:
        id: the flow's id.
        title: for people.
        edition: as written.
        nodes: every step by name, in walking order.
        groups: every include by name.
        strands: how the steps stand beside and under each other, in walking order.
        sentences: what else must be known of the walk that is drawn; empty without one.
        has_walk: whether a walk is drawn.
    """

    id: str
    title: str
    edition: str
    nodes: Mapping[str, Node]
    groups: Mapping[str, Group]
    strands: tuple[Strand, ...]
    sentences: tuple[str, ...] = ()
    has_walk: bool = False

    def target_words(self, target: str) -> str:
        """Give a target as it is written behind an arrow: its number and name."""
        node = self.nodes.get(target)
        return ending_words(target) if node is None else f"{node.number} {node.id}"
