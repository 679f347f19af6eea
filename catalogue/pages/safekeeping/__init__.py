"""Keeping it all safe."""
