"""Form parts that several rooms use."""

from .base import HouseForm, HouseModelForm, WritingForm
from .fields import AngleField, CertainDateInput, NamesField

__all__ = ["AngleField", "CertainDateInput", "HouseForm", "HouseModelForm", "NamesField", "WritingForm"]
