"""Drills, circles, stick places, adaptive difficulty, sessions, games and scoring. See docs/practice.md."""
