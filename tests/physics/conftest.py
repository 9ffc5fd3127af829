"""Speed is measured in bench/, never by a test that may fail on a busy machine."""

from hypothesis import settings

settings.register_profile("no-deadline", deadline=None)
settings.load_profile("no-deadline")
