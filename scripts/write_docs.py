"""Write the generated pages, or with --check fail when a committed page differs from what would be written."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

DOCS = Path(__file__).parents[1] / "docs"


def _pages() -> dict[str, str]:
    from cli_page import cli_page

    from firstbounce.checks.run import run_all, validation_page

    return {"cli.md": cli_page(), "validation.md": validation_page(run_all())}


def main() -> int:
    """Write or compare every generated page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 when a page differs")
    check = parser.parse_args().check
    stale = []
    for name, text in _pages().items():
        path = DOCS / name
        if check and (not path.exists() or path.read_text() != text):
            stale.append(name)
        elif not check:
            path.write_text(text)
    for name in stale:
        print(f"docs/{name} differs from what would be written: run make docs")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main())
