"""Units of the two reference motors, and changes written short."""

import pytest
from blower_units import open_blower
from pydantic import TypeAdapter

from assistant.bench.changes import Change, change_unit
from assistant.bench.unit import Unit

UNIT_OF = {"A": "t_115", "B": "t_230"}
"""The shipped unit that carries each motor of the reference figures."""
_CHANGES: TypeAdapter[tuple[Change, ...]] = TypeAdapter(tuple[Change, ...])


class Changer:
    """Makes reference units with changes given as a file would say them."""

    def __call__(self, motor: str, *changes: dict[str, object]) -> Unit:
        """Give the unit of motor A or B, changed."""
        return change_unit(open_blower(UNIT_OF[motor]), _CHANGES.validate_python(changes))


@pytest.fixture
def changed() -> Changer:
    """Give the maker of changed reference units."""
    return Changer()
