"""Forms of care."""

from .condition import ConditionForm, DamageForm, DamageForms, damage_forms
from .treatment import TreatmentForm

__all__ = ["ConditionForm", "DamageForm", "DamageForms", "TreatmentForm", "damage_forms"]
