"""Bag, delivery, spread, mishits, usual values by level, putting and recovery strokes."""
