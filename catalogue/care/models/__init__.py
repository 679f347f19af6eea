"""Condition, cleaning history, and everything on the workbench."""

from .bath import Bath, BathLoad, BathLook, BathMember
from .bench_photo import BenchPhoto
from .check import Check
from .condition import ConditionReport, Damage
from .soak import Soak, SoakMember, SoakReading
from .step import WorkStep
from .tool import Tool, ToolUse
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
