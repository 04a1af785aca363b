"""The past, item by item, as `new` asks it: when each was last done, or until when what is marked is good.

Each is named by its title and its words, as it stands on its panel's page; an answer that has run out is asked back.
"""

import datetime as dt
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal

from inspect_kit.cli.kept_answers import SAME, Answers, Back, optional
from inspect_kit.cli.said import BACK, NO, YES, say, yes_or_no
from inspect_kit.model.checklist import DID, INSTALLED, Check, Trigger
from inspect_kit.model.interval import HOURS, AtInspection, Limit, Term
from inspect_kit.past import parse_said_date, parse_said_last_day
from inspect_kit.text.grammar import Unreadable, parse_date, parse_number

NONE = "none"
WITH_IT = "with the inspection"
NAME = "condition"
WITH = "steps after"
AGAIN = "once more after"
# From so many on what is owed after one of them is asked at once.
SEVERAL = 2
# `14 March 2026` has three, and no form of a date more.
DATE_WORDS = 3


class PastAnswers:
    """The questions about the items of the starter, in the order of its files; `read` has them as they are made of the
    answers so far.

    `earlier` has what was answered of an item before the answer to another one made it owed once more.
    """

    def __init__(self, answers: Answers, read: Callable[[], Iterable[Check]], today: dt.date) -> None:
        self.answers, self.read, self.today = answers, read, today
        self.checks: tuple[Check, ...] = ()
        self.titles: dict[str, str] = {}
        self.earlier: dict[str, str] = {}
        self.explained = False

    def read_checks(self) -> None:
        """The items of this aircraft: those of a position of which it was said that there is none are left out."""
        every = tuple(self.read())
        self.titles = {check.id: check.title for check in every}
        self.checks = tuple(each for each in every if self.answers.told.get(f"has {each.counts_on}") != NO)

    def ask(self) -> None:
        """Ended after a full stop; Back where the question before is to be asked again."""
        try:
            self._ask()
        except Back:
            # What follows from answers follows anew from those that are left.
            told, order = self.answers.told, self.answers.order
            for key in [key for key in told if key.startswith("last ") and key not in order]:
                del told[key]
            told |= {key: value for key, value in self.earlier.items() if key in order}
            self.earlier.clear()
            raise

    def _ask(self) -> None:
        told = self.answers.told
        self.read_checks()
        with_it = self._with_it()
        if with_it and told["last_inspection"] != NONE:
            if WITH_IT not in told:
                names = "; ".join(check.title for check in with_it)
                say(f"Now the past. {len(with_it)} items come with each condition inspection alone: {names}.", err=True)
            optional(self.answers, WITH_IT, "All done at the last one (yes, no; Enter: each is asked)", read_yes_or_no)
        seen: set[str] = set()
        for check in self.checks:
            if self._by_itself(check) or any(not self._asked_behind(trigger) for trigger, _ in self._causes(check)):
                self._with_followers(check, seen)

    def _by_itself(self, check: Check) -> bool:
        return _has_due_point(check) and check not in self._told_at_once()

    def _with_followers(self, check: Check, seen: set[str]) -> None:
        """The question about a check, and behind it those about what its answer would have made owed."""
        if check.id in seen:
            return
        seen.add(check.id)
        self._item(check)
        self._steps(check)
        for each in self.checks:
            if self._owed_by(each, check) and not self._by_itself(each):
                self._with_followers(each, seen)

    def _owed_by(self, check: Check, before: Check) -> bool:
        """Whether the answer to one made another one owed. What a later answer made it owed, which whoever goes back
        has given by now, is asked behind that.
        """
        return any((trigger.verb, trigger.what) == (DID, before.id) for trigger, _ in self._causes(check))

    def _asked_behind(self, trigger: Trigger) -> bool:
        """Whether what it made owed is asked behind the question about itself."""
        return trigger.verb == DID and f"last {trigger.what}" in self.answers.told

    def _steps(self, check: Check) -> None:
        """Of what is owed after it, in several steps, whether all of it was done then."""
        told = self.answers.told
        steps = self._following(check) if told.get(f"last {check.id}") and not check.marked else []
        before = {f"last {each.id}": each for each in steps if f"last {each.id}" in told}
        if len(steps) < SEVERAL and not before:
            return
        many = "1 step" if len(steps) == 1 else f"{len(steps)} steps"
        names = "; ".join(each.title for each in steps)
        words = f"After `{check.title}` {many}: {names}\n  All done then (yes, no; Enter: each is asked)"
        optional(self.answers, f"{WITH} {check.id}", words, read_yes_or_no)
        self.earlier = {key: told[key] for key in before} | self.earlier
        if told[f"{WITH} {check.id}"] == YES:
            told |= {f"last {each.id}": told[f"last {check.id}"] for each in steps}
            return
        for key, each in before.items():
            again = f"{AGAIN} {check.id}: {each.id}"
            self.answers.before.setdefault(again, told[key])
            self._item(each, again)
            told[key] = told[again]

    def _following(self, check: Check) -> list[Check]:
        """What would be asked as owed after it, and after that, if all were done with it; what was done before is owed
        once more."""
        told, found = self.answers.told, [check]
        known: dict[str, str | None] = {}
        for before in found:
            for each in self.checks:
                after = not (each.first or each.marked) and self._owed_by(each, before)
                own = not self._by_itself(each) or _comes_with_inspection(each)
                key = f"last {each.id}"
                is_open = own if key not in told else "" < _day(told[key]) < _day(told[f"last {check.id}"])
                if after and is_open:
                    found.append(each)
                    known[key] = told.get(key)
                    told[key] = told[f"last {check.id}"]
        for key, value in known.items():
            if value is None:
                del told[key]
            else:
                told[key] = value
        return found[1:]

    def _counted(self, check: Check) -> str:
        """`12 of 34`; `after 12 of 34` for what an answer made owed, of which nobody knew before that it is asked."""
        asked = [each for each in self.checks if self._by_itself(each) or self._after_fitting(each)]
        done = sum(f"last {each.id}" in self.answers.told for each in asked)
        return f"{done + 1} of {len(asked)}" if check in asked else f"after {done} of {len(asked)}"

    def _after_fitting(self, check: Check) -> bool:
        return any(trigger.verb == INSTALLED for trigger, _ in self._causes(check))

    def fill(self) -> None:
        """What follows from one answer for all that comes with the inspection, and was not asked by itself."""
        self.read_checks()
        for check in self._told_at_once():
            self.answers.told.setdefault(f"last {check.id}", self._inspected())

    def _item(self, check: Check, again: str = "") -> None:
        key = again or f"last {check.id}"
        if key in self.answers.told:
            return
        if not self.explained:
            say(
                "Item by item: date, total time then, logbook and page, such as "
                f"`2026-05-14, 402.0, engine log p. 12`. Enter: not known; {SAME} the same as the one before (at first "
                "the last inspection), but for a date that a part carries. A full stop ends the questions.",
                err=True,
            )
            self.explained = True
        if check.marked:
            words, read = "Good until, the date on it (Enter: not known)", self._until
        else:
            words, read = f"{self._how_often(check)}: last done (Enter: not known)", self._or_same
        words = f"{'once more' if again else self._counted(check)}: {check.text}\n  {words}"
        optional(self.answers, key, words, read, lambda value: self._doubt(check, value))

    def _with_it(self) -> tuple[Check, ...]:
        return tuple(check for check in self.checks if _comes_with_inspection(check))

    def _told_at_once(self) -> tuple[Check, ...]:
        return self._with_it() if self.answers.told.get(WITH_IT) == YES else ()

    def _inspected(self) -> str:
        told = self.answers.told
        return f"{told['last_inspection']}, {told['last_total']}, {told['last_paper']}"

    def _until(self, typed: str) -> str:
        """The date on a part until which it is good; no other part's will do"""
        if typed == SAME:
            raise Unreadable(f"each part carries a date of its own, so {SAME} is none: read it there, or Enter")
        return str(parse_said_last_day(typed, self.today))

    def _last_done(self, typed: str) -> str:
        """DATE [, TOTAL] [, PAPER], the commas left out as one likes; kept with both commas"""
        most = parse_number(total_today(self.answers.told))
        day, said = self._date_at_the_beginning(typed)
        # Before three digits a comma may part thousands.
        typed = day.isoformat() + re.sub(r"^(,?\s+[0-9]+),([0-9]{1,2})(?=[\s,]|$)", r"\1.\2", typed[len(said) :])
        match = re.fullmatch(r"(\S+?)(?:[\s,]+([0-9.]+)(?=[\s,]|$))?(?:[\s,]+(.*))?,*", typed)
        if match is None:
            raise Unreadable("expected a date, such as 2026-05-14")
        date, total, paper = match.groups(default="")
        if total and re.match(r",\d", typed[match.end(2) :]):
            raise Unreadable(f"`{total}{typed[match.end(2) :][:4]}`: write the total with a point, such as 402.0")
        if parse_date(date) > self.today:
            raise Unreadable(f"{date} is in the future")
        if total and parse_number(total) > most:
            raise Unreadable(f"{total} is above the total today, {most}")
        for day, then in self._totals() if total else ():
            if (parse_date(date) - day).days * (parse_number(total) - then) < 0:
                told = f"{then} stood on {day}, so {total} on {date} cannot be"
                raise Unreadable(f"{told}: correct it, leave the total out, or go back to the other with {BACK}")
        return f"{date}, {total}, {paper.strip(' ,')}"

    def _totals(self) -> Iterator[tuple[dt.date, Decimal]]:
        """The totals that were answered so far, each with its day."""
        told = self.answers.told
        known = [value for key, value in told.items() if key.startswith("last ") and value.count(",") > 1]
        for answer in [*known, *([self._inspected()] if told["last_inspection"] != NONE else [])]:
            date, total, _ = (part.strip() for part in answer.split(",", 2))
            if total:
                yield parse_date(date), parse_number(total)

    def _date_at_the_beginning(self, typed: str) -> tuple[dt.date, str]:
        """The date that an answer begins with, in any form that people type, and the words that are it."""
        words = typed.split(" ")[:DATE_WORDS]
        why: Unreadable | None = None
        for many in range(len(words), 0, -1):
            said = " ".join(words[:many]).rstrip(",")
            try:
                return parse_said_date(said, self.today), said
            except Unreadable as fault:
                # Which day or year is meant says more than what a date is.
                why = fault if why is None or not fault.message.startswith("expected") else why
        raise why or Unreadable("expected a date, such as 2026-05-14")

    def _or_same(self, typed: str) -> str:
        """`=` is what was answered to the question before, at first the last inspection; else as `_last_done` says"""
        if typed != SAME:
            return self._last_done(typed)
        told = self.answers.told
        before = [told[key] for key in self.answers.order if key.startswith("last ") and told[key].count(",") > 1]
        if not before and told["last_inspection"] == NONE:
            raise Unreadable("nothing was answered before: say a date, such as 2026-05-14, or Enter")
        return before[-1] if before else self._inspected()

    def _doubt(self, check: Check, value: str) -> str:
        """What is doubtful in when it was last done, or in the date that it carries: "" if nothing is."""
        told = self.answers.told
        if check.marked:
            return f"It ran out on {value}." if parse_date(value) < self.today else ""
        date, total, _ = (part.strip() for part in value.split(",", 2))
        inspected = told["last_inspection"]
        if check.at_inspection(NAME) and inspected != NONE and parse_date(date) < parse_date(inspected):
            return f"That is before the last condition inspection, {inspected}, with which it comes."
        # Of a part that was fitted nobody knows when nobody can say that it was later.
        if owed := [self._after(trigger, day) for trigger, day in self._causes(check) if day > date]:
            return f"It is owed after {owed[0]}, which was later."
        limits = [term for term in check.every if isinstance(term, Limit)]
        if over := [
            until for term in limits if term.is_calendar and (until := term.due_date(parse_date(date))) < self.today
        ]:
            return f"It ran out on {min(over)}."
        now = parse_number(total_today(told))
        ends = [parse_number(total) + term.number for term in limits if total and _in_hours(term)]
        if any(end < now for end in ends):
            return f"It ran out at a total of {min(ends)} h."
        same_day = [then for day, then in self._totals() if total and str(day) == date]
        if other := [then for then in same_day if then != parse_number(total)]:
            return f"Another answer says that the total was {other[0]} on that day."
        if not total and any(map(_in_hours, limits)):
            return "Without the total time then nobody can say when it is due by hours."
        return ""

    def _causes(self, check: Check) -> list[tuple[Trigger, str]]:
        """What the answers tell that made it owed, and when, "" where that is not known: then only an answer says
        whether it was done after that.

        What was done with the last inspection answers all that was done by then.
        """
        told = self.answers.told
        known = {key.removeprefix("last "): value for key, value in told.items() if key.startswith("last ")}
        since = told["last_inspection"] if check in self._told_at_once() else ""
        found = []
        for trigger in check.owed_after:
            if trigger.verb == DID:
                at_once = trigger.what in {each.id for each in self._told_at_once()}
                day = known.get(trigger.what, self._inspected() if at_once else "").partition(",")[0]
            else:
                fitted = trigger.verb == INSTALLED and told.get(f"{trigger.what} serial")
                day = told.get(f"{trigger.what} fitted-on") or "before" if fitted else ""
            # Of a part that was always there, as far as anybody knows, the inspection came after the fitting.
            if day > since and not (day == "before" and since):
                found.append((trigger, "" if day == "before" else day))
        return found

    def _how_often(self, check: Check) -> str:
        """Every 50 h or 4 months or with the condition inspection"""
        if self._by_itself(check):
            return f"Every {' or '.join(map(_term, [*check.every, *check.once, *check.life]))}"
        after = " or ".join(self._after(trigger, day) for trigger, day in self._causes(check))
        return f"{' and '.join(map(str, check.first))} after {after}" if check.first else f"After {after}"

    def _after(self, trigger: Trigger, day: str) -> str:
        what = self.titles.get(trigger.what, trigger.what)
        verb = "fitted" if trigger.verb == INSTALLED else trigger.verb
        told = f"`{what}`" if trigger.verb == DID else f"{what} {verb}"
        return f"{told} on {day}" if day else told


def _day(answer: str) -> str:
    return answer.partition(",")[0]


def total_today(told: Mapping[str, str]) -> str:
    """The total time today: what the tachometer reads, where it was said to show it."""
    return told["tach"] if told["total"] == SAME else told["total"]


def _has_due_point(check: Check) -> bool:
    return check.is_item and bool(check.every or check.once or check.life)


def _comes_with_inspection(check: Check) -> bool:
    """Whether nothing but the inspection says when it is due: then it was done with the last one, or not at all."""
    alone = check.every and all(isinstance(term, AtInspection) for term in check.every)
    return check.is_item and bool(alone) and not (check.once or check.life or check.marked)


def _in_hours(term: Limit) -> bool:
    return term.unit == HOURS


def _term(term: Term) -> str:
    return f"with the {term}" if isinstance(term, AtInspection) else str(term)


def read_yes_or_no(typed: str) -> str:
    """yes | no"""
    if (said := yes_or_no(typed)) is None:
        raise Unreadable("expected yes or no")
    return YES if said else NO
