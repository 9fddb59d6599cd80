"""One function a use case."""
