from inspect_kit.visits.answer import Costs, Doing, Habit, LeftOut, Visit, VisitPlan
from inspect_kit.visits.make import year_ahead
from inspect_kit.visits.outlook import end_of
from inspect_kit.visits.parts import Need, PartsAnswer, parts_needed
from inspect_kit.visits.worth import Worth, worth_doing

__all__ = [
    "Costs",
    "Doing",
    "Habit",
    "LeftOut",
    "Need",
    "PartsAnswer",
    "Visit",
    "VisitPlan",
    "Worth",
    "end_of",
    "parts_needed",
    "worth_doing",
    "year_ahead",
]
