"""Dives and sites, with what came from them."""
