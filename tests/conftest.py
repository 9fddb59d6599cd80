"""Settings of the whole suite."""

from hypothesis import settings

# No deadline: a first call may compile a kernel, and shared machines pause.
settings.register_profile("firstbounce", deadline=None)
settings.load_profile("firstbounce")
