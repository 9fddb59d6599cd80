"""What is given from outside: nothing that is not known, no number that is not finite."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Shape(BaseModel):
    """The base of every shape that a page or a phone sends."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)
