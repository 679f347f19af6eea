"""Loaded before everything else: a data folder of the tests' own, and one way to run properties."""

import os
import sys
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, settings

from catalogue.common.face import FACE, make_face
from tests.running import BYTECODE

# As for the programs that tests start: where the environment forbids to keep what Python compiles, each
# worker compiled all tests anew, half of what it took to read them (39 s of the processor, 19 when kept).
if sys.dont_write_bytecode:
    sys.dont_write_bytecode, sys.pycache_prefix = False, str(BYTECODE)

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
