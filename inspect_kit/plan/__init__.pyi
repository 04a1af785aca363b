from inspect_kit.plan.access import access_labour, behind, opens, panels_for, panels_for_check
from inspect_kit.plan.answer import Bar, Contradiction, Plan, StepCaution
from inspect_kit.plan.checker import faults
from inspect_kit.plan.contradictions import in_no_session
from inspect_kit.plan.estimates import Durations, Spread, durations, learned_minutes, spread
from inspect_kit.plan.fewest import Fewest, fewest
from inspect_kit.plan.finish import Finish, finish_estimate
from inspect_kit.plan.in_order import OutOfOrder, in_order, out_of_order
from inspect_kit.plan.make import plan
from inspect_kit.plan.more import More, what_more
from inspect_kit.plan.news import news
from inspect_kit.plan.owed import OwedHere, owed_here, with_owed
from inspect_kit.plan.page_order import page_order
from inspect_kit.plan.ready import tool_words
from inspect_kit.plan.remaining import remaining_job, unplanned, with_names
from inspect_kit.plan.request import ENDS, Job, Shift, Wishes
from inspect_kit.plan.sessions import shifts_of
from inspect_kit.plan.ways import Way, ways_to_serve
from inspect_kit.plan.why import Why, why

__all__ = [
    "ENDS",
    "Bar",
    "Contradiction",
    "Durations",
    "Fewest",
    "Finish",
    "Job",
    "More",
    "OutOfOrder",
    "OwedHere",
    "Plan",
    "Shift",
    "Spread",
    "StepCaution",
    "Way",
    "Why",
    "Wishes",
    "access_labour",
    "behind",
    "durations",
    "faults",
    "fewest",
    "finish_estimate",
    "in_no_session",
    "in_order",
    "learned_minutes",
    "news",
    "opens",
    "out_of_order",
    "owed_here",
    "page_order",
    "panels_for",
    "panels_for_check",
    "plan",
    "remaining_job",
    "shifts_of",
    "spread",
    "tool_words",
    "unplanned",
    "ways_to_serve",
    "what_more",
    "why",
    "with_names",
    "with_owed",
]
