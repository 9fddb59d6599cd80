"""One check against the outside: a published or independent value beside ours."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Seen(StrEnum):
    """How the outside value was come by; stands beside every check."""

    READ = "read"
    MEMORY = "from memory"
    PRACTICE = "common practice"
    IDENTITY = "identity"  #: follows exactly from the equation named
    INDEPENDENT = "independent program"


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """An outside value and how to compute ours. `tolerance` is absolute, in the same unit."""

    what: str
    published: float | tuple[float, float]  #: a value, or a band (low, high) that ours must lie in
    tolerance: float = 0.0
    unit: str = ""
    source: str
    seen: Seen
    compute: Callable[..., float]
    given: tuple[Any, ...] = ()  #: arguments of compute

    @property
    def band(self) -> tuple[float, float]:
        """Lowest and highest value that passes."""
        if isinstance(self.published, tuple):
            low, high = self.published
        else:
            low = high = self.published
        return low - self.tolerance, high + self.tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckResult:
    """What came of one case; `passed` is None when a development package is missing here."""

    field: str  #: title of the field, in the order of a shot
    what: str
    unit: str
    published_low: float
    published_high: float
    tolerance: float
    ours: float | None
    source: str
    tag: Seen
    passed: bool | None

    @property
    def difference(self) -> float | None:
        """Ours minus the published value; for a band, how far outside it (0 inside)."""
        if self.ours is None:
            return None
        if self.ours > self.published_high:
            return self.ours - self.published_high
        return min(self.ours - self.published_low, 0.0)

    def row(self) -> tuple[str, ...]:
        """The result as words: what, published, ours, difference, tolerance, source, seen, pass."""
        if self.published_low == self.published_high:
            published = f"{self.published_low:.6g}"
        else:
            published = f"{self.published_low:.6g} to {self.published_high:.6g}"
        unit = f" {self.unit}" if self.unit else ""
        ours = "not run" if self.ours is None else f"{self.ours:.5g}"
        difference = "" if self.difference is None else f"{self.difference:+.2g}"
        verdict = {True: "pass", False: "FAIL", None: "needs a development package"}[self.passed]
        return (
            self.what,
            published + unit,
            ours,
            difference,
            f"{self.tolerance:.2g}",
            self.source,
            str(self.tag),
            verdict,
        )


def run_case(case: Case, field: str = "") -> CheckResult:
    """Compute ours and judge it. A missing development package leaves the case not run."""
    low, high = case.band
    try:
        ours: float | None = float(case.compute(*case.given))
    except ModuleNotFoundError:
        ours = None
    published = case.published if isinstance(case.published, tuple) else (case.published, case.published)
    return CheckResult(
        field=field,
        what=case.what,
        unit=case.unit,
        published_low=published[0],
        published_high=published[1],
        tolerance=case.tolerance,
        ours=ours,
        source=case.source,
        tag=case.seen,
        passed=None if ours is None else low <= ours <= high,
    )
