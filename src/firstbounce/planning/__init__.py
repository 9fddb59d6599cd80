"""Candidate clubs and landing spots to a ranked plan."""
