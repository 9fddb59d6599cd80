"""Players: bag, delivery, spread and mishits by level, putting and strokes to hole out."""
