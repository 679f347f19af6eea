"""Loaded before everything else: tests get a data folder of their own before Django reads its settings."""

import os
import tempfile

FOLDER = tempfile.TemporaryDirectory(prefix="siltmark-tests-")
os.environ["SILTMARK_DATA"] = FOLDER.name
