from hypothesis import settings

# Kernels compile on their first call and machines are shared: no example has a time limit.
settings.register_profile("no time limit", deadline=None)
settings.load_profile("no time limit")
