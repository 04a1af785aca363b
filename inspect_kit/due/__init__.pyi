from inspect_kit.due.answer import (
    CHECK,
    FINDING,
    IN_GRACE,
    INSPECTION,
    LATER,
    PAST_DUE,
    RECHECK,
    SOON,
    STATES,
    TREND,
    UNKNOWN,
    DueAnswer,
    DueAt,
    Expected,
    Item,
    Last,
    Left,
    Line,
    Stop,
)
from inspect_kit.due.changes import change_problems, gone_too_far
from inspect_kit.due.chronicle import Chronicle, chronicle, seen_on
from inspect_kit.due.fitted_since import fitted_since
from inspect_kit.due.fitting import Fitting, all_fittings, may_be_one_part
from inspect_kit.due.forecast import Forecast
from inspect_kit.due.items import forecasts
from inspect_kit.due.listing import due, offsets_of_day, total_read, totals_before, totals_with
from inspect_kit.due.moments import Moment
from inspect_kit.due.opened import opened_unsaid
from inspect_kit.due.owed import makes_owed
from inspect_kit.due.passed import limits_passed
from inspect_kit.due.past_limits import cleared_problems, past_limits
from inspect_kit.due.phases import standing_changes
from inspect_kit.due.rechecks import once_asked
from inspect_kit.due.same_day import order_matters, order_unsaid, taken_after, unordered
from inspect_kit.due.sat_on import stay_unsaid
from inspect_kit.due.sequences import firsts_answered
from inspect_kit.due.to_come import done_by
from inspect_kit.due.trends import once_reaching, readings_before
from inspect_kit.due.unusual import either_meter, unusual_readings, unusual_since, unusual_totals

__all__ = [
    "CHECK",
    "FINDING",
    "INSPECTION",
    "IN_GRACE",
    "LATER",
    "PAST_DUE",
    "RECHECK",
    "SOON",
    "STATES",
    "TREND",
    "UNKNOWN",
    "Chronicle",
    "DueAnswer",
    "DueAt",
    "Expected",
    "Fitting",
    "Forecast",
    "Item",
    "Last",
    "Left",
    "Line",
    "Moment",
    "Stop",
    "all_fittings",
    "change_problems",
    "chronicle",
    "cleared_problems",
    "done_by",
    "due",
    "either_meter",
    "firsts_answered",
    "fitted_since",
    "forecasts",
    "gone_too_far",
    "limits_passed",
    "makes_owed",
    "may_be_one_part",
    "offsets_of_day",
    "once_asked",
    "once_reaching",
    "opened_unsaid",
    "order_matters",
    "order_unsaid",
    "past_limits",
    "readings_before",
    "seen_on",
    "standing_changes",
    "stay_unsaid",
    "taken_after",
    "total_read",
    "totals_before",
    "totals_with",
    "unordered",
    "unusual_readings",
    "unusual_since",
    "unusual_totals",
]
