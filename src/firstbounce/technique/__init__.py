"""Video frames to landmarks to measures."""
