"""Condition, cleaning history, and everything on the workbench."""

from catalogue.care.models.bath import BenchPhoto
from catalogue.care.models.condition import Check, HazardReason
from catalogue.care.models.treatment import Tool, ToolUse, WorkStep

from .bath import Bath, BathLoad, BathLook, BathMember
from .condition import ConditionReport, Damage
from .soak import Soak, SoakMember, SoakReading
from .treatment import Treatment
from .vessel import Vessel, VesselMark

__all__ = [
    "Bath",
    "BathLoad",
    "BathLook",
    "BathMember",
    "BenchPhoto",
    "Check",
    "ConditionReport",
    "Damage",
    "HazardReason",
    "Soak",
    "SoakMember",
    "SoakReading",
    "Tool",
    "ToolUse",
    "Treatment",
    "Vessel",
    "VesselMark",
    "WorkStep",
]
