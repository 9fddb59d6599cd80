"""How often the review calls what is wrong and what is not: sets of one station in the rival world.

`python -m benchmarks.review [--players 200] [--first 0] [--store FILE]`: with a store, runs can be done in
pieces; each player's sets are kept there and the tables are made of all of them.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterable
from pathlib import Path

import numpy as np

from benchmarks.review_world import CASES, KNOWN, SIZES, Case, PlayerWorld, player_world, set_of
from firstbounce.review.review import review
from firstbounce.review.verdict import Call

VERDICT = {
    Call.CHANGE_PLAN: "plan",
    Call.PRACTISE_STRIKE: "strike",
    Call.READ_AGAIN: "reading",
    Call.KEEP: "keep",
    Call.NOT_ENOUGH: "not enough",
}
CALLS = ("plan", "strike", "reading")
FALSE_ALARMS = 0.05
#: case, balls, wanted rate, and what must be known for it
GATES = (
    ("landing spot 1.5 m wrong", 10, 0.80, "earlier days"),
    ("landing spot 1.5 m wrong", 20, 0.95, "earlier days"),
    ("landings spread twice as wide", 20, 0.80, "earlier days"),
    ("green 2 ft faster, spot by the model", 20, 0.80, "same day"),
)
Row = dict[str, str]  #: "known|case|n" to the verdict


def sets_of(world: PlayerWorld, until: float) -> Row:
    """The verdicts on every case, known and size of one player's sets."""
    rows: Row = {}
    for case in CASES:
        for known, then in world.fits.items():
            balls = set_of(world, case, then, max(SIZES))
            usual = world.fits["earlier days"] if known == "same day" else then
            for n in SIZES:
                seen = review(
                    balls[:n],
                    then=then,
                    usual=usual,
                    ground=world.day.ground,
                    rng=np.random.default_rng(1),
                )
                answer = seen.verdict.answer
                about = "" if answer is None else str(answer.question)
                rows[f"{known}|{case.name}|{n}"] = f"{VERDICT[seen.verdict.call]}: {about}"
        if time.monotonic() > until:
            break
    return rows


def run(first: int, players: int, store: Path | None, minutes: float) -> list[Row]:
    """Rows of all players, those of the store among them; stops early when the minutes are up."""
    done: dict[int, Row] = {}
    if store is not None and store.exists():
        lines = [json.loads(line) for line in store.read_text().splitlines()]
        done = {int(line["player"]): line["rows"] for line in lines}
    until = time.monotonic() + 60 * minutes
    for seed in range(first, first + players):
        if seed in done or time.monotonic() > until:
            continue
        done[seed] = sets_of(player_world(seed), float("inf"))
        if store is not None:
            with store.open("a") as file:
                file.write(json.dumps({"player": seed, "rows": done[seed]}) + "\n")
        if sys.stderr.isatty():
            print(f"\rplayer {seed}", end="", file=sys.stderr, flush=True)
    return list(done.values())


def rate(rows: Iterable[Row], key: str, verdict: str) -> tuple[float, int]:
    """Share of the sets with this verdict, and how many sets there are."""
    found = [row[key].split(":")[0] == verdict for row in rows if key in row]
    return (float(np.mean(found)) if found else float("nan")), len(found)


def confusion(rows: list[Row], known: str) -> None:
    """All verdicts on all cases, for each number of balls, in percent."""
    print(f"\n{known}: {KNOWN[known]}")
    names = list(VERDICT.values())
    print(f"{'':<40}{'balls':>6}" + "".join(f"{name:>12}" for name in names) + f"{'sets':>7}")
    for case in CASES:
        for n in SIZES:
            key = f"{known}|{case.name}|{n}"
            shares = [100 * rate(rows, key, name)[0] for name in names]
            count = rate(rows, key, "plan")[1]
            print(f"{case.name:<40}{n:>6}" + "".join(f"{s:>12.1f}" for s in shares) + f"{count:>7}")


def false_alarms(rows: list[Row]) -> list[tuple[str, str, str, int, float, int]]:
    """Each verdict where it is not true: (verdict, known, case, balls, rate, sets)."""
    found = []
    for known in KNOWN:
        for case in CASES:
            for n in SIZES:
                for verdict in CALLS:
                    if verdict not in true_of(case):
                        share, count = rate(rows, f"{known}|{case.name}|{n}", verdict)
                        found.append((verdict, known, case.name, n, share, count))
    return found


def pooled_alarms(rows: list[Row], verdict: str) -> dict[tuple[str, int], tuple[float, int]]:
    """By what was known and the number of balls: rate over all cases where the verdict is not true."""
    found: dict[tuple[str, int], list[tuple[float, int]]] = {}
    for called, known, _, n, share, count in false_alarms(rows):
        if called == verdict:
            found.setdefault((known, n), []).append((share, count))
    return {
        key: (sum(s * c for s, c in cells) / max(sum(c for _, c in cells), 1), sum(c for _, c in cells))
        for key, cells in found.items()
    }


def true_of(case: Case) -> tuple[str, ...]:
    """The verdicts that are true of a case."""
    return tuple(verdict for verdict in (case.wrong, case.also) if verdict)


def gates(rows: list[Row]) -> bool:
    """Print every gate; True when all are met."""
    met = []
    print()
    for name, n, wanted, known in GATES:
        case = next(c for c in CASES if c.name == name)
        share, count = rate(rows, f"{known}|{name}|{n}", case.wrong)
        met.append(share >= wanted)
        print(
            f"{'met ' if met[-1] else 'MISSED'}  {name}, {n} balls, {known}: {share:.1%} of {count}, "
            f"at least {wanted:.0%}"
        )
    for verdict in CALLS:
        pooled = pooled_alarms(rows, verdict)
        (known, n), (share, count) = max(pooled.items(), key=lambda one: one[1][0])
        met.append(share <= FALSE_ALARMS)
        print(
            f"{'met ' if met[-1] else 'MISSED'}  false alarms of {verdict!r}, all cases where not true, "
            f"at worst {share:.1%} of {count} ({n} balls, {known}), at most {FALSE_ALARMS:.0%}"
        )
        cell = max((one for one in false_alarms(rows) if one[0] == verdict), key=lambda one: one[4])
        error = (cell[4] * (1 - cell[4]) / max(cell[5], 1)) ** 0.5
        print(
            f"        worst single case: {cell[4]:.1%} (se {error:.1%}), {cell[2]}, {cell[3]} balls, "
            f"{cell[1]}"
        )
    return all(met)


def main(argv: list[str] | None = None) -> int:
    """Print the tables and gates; 1 when a gate is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--players", type=int, default=200)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--store", type=Path)
    parser.add_argument("--minutes", type=float, default=600.0)
    options = parser.parse_args(argv)
    rows = run(options.first, options.players, options.store, options.minutes)
    for known in KNOWN:
        confusion(rows, known)
    return 0 if gates(rows) else 1


if __name__ == "__main__":
    raise SystemExit(main())
