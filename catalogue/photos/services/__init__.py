"""What can be done with pictures."""

from .holding import claim, hold, let_go
from .ordering import describe, move, put_in_bin, put_in_order, set_cover, set_role, take_out_of_bin
from .positions import use_position
from .results import Failed, Results
from .storing import store
from .sweeping import sweep
from .taking import file_under, take_in, take_in_many

__all__ = [
    "Failed",
    "Results",
    "claim",
    "describe",
    "file_under",
    "hold",
    "let_go",
    "move",
    "put_in_bin",
    "put_in_order",
    "set_cover",
    "set_role",
    "store",
    "sweep",
    "take_in",
    "take_in_many",
    "take_out_of_bin",
    "use_position",
]
