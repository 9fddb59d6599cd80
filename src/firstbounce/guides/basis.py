"""What the numbers of a guide rest on, as the small print that stands under them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from firstbounce.guides.lengths import balls_words, date_words
from firstbounce.words import Level, Source

HOW_SPEED = {
    Source.MEASURED: "measured",
    Source.CLASS_WORD: "judged by eye",
    Source.FITTED: "learned from the balls",
    Source.PRIOR: "usual value, not measured",
}
FIRM_WORDS = ((0.85, "soft"), (1.17, "medium firm"))  #: upper ends of the firmness index, then firm; choices


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """Balls, date and green behind the numbers of one guide."""

    balls: int
    day: datetime.date | None
    stimp_ft: float
    stimp_source: Source
    firmness: float
    firmness_source: Source
    wet: bool
    level: Level
    anyone: bool = False  #: a guide for anyone: nobody's own numbers

    def words(self) -> str:
        """Balls, date and green speed in one line."""
        return f"{self.known()} {self.green()}"

    def known(self) -> str:
        """Whose balls the numbers come from, or that there were none."""
        on = f" on {date_words(self.day)}" if self.day else ""
        if self.anyone:
            return f"Typical for players of level {self.level}, from nobody's own balls."
        if self.balls:
            return f"Learned from {balls_words(self.balls)} of yours{on}."
        return f"No balls of yours yet: typical for your level ({self.level})."

    def green(self) -> str:
        """The green that the numbers are for."""
        speed = f"Green speed {self.stimp_ft:.1f} ft ({HOW_SPEED[self.stimp_source]})"
        on = f" on {date_words(self.day)}" if self.day and not self.balls else ""
        return f"{speed}{on}, {self.firm()}, {'wet' if self.wet else 'dry'}."

    def firm(self) -> str:
        """How firm the green is, in a word."""
        word = next((word for end, word in FIRM_WORDS if self.firmness < end), "firm")
        return f"{word} ({HOW_SPEED[self.firmness_source]})"
