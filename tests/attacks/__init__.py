"""Attacks on a catalogue that runs, on demand: `python -m tests.attacks NAME`. A line with BAD
is a finding."""
