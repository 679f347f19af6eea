"""Loaded before everything else: a data folder of the tests' own, and one way to run properties."""

import os
import tempfile

from hypothesis import HealthCheck, settings

FOLDER = tempfile.TemporaryDirectory(prefix="siltmark-tests-")
# Before Django reads its settings.
os.environ["SILTMARK_DATA"] = FOLDER.name

# One profile here and in CI: how long an example takes says more about who else uses the machine than about
# the code, so nothing fails by the clock.
settings.register_profile("siltmark", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("siltmark")
