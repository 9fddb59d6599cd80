"""Rendered people with known angles: a CC0 body, our own z-buffer, swings written down in advance."""
