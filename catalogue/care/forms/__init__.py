"""Forms of care."""

from catalogue.care.forms.bath import SoakForm, SoakReadingForm
from catalogue.care.forms.condition import PartsForm
from catalogue.care.forms.equipment import ToolForm, VesselForm

from .bath import BathForm, EndForm, StartForm, TakeOutForm
from .condition import ConditionForm, ConditionSheet, DamageForm, DamageForms
from .treatment import TreatmentForm

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
