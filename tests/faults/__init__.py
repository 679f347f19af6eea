"""Faults on purpose: the real server on a throw-away folder, killed, starved, damaged and asked nonsense."""
