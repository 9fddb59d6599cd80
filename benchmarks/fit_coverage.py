"""Are the intervals right when the law is right? Truth drawn from the fit's own beliefs, then fitted.

`python -m benchmarks.fit_coverage [--days 600] [--no-discrepancy] [--file rows.jsonl --seconds 500]`: each
parameter's 90 % interval must hold the truth 86 to 94 % of the time. With --no-discrepancy the truth has none
(and the fit still allows for it).
"""

from __future__ import annotations

import argparse
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.fit_days import BOUNDS, CLUBS, HOLE, START, bag, random_carry
from benchmarks.pieces import UNFINISHED, add_options, in_pieces
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.fitting.likelihood import SHORTEST_RUN
from firstbounce.fitting.predict import RunForecast, forecast
from firstbounce.fitting.result import MODEL_VERSION, Fit
from firstbounce.fitting.shots import Shots, shots_of
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.players.player import player_of_level
from firstbounce.words import Ball, Estimate, Level, Lie, Point, Source

Floats = NDArray[np.float64]

BALLS = 12
ALLOWED = (0.86, 0.94)
LEVELS = (Level.SINGLE_FIGURE, Level.TEN_TO_EIGHTEEN, Level.NINETEEN_TO_TWENTY_EIGHT)
DIALS = (
    "firmness",
    "stimp_ft",
    "lean_deg",
    "scatter",
    "spread_floor_m",
    "spread_share",
    "direction_deg",
    "carry_bias",
    "direction_bias_deg",
    "mishit_share",
)


def draw_truth(rng: np.random.Generator, usual: Fit, discrepancy: bool) -> Fit:
    """A day and player from the beliefs of a fit without balls."""
    layout = usual.layout
    theta = rng.multivariate_normal(usual.theta, usual.covariance)
    if not discrepancy:
        theta[layout.discrepancy.start :] = 0.0
    mean, cov = usual.landing.values, usual.landing.covariance
    landing = replace(usual.landing, values=rng.multivariate_normal(mean, cov))
    ln_scatter = usual.ln_scatter[0] + usual.ln_scatter[1] * rng.standard_normal()
    return replace(usual, theta=theta, landing=landing, ln_scatter=(float(ln_scatter), 0.0))


def hit(rng: np.random.Generator, truth: Fit, ground: Ground, clubs: list[str]) -> list[Ball]:
    """Placed balls of that truth: mishits and scatter exactly as the fit believes them to be."""
    n, x = len(clubs), truth.landing.values
    lofts = np.array([truth.player.bag.club(club).loft_deg for club in clubs])
    carry = np.array([random_carry(rng, loft) for loft in lofts])
    odd = rng.random(n) < truth.mishit_share.value
    along = x[3] * carry + truth.landing.sd_along(carry, np.ones(n)) * rng.standard_normal(n)
    across = np.tan(x[4]) * carry + truth.landing.sd_across(carry, np.ones(n)) * rng.standard_normal(n)
    along = np.where(odd, -0.15 * carry + (0.4 * carry + 0.5) * rng.standard_normal(n), along)
    across = np.where(odd, (0.15 * carry + 0.5) * rng.standard_normal(n), across)
    landed = np.column_stack([across, np.maximum(carry + along, 1.0)])
    spots = [Point(*map(float, place)) for place in landed]
    seen = forecast(truth, ground, shots_of(truth.player, clubs, [START] * n, spots, [Lie()] * n))
    finished = _finish(rng, truth, seen, landed, lofts, odd)
    placed, ended = landed + rng.normal(0, 0.25, (n, 2)), finished + rng.normal(0, 0.25, (n, 2))
    return [
        Ball(
            id=str(i),
            club=clubs[i],
            lie=Lie(),
            start=START,
            hole=HOLE,
            aim=Point(0.0, float(carry[i])),
            landed=Point(*map(float, placed[i])),
            finished=Point(*map(float, ended[i])),
        )
        for i in range(n)
    ]


def _finish(
    rng: np.random.Generator,
    truth: Fit,
    seen: RunForecast,
    landed: Floats,
    lofts: Floats,
    odd: NDArray[np.bool_],
) -> Floats:
    """Finishes with the model's heavy-tailed scatter along and across the run."""
    n, assumed = len(landed), truth.assumed
    way = seen.finish - landed
    axis = way / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    right = np.stack([axis[:, 1], -axis[:, 0]], axis=1)
    base = np.maximum(seen.run, SHORTEST_RUN * np.hypot(*landed.T))
    clean = np.exp(truth.ln_scatter[0]) * assumed.scatter_factor(lofts) * base
    tail = np.where(odd, 3.0, assumed.tail)
    size = np.where(odd, np.hypot(clean, assumed.mishit_spread * base), clean)
    size = size / np.sqrt(rng.chisquare(tail) / tail)
    z = rng.standard_normal((n, 2)) * [1.0, assumed.across]
    return np.asarray(seen.finish + size[:, None] * (z[:, :1] * axis + z[:, 1:] * right))


def covered(answer: Fit, truth: Fit, ground: Ground, clubs: tuple[str, str]) -> dict[str, bool]:
    """Whether each interval of the fit holds the truth."""
    inside = {name: _holds(getattr(answer, name), getattr(truth, name).value) for name in DIALS}
    for club, word in ((clubs[0], "logged"), ([c for c in CLUBS if c not in clubs][2], "unlogged")):
        inside[f"lean of a {word} club"] = _holds(answer.club_lean_deg(club), truth.club_lean_deg(club).value)
        inside[f"run factor, {word} club"] = _holds(answer.run_factor(club), truth.run_factor(club).value)
        shots = _shot(answer, club)
        seen, true = forecast(answer, ground, shots), forecast(truth, ground, shots)
        inside[f"mean run, {word} club"] = bool(seen.mean_90[0, 0] <= true.run[0] <= seen.mean_90[0, 1])
    return inside


def _shot(answer: Fit, club: str) -> Shots:
    return shots_of(answer.player, [club], [START], [Point(0.0, 6.0)], [Lie()])


def _holds(known, value: float) -> bool:
    return bool(known.low <= value <= known.high)


def of_day(number: int, seed: int, discrepancy: bool) -> list[Any]:
    """The verdict of a day, and whether each of its intervals holds the truth."""
    rng = np.random.default_rng([seed, number])
    ground = Ground.level(BOUNDS)
    player = player_of_level(LEVELS[number % len(LEVELS)], bag=bag())
    reading = Estimate(value=float(rng.uniform(8, 11)), sd=0.4, source=Source.MEASURED, n=6)
    usual = prior_fit(player, GreenToday(stimp_ft=reading))
    pair = rng.choice(len(CLUBS), 2, replace=False)
    clubs = (CLUBS[int(pair[0])], CLUBS[int(pair[1])])
    truth = draw_truth(rng, usual, discrepancy)
    balls = hit(rng, truth, ground, [clubs[i % 2] for i in range(BALLS)])
    answer = fit(balls, today=usual.today, ground=ground, player=player)
    why = answer.remarks[0].split()[:3] if answer.verdict != "fitted" else []
    return [answer.verdict, " ".join(why), covered(answer, truth, ground, clubs)]


def run(
    days: int, seed: int, discrepancy: bool, file: Path | None = None, seconds: float | None = None
) -> list[Any] | None:
    """The rows of all days; None when the time ran out."""
    label = f"fit_coverage seed {seed} {MODEL_VERSION} discrepancy {discrepancy}"
    return in_pieces(lambda k: of_day(k, seed, discrepancy), days, label, file, seconds)


def table_of(rows: list[Any], fitted: bool) -> dict[str, list[bool]]:
    """By interval: whether it held the truth, on the days that were fitted or on those refused."""
    table: dict[str, list[bool]] = {}
    for verdict, _, inside in rows:
        for name, held in inside.items() if (verdict == "fitted") == fitted else ():
            table.setdefault(name, []).append(held)
    return table


def main(argv: list[str] | None = None) -> int:
    """Print coverage of every parameter; 1 when one is outside what is allowed beyond its sampling error."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=600)
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--no-discrepancy", action="store_true")
    add_options(parser)
    options = parser.parse_args(argv)
    rows = run(options.days, options.seed, not options.no_discrepancy, options.file, options.seconds)
    if rows is None:
        return UNFINISHED
    print(f"{options.days} days, {BALLS} balls with two clubs; {dict(Counter(row[0] for row in rows))}")
    missed = report(table_of(rows, fitted=True), options.days)
    refused(rows)
    return 1 if missed and not options.no_discrepancy else 0


def report(table: dict[str, list[bool]], days: int) -> int:
    """Print every coverage with its standard error; how many are outside what is allowed."""
    missed = 0
    slack = 0.0 if days >= 600 else 2 * (0.09 / days) ** 0.5
    for name, inside in table.items():
        share, error = float(np.mean(inside)), (0.09 / len(inside)) ** 0.5
        met = ALLOWED[0] - slack <= share <= ALLOWED[1] + slack
        missed += not met
        print(f"{'met ' if met else 'MISSED'}  {name:<28}{share:>7.1%}  se {error:.1%}")
    return missed


def refused(rows: list[Any]) -> None:
    """What refused days do: they keep the usual values, whose intervals are counted here on their own."""
    why = Counter(reason for verdict, reason, _ in rows if verdict != "fitted")
    table = table_of(rows, fitted=False)
    if not table:
        return
    print(f"refused days keep the usual values of the day; by first words of the reason: {dict(why)}")
    shares = [f"{name} {np.mean(table[name]):.0%}" for name in table if not name.startswith("run factor")]
    print("  their 90 % intervals hold the truth: " + ", ".join(shares))


if __name__ == "__main__":
    raise SystemExit(main())
