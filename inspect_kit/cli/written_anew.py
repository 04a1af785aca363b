"""What counts instead of a record of which neither `withdraw` nor `amend` puts the figures right."""

import datetime as dt
import shlex

from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.equipment import Equipment
from inspect_kit.model.kinds.search import Search
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.record import Record


def written_anew(record: Record) -> str:
    """How a wrong figure of a record is put right by another one, with the line to type, behind `; `; "" if by none."""
    told = _told(record)
    return f"; {told}" if told else ""


def _told(record: Record) -> str:
    weigh = "a newer weighing counts whatever stands before it: inspect-kit weighing"
    match record:
        case Equipment(item=str(item), weight=weight, arm=arm, change="in" | "out" as change) if weight and arm:
            back = "out" if change == "in" else "in"
            line = f'inspect-kit equipment {shlex.quote(item)} --direction {back} --weight "{weight}" --arm "{arm}"'
            right = f"--direction {change} --weight WEIGHT --arm ARM"
            return f"the weights add up: take it back, {line} --reason WHY, then write it anew, {right}; {weigh}"
        case Equipment():
            return weigh
        case Weighing(date=date):
            after = f"inspect-kit --on {date + dt.timedelta(days=1)} weighing"
            return (
                "the newest weighing counts, with the equipment after it: weigh anew, inspect-kit weighing, or where "
                f"its sheet has the right figures write these as of the day after: {after}"
            )
        case Setting(setting=name, on=on):
            of = f" --of {on}" if on else ""
            line = f"inspect-kit setting {name}{of} --set-to VALUE --reason WHY"
            return f"the newest setting counts: {line}, with --follows {record.name} on the same day"
        case Stock(item=item, lot=lot):
            of = f" --lot {shlex.quote(lot)}" if lot else ""
            line = f"inspect-kit stock {shlex.quote(item)} --amount AMOUNT{of}"
            return f"the newest count counts, of a later day: count what is there, {line}"
        case Directive(number=number, on=on):
            line = f"inspect-kit directive {shlex.quote(number)} --product {on}"
            return f"the newest decision counts, of a later day: decide anew, {line}"
        case Search(source=source, products=products):
            line = " ".join(("inspect-kit search", shlex.quote(source), *(f"--product {each}" for each in products)))
            return f"a search is written down anew: {line} --results WORDS"
    return ""
