"""Numbers to SVG; knows no table, no page and nothing of the trade."""
