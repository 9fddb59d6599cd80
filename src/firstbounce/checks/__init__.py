"""Published and independent cases with their sources, and the rival world that fit and plan face."""
