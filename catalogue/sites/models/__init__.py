"""Sites, dives, and on what grounds things are taken."""

from .dive import Dive, DiveSeries
from .permission import Permission
from .site import Site

__all__ = ["Dive", "DiveSeries", "Permission", "Site"]
