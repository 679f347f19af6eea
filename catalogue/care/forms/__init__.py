"""Forms of care."""

from .bath import BathForm, EndForm, LiftForm, StartForm
from .condition import ConditionForm, DamageForm, DamageForms, damage_forms
from .parts import PartsForm
from .soak import ReadingForm, SoakForm
from .tool import ToolForm
from .treatment import TreatmentForm
from .vessel import VesselForm

__all__ = [
    "BathForm",
    "ConditionForm",
    "DamageForm",
    "DamageForms",
    "EndForm",
    "LiftForm",
    "PartsForm",
    "ReadingForm",
    "SoakForm",
    "StartForm",
    "ToolForm",
    "TreatmentForm",
    "VesselForm",
    "damage_forms",
]
