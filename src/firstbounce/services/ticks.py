"""A coach's ticks as a phone or a page gives them: what was not looked at is left out."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from firstbounce.errors import ParameterError
from firstbounce.services.given import Shape
from firstbounce.technique.by_eye import Ticks
from firstbounce.technique.marks import Item


class TicksGiven(Shape):
    """What was seen in a set of swings. recoil: was there any?"""

    swings: Annotated[int, Field(ge=1, le=1000)] = 1
    arms_together: bool | None = None
    through_matches_back: bool | None = None
    held_s: Annotated[int, Field(ge=0, le=2)] | None = None  #: 0 when not held, else 1 or 2 seconds
    recoil: bool | None = None

    def spoken(self) -> Ticks:
        """The ticks as the models take them. ParameterError when nothing was ticked."""
        seen = {
            Item.ARMS: self.arms_together,
            Item.MATCH: self.through_matches_back,
            Item.HELD: None if self.held_s is None else self.held_s > 0,
            Item.RECOIL: None if self.recoil is None else not self.recoil,
        }
        ticked = {item: value for item, value in seen.items() if value is not None}
        if not ticked:
            raise ParameterError("Nothing was ticked: say at least one thing that you saw.")
        return Ticks(swings=self.swings, ticked=ticked, held_s=float(self.held_s) if self.held_s else None)
