"""Write the generated pages; tests/docs/test_pages.py fails when one differs from what would be written."""

from __future__ import annotations

from pathlib import Path

DOCS = Path(__file__).parents[1] / "docs"


def _pages() -> dict[str, str]:
    from cli_page import cli_page
    from demo_chart import demo_chart
    from files_page import files_page

    from firstbounce.checks.run import run_all, validation_page

    return {
        "cli.md": cli_page(),
        "files.md": files_page(),
        "validation.md": validation_page(run_all()),
        "chart.svg": demo_chart(),
    }


def main() -> None:
    """Write every generated page."""
    for name, text in _pages().items():
        (DOCS / name).write_text(text)
        print(f"docs/{name}")


if __name__ == "__main__":
    main()
