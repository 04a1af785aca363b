"""What counts instead of a record of which neither `withdraw` nor `amend` puts the figures right."""

import datetime as dt
import shlex

from inspect_kit.model.kinds.change import Change
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.equipment import Equipment
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.kinds.search import Search
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record


def written_anew(logbook: Logbook, record: Record) -> str:
    """How a wrong figure of a record is put right by another one, with the line to type, behind `; `; "" if by none."""
    told = _told(logbook, record)
    return f"; {told}" if told else ""


def _told(logbook: Logbook, record: Record) -> str:
    weighed = logbook.of_kind(Weighing)[-1:]
    weigh = "a newer weighing counts whatever stands before it: inspect-kit weighing"
    match record:
        case Equipment(date=date) if weighed and date <= weighed[0].date:
            return f"it was on the scales of {weighed[0].name}, and its figures count no more: {weigh}"
        case Equipment(item=str(item), weight=weight, arm=arm, change="in" | "out" as change) if weight and arm:
            back = "out" if change == "in" else "in"
            line = f'inspect-kit equipment {shlex.quote(item)} --direction {back} --weight "{weight}" --arm "{arm}"'
            right = f"--direction {change} --weight WEIGHT --arm ARM"
            return f"the weights add up: take it back, {line} --reason WHY, then write it anew, {right}; {weigh}"
        case Equipment(came_with=came_with):
            with_it = "".join(f" --came-with {name}" for name in came_with)
            line = f"inspect-kit equipment ITEM --direction in|out --weight WEIGHT --arm ARM{with_it}"
            return f"if the weight changed after all: {line}"
        case Weighing(date=date):
            after = f"inspect-kit --on {date + dt.timedelta(days=1)} weighing"
            return (
                "the newest weighing counts, with the equipment after it: weigh anew, inspect-kit weighing, or where "
                f"its sheet has the right figures write these as of the day after: {after}"
            )
        case Setting(setting=name, on=on, to=to):
            of = f" --of {on}" if on else ""
            line = f"inspect-kit setting {name}{of} --set-to VALUE --reason WHY"
            return f'the newest setting counts: {line}, on the same day with --found-at "{to}"'
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
        case Change(what=what):
            line = f"inspect-kit change {shlex.quote(what)} --decides {record.name} --answer ANSWER --asked WHOM"
            return f"the newest answer counts: {line}"
        case Phase(phase=name, demonstrated=demonstrated) if demonstrated:
            line = f"inspect-kit phase {name} --during --demonstrated NAME=VALUE"
            return f"the newest value counts, of a later day: {line}"
        case Work(parts=parts) if parts:
            line = "inspect-kit stock ITEM --amount AMOUNT"
            return f"the newest count of the shelf counts, of a later day: count what is there, {line}"
    return ""
