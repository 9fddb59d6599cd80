"""Run every check against the outside, and set the results as a page."""

from __future__ import annotations

from collections.abc import Callable

from firstbounce.checks.case import Case, CheckResult, run_case
from firstbounce.errors import Cancelled

#: Titles and modules of the fields, in the order of a shot.
FIELDS: tuple[tuple[str, str], ...] = (
    ("Air and flight", "air"),
    ("Strike", "strike"),
    ("Bounce", "landing"),
    ("Roll, slope and green speed", "rolling"),
    ("Hole", "holing"),
    ("Putting and strokes", "putting"),
    ("Circles and scores", "circles"),
    ("Trade rules", "trade"),
    ("Independent programs", "independent"),
)


def all_cases() -> list[tuple[str, Case]]:
    """Every case with the title of its field."""
    import importlib

    found = []
    for title, module in FIELDS:
        found += [(title, case) for case in importlib.import_module(f"firstbounce.checks.{module}").cases()]
    return found


def run_all(
    progress: Callable[[int, int], None] = lambda done, total: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> list[CheckResult]:
    """Run every case; progress hears (done, total) after each. Raises Cancelled when asked to stop."""
    cases = all_cases()
    results = []
    for done, (title, case) in enumerate(cases, start=1):
        if cancelled():
            raise Cancelled("The checks were stopped; nothing was kept.")
        results.append(run_case(case, title))
        progress(done, len(cases))
    return results


PAGE_HEAD = """# Checks against the outside

Written by `make docs` from what `firstbounce check` computes; a test keeps it true. Each row says how the
outside value was come by: **read** in the source named, **from memory** of it, **common practice** of the
trade without a printed source, an **identity** that follows exactly from the equation named, or an
**independent program**. A value from memory shows that the code does what the equation says; it is no
evidence about turf.

What nothing covers: no published set of chips from delivery to finish was found, nor drag and lift below
Reynolds number 3e4 at the spin of a chip, nor a table from firmness to rebound. See docs/shot for what that
leaves open.
"""
COLUMNS = ("what", "outside value", "ours", "difference", "tolerance", "source", "seen", "result")


def validation_page(results: list[CheckResult]) -> str:
    """All results as one Markdown page, a table for each field."""
    parts = [PAGE_HEAD]
    for title, _ in FIELDS:
        rows = [result.row() for result in results if result.field == title]
        table = [COLUMNS, ("---",) * len(COLUMNS), *rows]
        parts.append(f"## {title}\n\n" + "\n".join("| " + " | ".join(row) + " |" for row in table) + "\n")
    return "\n".join(parts)
