"""Condition and cleaning history."""

from .condition import ConditionReport, Damage
from .treatment import Treatment

__all__ = ["ConditionReport", "Damage", "Treatment"]
