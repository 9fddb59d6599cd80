"""Shapes that several parts of the interface share."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, Field, StringConstraints

from firstbounce.services.given import Shape
from firstbounce.words import Lie, LieKind, Point

__all__ = ["Done", "Id", "LieGiven", "Made", "Metres", "Name", "Shape", "Text", "point"]
Id = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{32}$")]
Name = Annotated[str, StringConstraints(min_length=1, max_length=80, strip_whitespace=True)]
Text = Annotated[str, StringConstraints(max_length=4000, strip_whitespace=True)]
Metres = Annotated[float, Field(ge=-500, le=500)]


class Done(BaseModel):
    """It was done."""

    ok: Literal[True] = True


class Made(BaseModel):
    """It was made, or was there already with this id."""

    ok: Literal[True] = True
    id: str


class LieGiven(Shape):
    """What the ball lies on."""

    kind: LieKind = LieKind.FAIRWAY
    wet: bool = False
    uphill_deg: Annotated[float, Field(ge=-25, le=25)] = 0.0
    above_feet_deg: Annotated[float, Field(ge=-25, le=25)] = 0.0

    def spoken(self) -> Lie:
        """The lie as the models speak of it."""
        return Lie(
            kind=self.kind, wet=self.wet, uphill_deg=self.uphill_deg, above_feet_deg=self.above_feet_deg
        )


def point(place: tuple[float, float]) -> Point:
    """A place of the green's frame."""
    return Point(*place)
