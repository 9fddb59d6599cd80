"""Does the fit stay honest and useful on days that follow other laws? 12 balls with two clubs, then the rest.

`python -m benchmarks.fit_rival [--days 200] [--seed 7] [--families "grip,springy"] [--held-out]
[--carries shorter] [--file rows.jsonl --seconds 500]`. --held-out: the families that nothing was designed on.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.fit_days import CLUBS, MIXES, LoggedDay, logged_day, rule_run
from benchmarks.pieces import UNFINISHED, add_options, in_pieces
from firstbounce.checks.rival_laws import FAMILIES, HELD_OUT
from firstbounce.fitting.assumptions import WITHOUT_DISCREPANCY, Assumptions
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.fitting.predict import RunForecast, forecast
from firstbounce.fitting.result import MODEL_VERSION, Fit

Floats = NDArray[np.float64]

COLUMNS = (
    "day",
    "family",
    "club",
    "covered",
    "score",
    "plain score",
    "ball 50",
    "ball 90",
    "ln miss",
    "width",
)
ALL_FAMILIES = (*FAMILIES, *HELD_OUT)
COVERAGE = (0.85, 0.97)
AGAINST = (("the day's law known", 2.1), ("the unfitted model", 0.65), ("the trade rule", 0.25))


def winkler(low: Floats, high: Floats, truth: Floats, level: float = 0.9) -> Floats:
    """Interval score: width plus a penalty for missing (Gneiting & Raftery 2007, from memory)."""
    penalty = 2 / (1 - level)
    return high - low + penalty * np.maximum(low - truth, 0) + penalty * np.maximum(truth - high, 0)


def fit_of(logged: LoggedDay, assumed: Assumptions | None = None) -> Fit:
    """The fit of a day's balls."""
    day = logged.day
    return fit(logged.balls, today=day.today, ground=day.ground, player=day.player, assumed=assumed)


def score_day(number: int, logged: LoggedDay, seen: RunForecast, plain: RunForecast) -> list[tuple]:
    """One row (COLUMNS) for each unlogged club and carry."""
    truth = np.array([t.mean_run for t in logged.tried])
    size = np.maximum(truth, 0.5)
    covered = (seen.mean_90[:, 0] <= truth) & (truth <= seen.mean_90[:, 1])
    score, other = (winkler(*r.mean_90.T, truth) / size for r in (seen, plain))
    rows = []
    for k, tried in enumerate(logged.tried):
        inside = [
            np.mean((r[k, 0] <= tried.runs) & (tried.runs <= r[k, 1])) for r in (seen.ball_50, seen.ball_90)
        ]
        miss = np.log(max(seen.run[k], 0.1) / max(truth[k], 0.1))
        family = ALL_FAMILIES.index(logged.day.laws.family)
        rows.append(
            (number, family, tried.club, covered[k], score[k], other[k], *inside, miss, seen.ln_sd[k])
        )
    return rows


def misses(logged: LoggedDay, seen: RunForecast, unfitted: RunForecast) -> Floats:
    """Absolute misses of single runs (balls, 4): of the fit, the day itself, the unfitted model, the rule."""
    lofts = np.array([club.loft_deg for club in logged.day.player.bag.clubs])
    parts = []
    for k, tried in enumerate(logged.tried):
        rule = float(rule_run(lofts[tried.club], np.array(tried.carry)))
        guesses = np.array([seen.run[k], tried.mean_run, unfitted.run[k], rule])
        parts.append(np.abs(tried.runs[:, None] - guesses))
    return np.concatenate(parts)


def ratios(by_day: list[Floats], rng: np.random.Generator) -> list[tuple[float, float]]:
    """Median miss of the fit over that of each of the others, with a bootstrap standard error over days."""

    def of(rows: Sequence[int]) -> Floats:
        medians = np.median(np.concatenate([by_day[i] for i in rows]), axis=0)
        return np.asarray(medians[0] / medians[1:])

    whole = of(range(len(by_day)))
    again = np.array([of(rng.integers(len(by_day), size=len(by_day))) for _ in range(200)])
    return list(zip(whole, again.std(axis=0), strict=True))


def of_day(number: int, seed: int, families: Sequence[str], mix: str) -> list[Any]:
    """Rows of a day, the misses of its single runs, and the verdict: plain lists, to be kept in a file."""
    logged = logged_day(np.random.default_rng([seed, number]), families, carry=MIXES[mix])
    day, shots = logged.day, logged.shots()
    fitted, plain = fit_of(logged), fit_of(logged, WITHOUT_DISCREPANCY)
    seen, other, unfitted = (
        forecast(one, day.ground, shots) for one in (fitted, plain, prior_fit(day.player, day.today))
    )
    rows = np.array(score_day(number, logged, seen, other), dtype=np.float64)
    return [rows.tolist(), misses(logged, seen, unfitted).tolist(), fitted.verdict]


def run(
    days: int,
    seed: int,
    families: Sequence[str],
    mix: str = "stated",
    file: Path | None = None,
    seconds: float | None = None,
) -> tuple[Floats, list[Floats], Counter[str]] | None:
    """Rows of all days, misses by day, and how often each verdict was given; None when the time ran out."""
    label = f"fit_rival seed {seed} {MODEL_VERSION} {','.join(families)}, {mix} carries"
    kept = in_pieces(lambda k: of_day(k, seed, families, mix), days, label, file, seconds)
    if kept is None:
        return None
    rows, by_day, verdicts = zip(*kept, strict=True)
    return np.concatenate(rows), [np.array(one) for one in by_day], Counter(verdicts)


def table(rows: Floats, column: int, names: Sequence[str], title: str) -> None:
    """Coverage of mean runs and of single balls by family or club."""
    heads = f"{'mean run 90 %':>15}{'ball 50 %':>11}{'ball 90 %':>11}{'ln miss: mean':>15}{'rms':>7}{'n':>6}"
    print(f"{title:<20}{heads}")
    for i, name in enumerate([*names, "all"]):
        some = rows if i == len(names) else rows[rows[:, column] == i]
        if len(some):
            mean = some[:, [3, 6, 7]].mean(axis=0)
            off = float(np.sqrt(np.mean(some[:, 8] ** 2)))
            shown = f"{name:<20}{mean[0]:>15.1%}{mean[1]:>11.1%}{mean[2]:>11.1%}"
            print(f"{shown}{some[:, 8].mean():>+15.3f}{off:>7.3f}{len(some):>6}")


def gate(name: str, value: float, low: float, high: float, error: float = 0.0) -> bool:
    """Print one gate; True when it is met."""
    met = low <= value <= high
    print(f"{'met ' if met else 'MISSED'}  {name}: {value:.3f} (se {error:.3f}), allowed {low:g} to {high:g}")
    return met


def main(argv: list[str] | None = None) -> int:
    """Print the tables and gates; 1 when a gate is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=200)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--families", default=",".join(FAMILIES))
    parser.add_argument("--held-out", action="store_true", help="the families that nothing was designed on")
    parser.add_argument("--carries", choices=MIXES, default="stated", help="which mix of carries")
    add_options(parser)
    options = parser.parse_args(argv)
    families = HELD_OUT if options.held_out else options.families.split(",")
    found = run(options.days, options.seed, families, options.carries, options.file, options.seconds)
    if found is None:
        return UNFINISHED
    return report(*found, options.seed)


def report(rows: Floats, by_day: list[Floats], verdicts: Counter[str], seed: int) -> int:
    """Print the tables and gates; 1 when a gate is missed."""
    print(f"{len(by_day)} days; verdicts {dict(verdicts)}")
    table(rows, 1, ALL_FAMILIES, "family")
    table(rows, 2, CLUBS, "club")
    by_days = np.array([rows[rows[:, 0] == d][:, [3, 6, 7]].mean(axis=0) for d in np.unique(rows[:, 0])])
    print("coverage by day, 10 / 50 / 90 % of days (mean run 90, ball 50, ball 90):")
    print(
        "  " + "; ".join(" / ".join(f"{v:.0%}" for v in np.quantile(c, (0.1, 0.5, 0.9))) for c in by_days.T)
    )
    covered = float(rows[:, 3].mean())
    met = [
        gate(
            "mean run of unlogged clubs, 90 %",
            covered,
            *COVERAGE,
            float(by_days[:, 0].std() / len(by_days) ** 0.5),
        )
    ]
    score = float(rows[:, 4].mean() / rows[:, 5].mean())
    met.append(gate("interval score over that without discrepancy", score, 0, 1))
    found = ratios(by_day, np.random.default_rng(seed))
    for (name, most), (value, error) in zip(AGAINST, found, strict=True):
        met.append(gate(f"median miss over that of {name}", value, 0, most, error))
    return 0 if all(met) else 1


if __name__ == "__main__":
    raise SystemExit(main())
