"""The files of a coach: `green.toml` and `balls.csv`, read, checked and written. See docs/files.md."""
