"""Old lines read as new ones: one small function from each schema version to the next."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TypeAlias

from assistant.journal.line import SCHEMA, Line

Upgrade: TypeAlias = Callable[[Line], Line]

UPGRADES: Mapping[int, Upgrade] = {}
"""From a schema version to what turns its lines into the next version's `kind` and `data`.

Version 1 is the first that was ever written, so there is none yet. Each one added comes with a
journal of the old version as a fixture in the tests.
"""


def upgrade(line: Line, upgrades: Mapping[int, Upgrade] = UPGRADES, newest: int = SCHEMA) -> Line:
    """Read a line as the newest version says it.

    A line of a newer version, or of one from which no way leads on, is given as far as it goes:
    its `schema` then still tells its version.

    Args:
        line: as it stands in the file.
        upgrades: one function a version.
        newest: the version to stop at.
    """
    while line.schema < newest and line.schema in upgrades:
        line = replace(upgrades[line.schema](line), schema=line.schema + 1)
    return line
