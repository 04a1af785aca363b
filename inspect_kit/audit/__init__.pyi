from inspect_kit.audit.directives import done_early, told_too_late
from inspect_kit.audit.every import audit, audit_page, meter_problems, unasked
from inspect_kit.audit.ids import Names, names
from inspect_kit.audit.meters import changes_since
from inspect_kit.audit.readings import unfound
from inspect_kit.audit.reasons import nothing_told
from inspect_kit.audit.records import clock_behind

__all__ = [
    "Names",
    "audit",
    "audit_page",
    "changes_since",
    "clock_behind",
    "done_early",
    "meter_problems",
    "names",
    "nothing_told",
    "told_too_late",
    "unasked",
    "unfound",
]
