"""A guide that a player takes along: described in blocks, set as PDF, shown as a page for phones."""
