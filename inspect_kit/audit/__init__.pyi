from inspect_kit.audit.directives import comes_late
from inspect_kit.audit.every import audit, audit_page, meter_problems, unasked
from inspect_kit.audit.ids import Names, names
from inspect_kit.audit.readings import unfound
from inspect_kit.audit.records import clock_behind

__all__ = [
    "Names",
    "audit",
    "audit_page",
    "clock_behind",
    "comes_late",
    "meter_problems",
    "names",
    "unasked",
    "unfound",
]
