"""Firstbounce: where the ball first bounces decides where a chip stops."""

__version__ = "0.1.0"
