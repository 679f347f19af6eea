"""Measurements on demand: ``python -m tests.benchmarks NAME``."""
