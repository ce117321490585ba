"""What every unit on the bench is, whatever its kind."""

from pydantic import Field

from assistant.bench.record import Record


class Equipment(Record):
    """The head of a unit file.

    Args:
        kind: which kind of unit it is; a row of the table of kinds.
        unit: its name.
        title: what it is, one line.
        surroundings_c: temperature around it.
        looks: what only an eye can tell, observation to value, where the physics does not tell.
    """

    kind: str
    unit: str = Field(pattern=r"^[a-z0-9_]+$")
    title: str
    surroundings_c: float = Field(default=25.0, ge=-40, le=80)
    looks: dict[str, str] = Field(default_factory=dict)
