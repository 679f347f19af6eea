"""What can be done in care: every write of more than one row, in a transaction."""

from .bath_clock import look_in, set_clock_right
from .bathing import Blocked, NotNow, choose, end_bath, leave_out, lift, plan_bath, start_load
from .cleaning import NotThisTool, bring_usual_kit, finish_cleaning, take_back, use_tool
from .looking import note_look
from .soaking import SoakRefused, end_soak, put_in_soak, read_soak, start_soak, take_out_of_soak
from .stepping import begin_step, finish_step
from .treating import ORDER, ReasonNeeded, log_treatment, report_condition, stage_after

__all__ = [
    "ORDER",
    "Blocked",
    "NotNow",
    "NotThisTool",
    "ReasonNeeded",
    "SoakRefused",
    "begin_step",
    "bring_usual_kit",
    "choose",
    "end_bath",
    "end_soak",
    "finish_cleaning",
    "finish_step",
    "leave_out",
    "lift",
    "log_treatment",
    "look_in",
    "note_look",
    "plan_bath",
    "put_in_soak",
    "read_soak",
    "report_condition",
    "set_clock_right",
    "stage_after",
    "start_load",
    "start_soak",
    "take_back",
    "take_out_of_soak",
    "use_tool",
]
