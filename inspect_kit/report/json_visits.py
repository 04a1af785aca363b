"""The year ahead as machine-readable facts, by the promise of the other answers."""

import math
from collections.abc import Iterable
from decimal import Decimal

from inspect_kit.due.shelf import Lot
from inspect_kit.model.checklist import part_called
from inspect_kit.report.json import FORMAT, Facts, amount_json, date_json
from inspect_kit.visits.answer import Costs, Doing, Habit, Visit, VisitPlan
from inspect_kit.visits.parts import Need, PartsAnswer
from inspect_kit.visits.worth import Worth


def visits_json(plan: VisitPlan) -> Facts:
    """The visits of an outlook; `labour_min` is that of panels and checks, `total_min` all that the plan keeps
    as small as it can: visits, panels, intervals given away, days that were to be free."""
    return {
        "format": FORMAT,
        "on": date_json(plan.on),
        "months": plan.months,
        "visits": [_visit(visit) for visit in plan.visits],
        "labour_min": round(plan.costs.labour),
        "when_due_labour_min": round(plan.when_due.labour),
        "costs": _costs(plan.costs),
        "when_due": _costs(plan.when_due),
        "when_soon": _costs(plan.when_soon),
        "habit": _habit(plan.habit) if plan.habit else None,
        "total_min": round(plan.costs.total),
        "bound_min": math.floor(plan.bound),
        "above_bound": round(plan.above_bound, 4),
        "money": {"hour": amount_json(plan.hour), "currency": plan.currency or None},
        "margin": plan.margin,
        "left_out": [{"item": each.item, "reason": each.reason} for each in plan.left_out],
        "notes": [*plan.pressing, *plan.notes],
    }


def _visit(visit: Visit) -> Facts:
    return {
        "on": date_json(visit.on),
        "checks": list(visit.checks),
        "panels": list(visit.panels),
        "labour_min": visit.labour,
        "panel_labour_min": visit.panel_labour,
        "check_labour_min": visit.check_labour,
        "plan": list(visit.names),
        "reads": {name: amount_json(reads) for name, reads in visit.reads.items()},
        "reads_heavy": {name: amount_json(reads) for name, reads in visit.reads_heavy.items()},
        "outside": visit.outside,
        "in_season": visit.in_season,
        "tooling": list(visit.tooling),
        "owed": list(visit.owed),
        "costs": amount_json(visit.money),
        "costs_unknown": list(visit.unpriced),
        "items": [_doing(doing) for doing in visit.doings],
    }


def _doing(doing: Doing) -> Facts:
    return {
        "item": doing.item,
        "kind": doing.kind,
        "panel": doing.panel,
        "due": date_json(doing.due),
        "early_days": doing.early,
        "pulled": doing.pulled,
        "given_away": doing.given_away or None,
        "wastes_min": round(doing.wastes),
        "saves_min": round(doing.saves),
        "with": doing.with_ or None,
        "owed": doing.owed or None,
    }


def _habit(habit: Habit) -> Facts:
    seen = {"since": date_json(habit.since), "days": habit.days, "done": habit.done, "late": habit.late}
    return {**_costs(habit.scaled), **seen, "past_due": habit.past_due}


def worth_json(offers: Iterable[Worth]) -> list[Facts]:
    """What else is worth doing while it is open, best first."""
    return [
        {
            "checks": list(offer.checks),
            "opens": list(offer.opened),
            "labour_min": offer.labour,
            "extra_min": offer.extra,
            "saves_min": offer.saves,
            "wastes_min": round(offer.wastes),
            "due": date_json(offer.due),
            "given_away": offer.given_away or None,
            "sentence": offer.sentence,
        }
        for offer in offers
    ]


def _costs(costs: Costs) -> Facts:
    return {
        "visits": round(costs.number, 1),
        "visits_min": round(costs.visits),
        "panels_min": round(costs.panels),
        "checks_min": round(costs.checks),
        "given_away_min": round(costs.given_away),
        "kept_free_min": round(costs.kept_free),
        "total_min": round(costs.total),
        "costs": amount_json(costs.money.quantize(Decimal("0.01"))),
        "costs_unknown": round(costs.unpriced, 1),
    }


def parts_json(parts: PartsAnswer) -> Facts:
    """What is needed and what of it is not on the shelf, that to be ordered first first; the shelf."""
    return {
        "format": FORMAT,
        "on": date_json(parts.on),
        "until": date_json(parts.until),
        "needs": [_need(each) for each in parts.needs],
        "shelf": [_lot(each) for each in parts.shelf],
    }


def _need(need: Need) -> Facts:
    return {
        "part": part_called(need.name),
        "measure": need.measure or None,
        "amount": amount_json(need.amount),
        "short": amount_json(need.short),
        "on": date_json(need.on),
        "order_by": date_json(need.order_by),
        "checks": list(need.checks),
        "life": need.life,
    }


def _lot(lot: Lot) -> Facts:
    return {
        "item": lot.stock.item,
        "lot": lot.stock.lot or None,
        "left": amount_json(lot.left),
        "measure": lot.stock.measure or None,
        "opened": date_json(lot.opened),
        "good_until": date_json(lot.until),
        "file": lot.stock.place.file,
        "line": lot.stock.place.line,
    }
