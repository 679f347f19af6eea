"""Promised and handed over."""

from .handover import HandOver
from .promise import Promise

__all__ = ["HandOver", "Promise"]
