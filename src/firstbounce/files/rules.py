"""Pieces from which the shape of `green.toml` is built: numbers with a range, words, places."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

METRES_PER_FOOT_HINT = "were feet typed as metres? 1 foot is 0.305 m"


class Part(BaseModel):
    """A table of the file: unknown keys are faults, numbers are finite, nothing changes afterwards."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, allow_inf_nan=False)


def fault(said: str) -> PydanticCustomError:
    """A fault in our own words."""
    return PydanticCustomError("said", "{said}", {"said": said})


def between(low: float, high: float, what: str, *, below: str = "", above: str = "") -> AfterValidator:
    """A number from `low` to `high`; `below` and `above` are hints at what may have gone wrong."""

    def check(value: float) -> float:
        if low <= value <= high:
            return value
        hint = below if value < low else above
        said = f"{value:g} is outside {low:g} to {high:g} ({what})"
        raise fault(f"{said}; {hint}" if hint else said)

    return AfterValidator(check)


def tidy(value: object) -> object:
    """Text in lower case without spaces around it; anything else unchanged."""
    return value.strip().lower() if isinstance(value, str) else value


TIDY = BeforeValidator(tidy)  #: words in any case

Name = Annotated[str, Field(min_length=1, max_length=80)]
Coordinate = Annotated[
    float, between(-500, 500, "metres in the green's own frame", above=METRES_PER_FOOT_HINT)
]
Place = tuple[Coordinate, Coordinate]
Percent = Annotated[
    float,
    between(
        0,
        15,
        "percent, rise over run",
        below="a slope is 0 or more, its direction is downhill_deg",
        above="few greens hold a ball beyond 8 %; is it in degrees, or read off the green?",
    ),
]
Bearing = Annotated[float, between(-360, 360, "degrees; 0 is away (y), 90 is right (x)")]
