"""Form parts that several rooms use."""

from .fields import AngleField, CertainDateInput, NamesField
from .house import HouseForm, HouseModelForm

__all__ = ["AngleField", "CertainDateInput", "HouseForm", "HouseModelForm", "NamesField"]
