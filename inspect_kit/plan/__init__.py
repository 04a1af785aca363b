"""What to open, in which order, with whom; with a bound, and a checker that shares no code with the search."""

from inspect_kit.plan.access import access_labour, behind, opens, panels_for, panels_for_check
from inspect_kit.plan.answer import Bar, Caution, Contradiction, Plan
from inspect_kit.plan.checker import faults
from inspect_kit.plan.make import contradictions, plan
from inspect_kit.plan.request import Job, Shift, Wishes
from inspect_kit.plan.sessions import shifts_of

__all__ = [
    "Bar",
    "Caution",
    "Contradiction",
    "Job",
    "Plan",
    "Shift",
    "Wishes",
    "access_labour",
    "behind",
    "contradictions",
    "faults",
    "opens",
    "panels_for",
    "panels_for_check",
    "plan",
    "shifts_of",
]
