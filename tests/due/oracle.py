"""When things are due, written as plainly as can be, from the facts of `world`: no line of it is the program's own.

Every function walks the list of events from the first to the last, as a person would go through a logbook.
"""

import calendar
import datetime as dt
from decimal import Decimal
from typing import Any

Fact = dict[str, Any]
ORDER = ("past-due", "in-grace", "unknown", "soon", "later")


def add_months(date: dt.date, months: int, to_the_end: bool) -> dt.date:
    year, month = divmod(date.year * 12 + date.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return dt.date(year, month + 1, last if to_the_end else min(date.day, last))


def add(date: dt.date, number: int, unit: str) -> dt.date:
    if unit == "days":
        return date + dt.timedelta(days=number)
    if unit == "years":
        return add_months(date, 12 * number, False)
    return add_months(date, number, unit == "calendar months")


def told_totals(events: list[Fact]) -> list[Fact]:
    """Each event with the totals that its record counts at: its own, or those last told before."""
    found = []
    hours, landings, hobbs = None, None, None
    for event in events:
        if event["told"] or event["kind"] == "change":
            hours = event["total"]
            if event["kind"] != "change":
                landings, hobbs = event["landings"], event["hobbs"]
        found.append(event | {"h": hours, "landings": landings, "h on hobbs": hobbs})
    return found


def stay_list(events: list[Fact], position: str) -> list[Fact]:
    """Each stay of a part: serial, first and last event, own hours at its start."""
    stays: list[Fact] = []
    for event in events:
        if event.get("position") != position:
            continue
        if event["kind"] == "removed":
            stays[-1]["end"] = event
            continue
        new, overhaul = event.get("new"), event.get("overhaul")
        before = [stay for stay in stays if stay["serial"] == event["serial"]]
        if before:
            gained = before[-1]["end"]["h"] - before[-1]["start"]["h"]
            if new is None and before[-1]["new"] is not None:
                new = before[-1]["new"] + gained
            if overhaul is None and before[-1]["overhaul"] is not None:
                overhaul = before[-1]["overhaul"] + gained
        stays.append({"serial": event["serial"], "start": event, "end": None, "new": new, "overhaul": overhaul})
    return stays


def inside(stay: Fact, event: Fact) -> bool:
    first = stay["start"]["date"] <= event["date"]
    return first and (stay["end"] is None or event["date"] <= stay["end"]["date"])


def due_items(checks: list[Fact], events: list[Fact], today: dt.date, soon: tuple[int, int, int]) -> dict[str, Fact]:
    """For each check its state, whether it is owed, its calendar due date and its due totals."""
    events = told_totals(events)
    return {check["id"]: one(check, events, today, soon) for check in checks}


def done_list(check: Fact, events: list[Fact]) -> list[Fact]:
    found = []
    for event in events:
        if check["id"] in event.get("did", ()):
            found.append(event)
        if event["kind"] == "start" and check["id"] in event.get("last", {}):
            last = event["last"][check["id"]]
            # The landings then are not on record, and there is no earlier reading to estimate them from.
            found.append({"date": last["date"], "h": last["total"], "landings": None, "h on hobbs": None})
    return found


def trigger_list(check: Fact, events: list[Fact]) -> list[Fact]:
    verb, what = check["trigger"]
    if verb == "did":
        return [event for event in events if what in event.get("did", ())]
    if verb == "disturbed":
        return [event for event in events if event["kind"] == "disturbed"]
    return [event for event in events if event["kind"] == "installed" and event["position"] == what]


def one(check: Fact, events: list[Fact], today: dt.date, soon: tuple[int, int, int]) -> Fact:
    """All due points of a check: [date or None, unit, total or None, grace end]."""
    born = None if events[0]["brought"] else events[0] | {"h": Decimal(0), "landings": 0, "h on hobbs": Decimal(0)}
    now = {"h": [e["h"] for e in events if e["h"] is not None][-1]}
    now |= {unit: events[-1][unit] for unit in ("landings", "h on hobbs")}
    dones = done_list(check, events)
    stay, stays = None, []
    if check.get("on"):
        every_stay = stay_list(events, check["on"])
        if every_stay and every_stay[-1]["end"] is not None:
            return {"state": "unknown", "owed": False, "dates": [], "totals": []}
        if every_stay:
            stay = every_stay[-1]
            stays = [each for each in every_stay if each["serial"] == stay["serial"]]
            dones = [done for done in dones if any(inside(each, done) for each in stays)]
    points: list[Fact] = []
    owed = False

    def moved(event: Fact, unit: str) -> Any:
        """The total from which use counts on, for something done to a part that was away since."""
        value = event[unit]
        if stay is None or event["date"] >= stay["start"]["date"]:
            return value
        used = 0
        for each in stays[:-1]:
            if each["end"]["date"] <= event["date"]:
                continue
            begin = event if inside(each, event) else each["start"]
            if each["end"][unit] is None or begin[unit] is None:
                return None
            used += each["end"][unit] - begin[unit]
        return None if stay["start"][unit] is None else stay["start"][unit] - used

    def point(limit: tuple[Decimal, str], base: Fact | None) -> Fact | None:
        number, unit = limit
        if base is None:
            return None
        if unit in ("h", "landings", "h on hobbs"):
            start = base.get("value", {}).get(unit, moved(base, unit) if unit in base else None)
            return None if start is None else {"unit": unit, "total": start + number}
        return {"unit": "date", "date": add(base["date"], int(number), unit)}

    fitting = stay["start"] if stay else born
    after = None
    if check.get("trigger"):
        happened = trigger_list(check, events)
        if stays:
            # What happened before the part came to the aircraft does not concern it.
            happened = [event for event in happened if event["date"] >= stays[0]["start"]["date"]]
        after = happened[-1] if happened else None
        if after and not check.get("first"):
            owed = not any(done["date"] >= after["date"] for done in dones)

    shape = check["shape"]
    if shape == "date":
        if not dones:
            points.append({"unit": "date", "date": check["date"]})
        else:
            return {"state": "later", "owed": owed, "dates": [], "totals": []}
    elif shape == "once":
        if dones:
            return {"state": "later", "owed": owed, "dates": [], "totals": []}
        points += [point(limit, born) for limit in check["once"]]
    elif shape == "life":
        number, unit = check["life"][0]
        if unit == "years":
            points.append(point(check["life"][0], fitting))
        elif stay is None:
            points.append(point(check["life"][0], born))
        elif stay["new"] is not None and stay["start"]["h"] is not None:
            points.append({"unit": "h", "total": stay["start"]["h"] - stay["new"] + number})
    elif shape == "marked":
        marks = [event["until"] for event in events if event["kind"] == "mark" and check["id"] in event["did"]]
        if marks:
            points.append({"unit": "date", "date": marks[-1]})
    else:
        begun = True
        if check.get("first"):
            base = after if check.get("trigger") else fitting
            since = [done for done in dones if not (after and check.get("trigger")) or done["date"] > after["date"]]
            if base is not None:
                begun = bool(since)
                answered = 0
                for done in since:
                    passed = 0
                    for number, unit in check["first"]:
                        goal = point((number, unit), base)
                        at = moved(done, unit)
                        if goal and at is not None and at >= goal["total"]:
                            passed += 1
                    answered = max(answered + 1, passed)
                if answered < len(check["first"]):
                    points.append(point(check["first"][answered], base))
        if begun:
            for limit in check.get("every", ()):
                points.append(recurring(check, limit, dones, stay, fitting, point, moved))
        if check.get("with-inspection"):
            points.append(inspection_point(events, born))
    points = [each for each in points if each is not None]
    needs = shape in ("once", "life", "marked", "date") or bool(check.get("every"))
    states = [state_of(each, check, today, now, soon) for each in points]
    own = [each for each in points if not each.get("inspection")]
    if owed:
        state = "past-due"
    elif needs and not own:
        state = min([*states, "unknown"], key=ORDER.index)
    else:
        state = min(states, key=ORDER.index, default="later")
    return {
        "state": state,
        "owed": owed,
        "dates": sorted(each["date"] for each in points if each["unit"] == "date"),
        "totals": sorted((each["unit"], each["total"]) for each in points if each["unit"] != "date"),
    }


def recurring(
    check: Fact, limit: Any, dones: list[Fact], stay: Fact | None, fitting: Any, point: Any, moved: Any
) -> Any:
    """From done to done; with grace the next counts from the earlier of due and done."""
    unit = limit[1]
    base = fitting
    if stay is not None and unit == "h":
        own = stay["overhaul"] if stay["overhaul"] is not None else stay["new"]
        if own is not None and stay["start"]["h"] is not None:
            base = fitting | {"value": {"h": stay["start"]["h"] - own}}
    for done in dones:
        due = point(limit, base)
        base = done
        if check.get("grace") and due is not None:
            if due["unit"] == "date" and due["date"] < done["date"]:
                base = done | {"date": due["date"]}
            elif due["unit"] != "date" and moved(done, unit) is not None and due["total"] < moved(done, unit):
                base = done | {"value": {unit: due["total"]}}
    return point(limit, base)


def inspection_point(events: list[Fact], born: Fact | None) -> Fact | None:
    signed = [event for event in events if event["kind"] == "inspect" and event["signed"]]
    base = signed[-1] if signed else born
    if base is None:
        return None
    return {"unit": "date", "date": add(base["date"], 12, "calendar months"), "inspection": True}


def state_of(point: Fact, check: Fact, today: dt.date, now: Fact, soon: tuple[int, int, int]) -> str:
    hours, days, landings = soon
    grace = {unit: number for number, unit in check.get("grace", ())}
    if point.get("inspection"):
        grace = {}
    if point["unit"] == "date":
        if today > point["date"]:
            allowed = "days" in grace and today <= point["date"] + dt.timedelta(days=int(grace["days"]))
            return "in-grace" if allowed else "past-due"
        return "soon" if (point["date"] - today).days <= days else "later"
    total = now[point["unit"]] or 0
    if total > point["total"]:
        # Hours of grace are hours on the meter that the limit counts on.
        unit = point["unit"].partition(" ")[0]
        allowed = unit in grace and total <= point["total"] + grace[unit]
        return "in-grace" if allowed else "past-due"
    return "soon" if point["total"] - total <= (landings if point["unit"] == "landings" else hours) else "later"
