"""Forms of care."""

from catalogue.care.forms.bath import SoakForm, SoakReadingForm
from catalogue.care.forms.equipment import ToolForm, VesselForm
from catalogue.care.forms.piece import PartsForm

from .bath import BathForm, EndForm, StartForm, TakeOutForm
from .piece import ConditionForm, ConditionSheet, DamageForm, DamageForms, TreatmentForm

__all__ = [
    "BathForm",
    "ConditionForm",
    "ConditionSheet",
    "DamageForm",
    "DamageForms",
    "EndForm",
    "TakeOutForm",
    "PartsForm",
    "SoakReadingForm",
    "SoakForm",
    "StartForm",
    "ToolForm",
    "TreatmentForm",
    "VesselForm",
]
