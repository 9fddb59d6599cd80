"""What the models said, kept as it was: fits, plans, reviews, technique results, guides, files."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated

from pydantic import StringConstraints

from firstbounce.records.rows.base import Document, Id, LongText, Moment, Name, Place, Whole, row


@row
class FitRow:
    """A fit: `inputs` holds the green file and the ids of the balls, `result` what `fit_to_dict` gives."""

    id: Id
    player_id: Id
    made: Moment
    model_version: Name
    verdict: Name
    balls: Whole
    inputs: Document
    result: Document
    day_id: Id | None = None
    session_id: Id | None = None


@row
class PlanRow:
    """A plan as made. With `inputs` (green file, station, fit) a review can use the plan of that moment."""

    id: Id
    player_id: Id
    made: Moment
    made_by: Name = "server"  #: or "phone": from the tables prepared for it
    model_version: Name
    inputs: Document
    result: Document
    station_id: Id | None = None
    day_id: Id | None = None
    session_id: Id | None = None
    fit_id: Id | None = None
    chosen_club: Name | None = None
    chosen_spot_m: Place | None = None


@row
class ReviewRow:
    """A review as told, and what the coach made of it: both are kept."""

    id: Id
    player_id: Id
    made: Moment
    verdict: Name
    sentence: LongText
    balls: Whole
    result: Document
    session_id: Id | None = None
    station_id: Id | None = None
    plan_id: Id | None = None
    overruled_to: Name | None = None
    overruled_why: LongText | None = None
    overruled: Moment | None = None


class SeenBy(StrEnum):
    """How a technique result came about."""

    EYE = "eye"
    VIDEO = "video"


@row
class TechniqueRow:
    """Measures or ticks of a player's swing."""

    id: Id
    player_id: Id
    made: Moment
    seen_by: SeenBy
    model_version: Name
    result: Document
    session_id: Id | None = None


@row
class GuideRow:
    """A guide that was made; with `inputs` it can be made again."""

    id: Id
    made: Moment
    kind: Name
    title: Name
    inputs: Document
    player_id: Id | None = None
    lesson_id: Id | None = None


@row
class GuideLinkRow:
    """A link that shows one guide, to whoever has it, until it expires or is taken back."""

    id: Id
    guide_id: Id
    made: Moment
    expires: Moment
    player_id: Id | None = None  #: of the guide
    revoked: Moment | None = None

    def open_at(self, now: datetime.datetime) -> bool:
        """Whether the link may be used at this moment."""
        return self.revoked is None and now < self.expires


@row
class KeptFile:
    """A file of the records: a still, a clip, a guide. Its bytes lie under its id, not its name."""

    id: Id
    kind: Name
    name: Name
    bytes: Whole
    sha256: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
    made: Moment
    player_id: Id | None = None
    technique_id: Id | None = None
    guide_id: Id | None = None
