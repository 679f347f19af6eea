"""Loaded before everything else: a data folder of the tests' own, and one way to run properties."""

import os
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, settings

from catalogue.common.face import FACE, make_face

FOLDER = tempfile.TemporaryDirectory(prefix="siltmark-tests-")
# Before Django reads its settings.
os.environ["SILTMARK_DATA"] = FOLDER.name

# One profile here and in CI: how long an example takes says more about who else uses the machine than about
# the code, so nothing fails by the clock.
settings.register_profile("siltmark", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("siltmark")

# What installing makes: a checkout that another environment's Python runs has none yet.
STATIC = Path(__file__).resolve().parents[1] / "static" / "common"
if not (STATIC / FACE).exists():
    make_face(STATIC)
