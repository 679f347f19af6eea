"""What can be done with pictures."""

from .gps_position import use_position
from .ordering import (
    describe,
    move,
    put_in_bin,
    put_in_order,
    set_cover,
    set_role,
    set_roles,
    take_out_of_bin,
)
from .set_aside import tidy
from .uploads import Failed, Results, claim, file_under, hold, let_go, store, take_in

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
    "set_roles",
    "store",
    "take_in",
    "take_out_of_bin",
    "tidy",
    "use_position",
]
