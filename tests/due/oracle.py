"""When things are due, written as plainly as can be from README, "When it is due": no line of it is the program's own.

It walks the facts of `world` from the first to the last, as a person would go through a logbook, and knows of them only
what the records say: dates, the meters that a record reads, and the order in which they were written.
"""

import calendar
import datetime as dt
from decimal import Decimal
from itertools import permutations
from typing import Any

Fact = dict[str, Any]
ORDER = ("past-due", "in-grace", "unknown", "soon", "later")
UNITS = {"h": "h", "landings": "landings", "h on hobbs": "hobbs"}
READ = {"h": "tach", "landings": "landings", "hobbs": "hobbs"}


def add_months(date: dt.date, months: int, to_the_end: bool) -> dt.date:
    year, month = divmod(date.year * 12 + date.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return dt.date(year, month + 1, last if to_the_end else min(date.day, last))


def add(date: dt.date, number: Decimal, unit: str) -> dt.date:
    if unit == "days":
        return date + dt.timedelta(days=int(number))
    if unit == "years":
        return add_months(date, 12 * int(number), False)
    return add_months(date, int(number), unit == "calendar months")


class Book:
    """The facts with what the records leave open: for each the least and the most that a meter can have had."""

    def __init__(self, events: list[Fact]) -> None:
        self.events = events
        self.told: dict[str, list[tuple[dt.date, Any, str]]] = {meter: [] for meter in READ}
        for event in events:
            for meter in READ:
                if READ[meter] in event["reads"]:
                    if event["kind"] == "change":
                        # The old meter's last reading comes before what nobody read.
                        self.told[meter].append((event["date"], event[meter] - event["unrecorded"], "old"))
                    self.told[meter].append((event["date"], event[meter], event["kind"]))
        self.at: list[Fact] = []
        for event in events:
            low, high = {}, {}
            for meter in READ:
                if READ[meter] in event["reads"]:
                    low[meter] = high[meter] = event[meter]
                else:
                    low[meter] = self.begun(meter, event["date"])
                    later = [value for date, value, _ in self.told[meter] if date > event["date"]]
                    high[meter] = later[0] if later else self.evening(meter, event["date"])
            self.at.append({"date": event["date"], "low": low, "high": high, "read": "tach" in event["reads"]})
            self.at[-1]["evening"] = low["h"] if "tach" in event["reads"] else self.evening("h", event["date"])
            self.at[-1] |= {"record": event["number"], "brought": False}
            self.at[-1]["own"] = {meter for meter in READ if READ[meter] in event["reads"]}

    def begun(self, meter: str, date: dt.date) -> Any:
        """With what a day began. A past brought forward stands before everything else of its day."""
        told = self.told[meter]
        before = [value for when, value, kind in told if when < date or (when == date and kind == "start")]
        if before:
            return before[-1]
        return None if not told or any(kind == "start" for _, _, kind in told) else 0

    def evening(self, meter: str, date: dt.date) -> Any:
        """With what a day ended."""
        same = [value for when, value, _ in self.told[meter] if when == date]
        return same[-1] if same else self.begun(meter, date)

    def now(self, meter: str) -> Any:
        return self.told[meter][-1][1] if self.told[meter] else None

    def brought_event(self) -> Fact | None:
        return next((event for event in self.events if event["kind"] == "start"), None)

    def brought_moment(self, date: dt.date | None, said: Fact) -> Fact:
        start = self.brought_event()
        assert start is not None
        low = {meter: said.get(meter) for meter in READ}
        # What read less than what is brought forward on its day came before that: what else it had nobody knows.
        less = date == start["date"] and any(value is not None and value < start[meter] for meter, value in low.items())
        for meter in READ:
            if low[meter] is None and date is not None and not less:
                low[meter] = self.begun(meter, date)
        moment = {"date": date, "low": low, "high": low, "read": said.get("h") is not None, "evening": low["h"]}
        own = {meter for meter in READ if said.get(meter) is not None}
        return moment | {"record": start["number"], "brought": True, "own": own}

    def certificate(self) -> Fact | None:
        """The beginning of the certificate date, where records begin at 0."""
        if not self.told["h"] or self.told["h"][0][1] != 0 or self.brought_event():
            return None
        date = dt.date(2018, 1, 15)
        low = {meter: self.begun(meter, date) for meter in READ}
        begun = {"date": date, "low": low, "high": low, "read": True, "evening": low["h"]}
        return begun | {"record": -1, "brought": False}


def after(later: Fact, earlier: Fact) -> bool:
    """Whether something is done after something else, or with it."""
    if later["record"] == earlier["record"] and later["date"] == earlier["date"]:
        return True
    if later["date"] is None or earlier["date"] is None:
        return False
    if later["date"] != earlier["date"]:
        return bool(later["date"] > earlier["date"])
    if not later["read"] and not earlier["read"]:
        return True
    most, least = earlier["evening"], later["low"]["h"]
    return most is not None and least is not None and most <= least


def clearly_before(one: Fact, other: Fact) -> bool:
    if one["date"] is not None and one["date"] == other["date"] and not (one["read"] and other["read"]):
        return False
    return after(other, one) and not after(one, other)


def place(moment: Fact) -> tuple[dt.date, Any]:
    return moment["date"] or dt.date.min, moment["low"]["h"] or 0


def moves_in_order(book: Book) -> list[tuple[Fact, Fact]]:
    """The facts; the fittings of one day and position in an order in which they can be that errs on the early side.

    What is read keeps its order. Where that leaves several, the part that stays is fitted at the least total, and one
    that is out at the end of the day came out as late as it can have.
    """
    facts = list(zip(book.events, book.at, strict=True))
    days: dict[tuple[dt.date, str], list[int]] = {}
    for number, (event, _) in enumerate(facts):
        if event["kind"] in ("installed", "removed"):
            days.setdefault((event["date"], event["position"]), []).append(number)
    for numbers in days.values():
        if len(numbers) < 3:
            continue
        first = facts[numbers[0]][0]
        there = first["serial"] if first["kind"] == "removed" else None
        orders = [order for order in permutations([facts[number] for number in numbers]) if can_be(order, there)]
        # Of those that are equally early the one by the totals at which they count, then by what was written first.
        best = min(orders, key=lambda order: (how_late(*order[-1]), [at["low"]["h"] or 0 for _, at in order]))
        for number, fact in zip(numbers, best, strict=True):
            facts[number] = fact
    return facts


def how_late(event: Fact, at: Fact) -> Any:
    """Of what is the last of a day: the least total of a fitting, the most of a removal, the worst first."""
    return at["low"]["h"] or 0 if event["kind"] == "installed" else -(at["high"]["h"] or 0)


def can_be(order: tuple[tuple[Fact, Fact], ...], there: str | None) -> bool:
    """Whether what was fitted and taken out can have been so one after the other."""
    read = [at["low"]["h"] for _, at in order if at["read"]]
    if read != sorted(read):
        return False
    for event, _ in order:
        if (there is None) != (event["kind"] == "installed") or (there is not None and there != event["serial"]):
            return False
        there = event["serial"] if event["kind"] == "installed" else None
    return True


def stay_list(book: Book) -> dict[str, list[Fact]]:
    """Each stay of each part by position, with all stays of that part before it, and what is its own at its start."""
    fitted: dict[str, Fact] = {}
    found: dict[str, list[Fact]] = {}
    parts: list[Fact] = []

    def put(position: str, said: Fact, start: Fact, told: Fact) -> None:
        same = [
            part
            for part in parts
            if part["serial"] == said["serial"] != "none"
            and (not part["name"] or not said.get("part") or part["name"] == said["part"])
        ]
        if not same:
            parts.append({"serial": said["serial"], "name": said.get("part", ""), "stays": []})
            same = [parts[-1]]
        part = same[-1]
        part["name"] = part["name"] or said.get("part", "")
        stay = {"position": position, "start": start, "told": told, "end": None, "part": part, "serial": said["serial"]}
        stay |= own_things(part["stays"], said, stay)
        stay["before"] = list(part["stays"])
        part["stays"].append(stay)
        fitted[position] = stay
        found.setdefault(position, []).append(stay)

    for event, at in moves_in_order(book):
        if event["kind"] == "start":
            for position, said in event["fitted"].items():
                put(position, said, book.brought_moment(said.get("fitted-on"), {}), at)
        elif event["kind"] == "installed":
            put(event["position"], event, at, at)
        elif event["kind"] == "removed":
            fitted.pop(event["position"])["end"] = at
    return found


def own_things(before: list[Fact], said: Fact, stay: Fact) -> Fact:
    """First fitting, making, overhaul and own hours of a part at the start of a stay."""
    new, overhaul = said.get("new"), said.get("overhaul")
    first, made, overhauled = said.get("fitted-on"), said.get("made"), said.get("overhauled")
    brought = stay["start"]["brought"]
    if not before:
        if not brought:
            first = min(first, stay["start"]["date"]) if first else stay["start"]["date"]
        ages = {"first": first, "made": made, "overhauled": overhauled}
        return {"new": new, "least": new, "overhaul": overhaul, **ages}
    last = before[-1]
    low, high = last["told"]["low"]["h"], last["end"]["high"]["h"]
    ran = None if low is None or high is None else high - low
    least = None
    if last["least"] is not None and low is not None and last["end"]["low"]["h"] is not None:
        least = last["least"] + last["end"]["low"]["h"] - last["told"]["high"]["h"]
    if new is not None and least is not None and new < least:
        new = None  # No part grows younger.
    if new is not None:
        least = new
    if new is None and last["new"] is not None and ran is not None:
        new = last["new"] + ran
    if overhauled is not None:
        overhaul = Decimal(0) if overhaul is None else overhaul
    else:
        overhauled = last["overhauled"]
        if overhaul is None and last["overhaul"] is not None and ran is not None:
            overhaul = last["overhaul"] + ran
    made = min([each for each in (made, last["made"]) if each], default=None)
    first = min([each for each in (first, last["first"]) if each], default=None)
    ages = {"first": first, "made": made, "overhauled": overhauled}
    return {"new": new, "least": least, "overhaul": overhaul, **ages}


def inside(stay: Fact, done: Fact) -> bool:
    if stay["start"]["brought"] and done["brought"]:
        begun = not done["date"] or not stay["start"]["date"] or stay["start"]["date"] <= done["date"]
    elif stay["start"]["date"] is None:
        begun = after(done, stay["told"])
    else:
        begun = after(done, stay["start"])
    if not begun or stay["end"] is None:
        return bool(begun)
    unclear = done["date"] == stay["end"]["date"] and not (done["read"] and stay["end"]["read"])
    return not unclear and after(stay["end"], done)


def done_in(stay: Fact, done: Fact, others: list[Fact]) -> bool:
    """Whether it was done to the part in that stay, and not perhaps to another one that came in after it."""
    if not inside(stay, done):
        return False
    if stay["end"] is None or clearly_before(done, stay["end"]):
        return True
    return not any(
        not clearly_before(other["start"], stay["end"])
        and not clearly_before(done, other["start"])
        and (other["end"] is None or not clearly_before(other["end"], done))
        for other in others
    )


def same_readings(one: Fact, other: Fact) -> bool:
    """Whether two records read the same, as far as both of them read anything."""
    both = one["own"] & other["own"]
    if one["low"] == other["low"]:
        return True
    return bool(both) and all(one["low"][meter] == other["low"][meter] for meter in both)


def done_list(check: Fact, book: Book) -> list[Fact]:
    found = []
    for event, at in zip(book.events, book.at, strict=True):
        if check["id"] in event.get("did", ()):
            twin = next((each for each in found if each["date"] == at["date"] and same_readings(each, at)), None)
            if twin is None:
                found.append(at)
            elif twin["own"] < at["own"]:
                # The one that reads more says better when it was.
                found[found.index(twin)] = at
        if event["kind"] == "start" and check["id"] in event["last"]:
            said = event["last"][check["id"]]
            found.append(book.brought_moment(said["date"], said))
    return sorted(found, key=place)


def trigger_list(check: Fact, book: Book) -> list[tuple[Fact, bool]]:
    """What `owed-after` names, and whether it is a fitting."""
    verb, what = check["trigger"]
    if verb == "did":
        return [(done, False) for done in done_list({"id": what}, book)]
    found = []
    for event, at in zip(book.events, book.at, strict=True):
        if verb == "disturbed" and event["kind"] == "disturbed":
            found.append((at, False))
        if verb == "installed" and event["kind"] == "installed" and event["position"] == what:
            found.append((at, True))
    return found


class One:
    """One check: the points that follow from the records, and what is not known."""

    def __init__(self, check: Fact, book: Book, stays: dict[str, list[Fact]]) -> None:
        self.check, self.book = check, book
        self.points: list[Fact] = []
        self.unknown = self.owed = self.empty = False
        self.dones = done_list(check, book)
        self.stay: Fact | None = None
        self.here: list[Fact] = []
        if check.get("on") and stays.get(check["on"]):
            last = stays[check["on"]][-1]
            self.empty = last["end"] is not None
            self.stay = last
            self.here = [each for each in (*last["before"], last) if each["position"] == check["on"]]
            others = [each for each in stays[check["on"]] if each["part"] is not last["part"]]
            self.dones = [done for done in self.dones if any(done_in(each, done, others) for each in self.here)]
        self.triggers = trigger_list(check, book) if check.get("trigger") else []
        if self.here:
            self.triggers = [each for each in self.triggers if not clearly_before(each[0], self.here[0]["start"])]

    def used_before(self, meter: str, done: Fact | None) -> Any:
        """What the part had of its own before its present stay; since something done to it, or from the first."""
        assert self.stay is not None
        used, begun, own = Decimal(0), done is None, None
        for each in self.stay["before"]:
            start = each["start"]["low"][meter]
            if not begun:
                if not inside(each, done or {}):
                    continue
                assert done is not None
                begun, start = True, done["low"][meter]
                told = each["told"]["high"]["h"]
                if each["least"] is not None and told is not None and done["low"]["h"] is not None:
                    own = each["least"] + done["low"]["h"] - told
            if start is None or each["end"]["high"][meter] is None:
                return None
            used += each["end"]["high"][meter] - start
        if meter == "h" and own is not None and self.stay["new"] is not None:
            used = max(used, self.stay["new"] - own)
        return used

    def total_of(self, done: Fact, meter: str) -> Any:
        """The total from which use counts on, moved for a part that was away."""
        if self.stay is None or inside(self.stay, done):
            return done["low"][meter]
        used, start = self.used_before(meter, done), self.stay["start"]["low"][meter]
        return None if used is None or start is None else start - used

    def from_start(self, unit: str, own_hours: bool) -> Any:
        """The date or the total that something never done counts from."""
        calendar_unit = unit not in UNITS
        if self.stay is None:
            begun = self.book.certificate()
            if begun is None:
                return None
            return begun["date"] if calendar_unit else begun["low"][UNITS[unit]]
        stay = self.stay
        if calendar_unit:
            dates = [stay["first"]] + ([stay["overhauled"]] if own_hours else [])
            return max((date for date in dates if date), default=None)
        meter = UNITS[unit]
        own = stay["overhaul"] if stay["overhaul"] is not None else stay["new"]
        if own_hours and own is not None and meter != "landings":
            told = stay["told"]["low"][meter]
            return None if told is None else told - own
        earliest = (*stay["before"], stay)[0]["start"]["date"]
        if earliest is not None and stay["first"] is not None and stay["first"] < earliest:
            return None  # It ran elsewhere before.
        used, start = self.used_before(meter, None), stay["start"]["low"][meter]
        return None if used is None or start is None else start - used

    def put(self, limit: tuple[Any, ...], base: Any, grace: Any = None) -> Fact | None:
        """One due point from a date or a total; unknown without one."""
        if base is None:
            self.unknown = True
            return None
        number, unit = limit[:2]
        if unit in UNITS:
            point = {"unit": UNITS[unit], "total": base + number}
        else:
            point = {"unit": "date", "date": add(base, number, unit)}
        if grace is not None:
            point["grace"] = grace
        self.points.append(point)
        return point

    def answers(self, done: Fact, moment: Fact) -> bool:
        """Whether it was done after what made it owed; in one record, whether it is named behind that."""
        if done["brought"] or done["record"] != moment["record"] or self.check["trigger"][0] != "did":
            return after(done, moment)
        named = next(event["did"] for event in self.book.events if event["number"] == done["record"])
        return bool(named.index(self.check["trigger"][1]) < named.index(self.check["id"]))

    def owed_now(self) -> None:
        if self.check.get("first"):
            return
        for moment, _ in self.triggers:
            if any(self.answers(done, moment) for done in self.dones):
                continue
            if moment["brought"]:
                self.unknown = True
            else:
                self.owed = True

    def landings_at_overhaul(self) -> Any:
        """The landings, those on the bench left out, at the last fitting with nothing run since an overhaul."""
        assert self.stay is not None
        stays, begun = [*self.stay["before"], self.stay], None
        for number, each in enumerate(stays):
            if each["overhaul"] == 0 and not each["start"]["brought"]:
                last = stays[number - 1] if number else None
                if last is not None and last["overhaul"] == 0 and last["overhauled"] == each["overhauled"]:
                    low, high = last["end"]["low"]["h"], last["told"]["high"]["h"]
                    if low is None or high is None or low == high:
                        continue
                begun = number
        if begun is None:
            return self.from_start("landings", False)
        used = [self.stay["start"]["low"]["landings"]]
        for each in stays[begun:-1]:
            used += [each["end"]["high"]["landings"], each["start"]["low"]["landings"]]
        return None if None in used else used[0] - sum(used[1::2]) + sum(used[2::2])

    def lives(self) -> None:
        for number, unit, start in self.check["life"]:
            limit = (number, unit)
            stay = self.stay
            if stay is None:
                self.put(limit, self.from_start(unit, False) if start == "fitted" else None)
            elif unit == "landings":
                self.put(limit, self.landings_at_overhaul() if start == "overhaul" else self.from_start(unit, False))
            elif unit == "h":
                never = stay["overhaul"] is None and stay["overhauled"] is None
                own = stay["new"] if start != "overhaul" or never else stay["overhaul"]
                told = stay["told"]["low"]["h"]
                self.put(limit, None if own is None or told is None else told - own)
            else:
                never = stay["overhaul"] is None and stay["overhauled"] is None
                date = {"fitted": stay["first"], "made": stay["made"], "overhaul": stay["overhauled"]}[start]
                self.put(limit, stay["made"] if start == "overhaul" and never else date)

    def begins(self) -> list[Fact]:
        """What lists of `first` run from."""
        found = list(self.triggers)
        if self.stay is not None:
            found = [each for each in found if not each[1] or each[0]["record"] != self.stay["start"]["record"]]
            found.append((self.stay["start"], True))
        elif not self.check.get("trigger") and (begun := self.book.certificate()):
            found.append((begun, True))
        fittings = sorted((moment for moment, fitting in found if fitting), key=place)
        last = fittings[-1] if fittings else None
        chosen = [] if last is None else [last]
        return chosen + [
            moment for moment, fitting in found if not fitting and (last is None or not clearly_before(moment, last))
        ]

    def firsts(self) -> bool:
        """The entries still asked for; whether there was a beginning."""
        begins = self.begins()
        for begin in begins:
            since = [done for done in self.dones if not clearly_before(done, begin)]
            if begin["brought"] and not since:
                self.unknown = True
                continue
            left = list(self.check["first"])
            for done in since:
                left = [entry for entry in left if not self.reached(entry, begin, done, False)]
                if left and self.reached(left[0], begin, done, True):
                    left.pop(0)
            for number, unit in left:
                base = begin["low"][UNITS[unit]] if unit in UNITS else begin["date"]
                if base is None and begin["brought"]:
                    continue
                self.put((number, unit), base)
        return bool(begins)

    def reached(self, entry: tuple[Decimal, str], begin: Fact, done: Fact, nearly: bool) -> bool:
        number, unit = entry
        if unit not in UNITS:
            if begin["date"] is None or done["date"] is None or done["date"] <= begin["date"]:
                return False
            due = add(begin["date"], number, unit)
            left = Decimal((due - done["date"]).days)
            return left <= (Decimal((due - begin["date"]).days) / 5 if nearly else 0)
        start, total = begin["high"][UNITS[unit]], done["low"][UNITS[unit]]
        if start is None or total is None or total <= start:
            return False
        few = max(number / 5, Decimal("0.5") if unit != "landings" else Decimal(0))
        return bool(start + number - total <= (few if nearly else 0))

    def recurring(self, limit: tuple[Decimal, str]) -> None:
        """From done to done; grace of its own kind is taken off."""
        number, unit = limit
        grace = None
        for allowed, kind in self.check.get("grace", ()):
            if (kind == unit) or (kind == "days" and unit in ("days", "months", "years")):
                grace = allowed
        base = self.from_start(unit, True)
        for done in self.dones:
            at = self.total_of(done, UNITS[unit]) if unit in UNITS else done["date"]
            if at is not None and base is not None and grace is not None:
                if unit in UNITS:
                    over = at - (base + number)
                    at -= min(max(over, 0), grace)
                else:
                    over = (at - add(base, number, unit)).days
                    at -= dt.timedelta(days=int(min(max(over, 0), grace)))
            base = at
        self.put(limit, base, grace)

    def answer(self) -> None:
        check, shape = self.check, self.check["shape"]
        self.owed_now()
        if shape == "date":
            if not self.dones:
                self.points.append({"unit": "date", "date": check["date"]})
        elif shape == "once":
            for limit in () if self.dones else check["once"]:
                self.put(limit, self.from_start(limit[1], False))
        elif shape == "life":
            self.lives()
        elif shape == "marked":
            self.put((Decimal(0), "days"), self.marked())
        else:
            begun = self.firsts() if check.get("first") else False
            new = self.stay is not None and not self.stay["before"] and not self.stay["start"]["brought"]
            if self.stay is not None:
                new = new and not (self.stay["overhaul"] if self.stay["overhaul"] is not None else self.stay["new"])
            elif not check.get("trigger"):
                new = True
            if not (begun and new and not self.dones):
                for limit in check.get("every", ()):
                    self.recurring(limit)
        if check.get("with-inspection"):
            self.with_inspection()

    def marked(self) -> dt.date | None:
        """The last date marked; of several of one day that could have come in any order the earliest."""
        book = self.book
        marks = [
            (at, event["until"])
            for event, at in zip(book.events, book.at, strict=True)
            if event["kind"] == "mark" and self.check["id"] in event["did"]
        ]
        last = [(until, at) for at, until in marks if not any(clearly_before(at, other) for other, _ in marks)]
        until, at = min(last, key=lambda each: each[0], default=(None, None))
        # A doing after it, of which no date is told, leaves open which date the part carries now.
        if at is not None and self.dones and clearly_before(at, self.dones[-1]):
            self.unknown = True
        return until

    def with_inspection(self) -> None:
        signed = [
            at
            for event, at in zip(self.book.events, self.book.at, strict=True)
            if event["kind"] == "inspect" and event["signed"] and event["passed"]
        ]
        begun = signed[-1] if signed else self.book.certificate()
        self.put((Decimal(12), "calendar months"), begun["date"] if begun else None)


def due_items(checks: list[Fact], events: list[Fact], today: dt.date, soon: tuple[int, int, int]) -> dict[str, Fact]:
    """For each check its state, whether it is owed, its calendar due dates and its due totals."""
    book = Book(events)
    stays = stay_list(book)
    return {check["id"]: one(check, book, stays, today, soon) for check in checks}


def one(check: Fact, book: Book, stays: dict[str, list[Fact]], today: dt.date, soon: tuple[int, int, int]) -> Fact:
    made = One(check, book, stays)
    if made.empty:
        return {"state": "unknown", "owed": False, "dates": [], "totals": []}
    made.answer()
    states = [state_of(point, book, today, soon) for point in made.points] + ["unknown"] * made.unknown
    return {
        "state": "past-due" if made.owed else min(states, key=ORDER.index, default="later"),
        "owed": made.owed,
        "dates": sorted(each["date"] for each in made.points if each["unit"] == "date"),
        "totals": sorted((each["unit"], each["total"]) for each in made.points if each["unit"] != "date"),
    }


def state_of(point: Fact, book: Book, today: dt.date, soon: tuple[int, int, int]) -> str:
    hours, days, landings = soon
    grace = point.get("grace") or 0
    if point["unit"] == "date":
        if today > point["date"]:
            return "in-grace" if today <= point["date"] + dt.timedelta(days=int(grace)) else "past-due"
        return "soon" if (point["date"] - today).days <= days else "later"
    total = book.now(point["unit"])
    if total is None:
        return "unknown"
    if total > point["total"]:
        return "in-grace" if total <= point["total"] + grace else "past-due"
    return "soon" if point["total"] - total <= (landings if point["unit"] == "landings" else hours) else "later"
