"""What was seen, as words, as a tree for JSON and as rows for CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Any, Final

from firstbounce.technique.marks import Judge, Judged, Verdict
from firstbounce.technique.measures import Measure
from firstbounce.technique.numbers import FORMAT
from firstbounce.technique.watching import Watched, WatchedSwing

ORIGIN: Final = "measured; errors judged on rendered people only, not on real ones"


def watched_tree(watched: Watched) -> dict[str, Any]:
    """Everything as plain values: angles in degrees, times in seconds from the first frame."""
    return {
        "format": FORMAT,
        "seen_by": "video",
        "origin": ORIGIN,
        "refusals": [{"reason": str(r.reason), "says": r.sentence} for r in watched.all_refusals],
        "swings": [swing_tree(swing) for swing in watched.swings],
    }


def ticks_tree(judged: Sequence[Judged], swings: int) -> dict[str, Any]:
    """A coach's ticks as plain values: no numbers, verdicts for the set as a whole."""
    return {
        "format": FORMAT,
        "seen_by": "eye",
        "origin": str(Judge.COACH),
        "refusals": [],
        "swings": [],
        "swings_in_set": swings,
        "judged": [judged_tree(one) for one in judged],
    }


def swing_tree(swing: WatchedSwing) -> dict[str, Any]:
    """One swing as plain values."""
    m = swing.moments
    return {
        "hand": "left" if swing.left_handed else "right",
        "moments": {
            "start_s": _round(m.start),
            "top_s": _round(m.top),
            "strike_s": _round(m.strike),
            "finish_s": _round(m.finish),
            "leaves_s": _round(m.leaves),
            "held_to_end_of_clip": m.held_to_end,
        },
        "hand_angle": {
            "address_deg": _round(m.address_deg),
            "top_deg": _round(m.top_deg),
            "finish_deg": _round(m.finish_deg),
        },
        "refusals": [{"reason": str(r.reason), "says": r.sentence} for r in swing.refusals],
        "measures": [measure_tree(measure) for measure in swing.measures.values()],
        "judged": [judged_tree(one) for one in swing.judged],
    }


def measure_tree(measure: Measure) -> dict[str, Any]:
    """One measure; low and high bound a 90 % interval."""
    return {
        "name": str(measure.name),
        "unit": measure.unit,
        "value": _round(measure.value),
        "low": _round(measure.low),
        "high": _round(measure.high),
        "at_least": measure.at_least,
        "refusal": measure.refusal or None,
    }


def judged_tree(one: Judged) -> dict[str, Any]:
    """One verdict."""
    return {
        "item": str(one.item),
        "verdict": str(one.verdict),
        "sure": one.sure,
        "judge": str(one.judge),
        "says": one.says,
        "fault": str(one.fault) if one.fault else None,
        "drills": list(one.drills),
    }


def measures_csv(clips: Sequence[tuple[str, Watched]]) -> str:
    """One row a measure a swing of each clip, from the clips' names and what was seen in them."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["clip", "swing", "measure", "unit", "value", "low", "high", "at_least", "refusal"])
    for name, watched in clips:
        for number, swing in enumerate(watched.swings, start=1):
            writer.writerows([name, number, *row] for row in _rows(swing))
    return out.getvalue()


def _rows(swing: WatchedSwing) -> list[list[Any]]:
    rows: list[list[Any]] = []
    for m in swing.measures.values():
        numbers = [_round(m.value), _round(m.low), _round(m.high)]
        rows.append([str(m.name), m.unit, *numbers, int(m.at_least), m.refusal])
    return rows + [["all", "", None, None, None, 0, r.sentence] for r in swing.refusals]


def watched_words(watched: Watched) -> str:
    """The result as a table for a person."""
    lines = [r.sentence for r in watched.refusals]
    for number, swing in enumerate(watched.swings, start=1):
        hand = "left" if swing.left_handed else "right"
        lines += ["", f"Swing {number}, {hand}-handed, strike at {swing.moments.strike:.2f} s"]
        lines += [f"  not measured: {r.sentence}" for r in swing.refusals]
        lines += [f"  {measure_words(m)}" for m in swing.measures.values() if m.value is not None]
        lines += _refused_words(swing)
        lines += [""] + [f"  {judged_words(one)}" for one in swing.judged] if swing.judged else []
    if any(swing.measures for swing in watched.swings):
        lines += ["", "Ranges are 90 %: errors judged on rendered people, not yet on real ones."]
    return "\n".join(lines).strip("\n")


def _refused_words(swing: WatchedSwing) -> list[str]:
    """Refused measures, one line for each reason."""
    by_reason: dict[str, list[str]] = {}
    for measure in swing.measures.values():
        if measure.value is None:
            by_reason.setdefault(measure.refusal, []).append(str(measure.name))
    return [f"  {', '.join(names)}: {why}" for why, names in by_reason.items()]


def measure_words(measure: Measure) -> str:
    """One line: name, value and range."""
    digits = 0 if measure.unit == "deg" else 2
    unit = {"deg": "°", "s": " s", "m": " m", "": ""}[measure.unit]
    value = f"{measure.value:.{digits}f}{unit}"
    if measure.at_least:
        return f"{measure.name:<28}{value:>9}  or more: the clip ends first"
    return f"{measure.name:<28}{value:>9}  {measure.low:.{digits}f} to {measure.high:.{digits}f}"


def judged_words(one: Judged) -> str:
    """One line: verdict, why, and the drills when it failed."""
    called = one.verdict in (Verdict.PASSED, Verdict.FAILED)
    close = " (close)" if called and not one.sure else ""
    drills = f"; try: {', '.join(one.drills)}" if one.drills else ""
    return f"{one.item:<22}{one.verdict}{close}: {one.says}{drills}"


def ticks_words(judged: Sequence[Judged], swings: int) -> str:
    """A coach's ticks as a table."""
    many = "1 swing" if swings == 1 else f"a set of {swings} swings"
    lines = [f"Coach-judged, {many}"]
    return "\n".join(lines + [f"  {judged_words(one)}" for one in judged])


def _round(value: float | None) -> float | None:
    return None if value is None else round(float(value), 4)
