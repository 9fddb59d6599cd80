"""Surfaces, turf, readings and conditions."""
