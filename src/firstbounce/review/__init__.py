"""A set of balls: the parts of their misses, a verdict, and progress over weeks. See docs/review.md."""
