"""Settings of every test: generated examples have no time limit, a busy machine must not fail them."""

from hypothesis import settings

settings.register_profile("patient", deadline=None)
settings.load_profile("patient")
