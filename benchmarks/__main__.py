"""Run the gates: `python -m benchmarks [--quick] [name ...]`. Exit status 1 when any gate is missed."""

from __future__ import annotations

import argparse
import importlib
import sys
import time

from benchmarks.machine import describe_machine

#: name of the module, and the options of a quick run (None: not in the quick run)
GATES: dict[str, list[str] | None] = {
    "accuracy": [],
    "speed": [],
    "fit_speed": [],
    "fit_coverage": None,
    "fit_rival": None,
    "plan_speed": None,
    "plan_world": None,
    "review_speed": [],
    "review": None,
    "technique": None,
    "practice": ["--quick"],
    "records": None,
    "records_faults": None,
    "web_faults": None,
    "web_load": None,
    "web_speed": None,
    "guides": ["--clinic", "0"],
}


def main(argv: list[str] | None = None) -> int:
    """Run the named gates, or all; print what was missed."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    parser.add_argument(
        "names", nargs="*", metavar="name", help=f"any of {', '.join(GATES)}; all when none is named"
    )
    parser.add_argument("--quick", action="store_true", help="only the gates of a few seconds")
    options = parser.parse_args(argv)
    print(describe_machine())
    missed = []
    for name in options.names or GATES:
        quick_options = GATES[name]
        if options.quick and quick_options is None:
            continue
        print(f"\n== {name}", flush=True)
        start = time.perf_counter()
        gate = importlib.import_module(f"benchmarks.{name}")
        if gate.main(quick_options if options.quick else []):
            missed.append(name)
        print(f"-- {name}: {time.perf_counter() - start:.0f} s", flush=True)
    print(f"\n{'gates missed: ' + ', '.join(missed) if missed else 'every gate held'}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
