"""balls.csv and green.toml: read, check, write."""
