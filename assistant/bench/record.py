"""The manner of every record of the bench: frozen, no unknown keys, nothing not finite."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class Record(BaseModel):
    """A part of a unit or of the catalogue, as its file says it."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


Above = Annotated[float, Field(gt=0, le=1e9)]
"""A number above zero."""
AtLeastZero = Annotated[float, Field(ge=0, le=1e9)]
"""A number, zero or more."""
Share = Annotated[float, Field(gt=0, lt=1)]
"""A part of a whole, between the two ends."""
Node = Annotated[str, Field(min_length=1, pattern=r"^[A-Za-z0-9_]+$")]
"""A point of the winding network: a lead's colour code or a splice inside."""
