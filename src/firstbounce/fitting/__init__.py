"""Logged balls to the day and the player, with uncertainty, or a refusal."""
