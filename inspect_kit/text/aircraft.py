"""aircraft.yaml: written by its owner, never rewritten by the tool.

    format: 1
    aircraft: {registration, make, model, serial, certificate-date [was]}
    meters: {NAME: {unit: h | landings | cycles}}  time-in-service: NAME
    [ positions: {ID: {[on: ID] [was] [retired] [bars]}} ]
    inspections: {NAME: {every, scope, statement, signers: [KIND …] [source] [bars]}}
    people: [{name [kind] [certificate] [ssh] [was] [retired]} …]
    [ tooling: {NAME: N} ]  [ not-applicable: {CODE: reason} ]  [ crew: {people: N, inspectors: N} ]
    [ soon: "10 h, 30 days, 10 landings" ]  [ sessions: [SESSION …] ]  [ visits: VISITS ]
    [ balance: as in `text.loads` ]  [ flight-check-after: [ID …] ]
    [ phases: {NAME: {statement [hours: NUMBER] [tasks] [demonstrates] [area] [signers] [source]}} ]
    [ rules: NAME ]  [ scopes: {NAME: {CODE: subject …}} ]
    [ papers: [{what, at [copy: RECORD]} …] ]  [ lead-times: {PART: a limit in days, weeks, months or years} ]
    [ tables: {ID: {at: MEASURE, gives: MEASURE, rows: [{at: NUMBER [from: NUMBER] [to: NUMBER]} …] [source]}} ]

    VISITS  = {[minutes] [weekdays] [not-in] [flying-season] [no-flying] [hour: money] [currency]}
    SESSION = ( DATE | WEEKDAY ) " " HH:MM "-" HH:MM [ ", " N " people" [ ", " N " inspectors" ] ]
"""

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from typing import TypeVar

from inspect_kit.model.aircraft import (
    FLIGHT_CHECK_AFTER,
    Aircraft,
    Crew,
    Identity,
    InspectionRule,
    LimitTable,
    Meter,
    Paper,
    Person,
    PhaseRule,
    Position,
    Session,
    Soon,
    TableRow,
    VisitHabit,
)
from inspect_kit.model.checklist import FLIGHT
from inspect_kit.model.interval import DAYS, HOURS, METER_UNITS, UNITS, AtInspection, Limit
from inspect_kit.model.public_key import key_fault
from inspect_kit.model.reason import left_to_write
from inspect_kit.text import grammar
from inspect_kit.text.check_values import parse_signed
from inspect_kit.text.fields import Scalar, read_yaml
from inspect_kit.text.grammar import Unreadable
from inspect_kit.text.limits import parse_every, parse_limit
from inspect_kit.text.loads import read_loads
from inspect_kit.text.mapping import Fields
from inspect_kit.text.source import Source, split_lines

T = TypeVar("T")
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def read_aircraft(text: str, file: str) -> tuple[Aircraft | None, Source]:
    """The aircraft, or None when what every answer needs is missing; the source holds every problem."""
    source = Source(file, split_lines(text))
    node, problems = read_yaml(text, file)
    source.problems += problems
    if node is None:
        return None, source
    fields = Fields(node, source)
    read_format(fields)
    identity, certificate_date, was = _identity(fields)
    meters = _meters(fields)
    time_in_service = fields.parsed("time-in-service", grammar.parse_id, required=True)
    if time_in_service is not None and meters and time_in_service not in meters:
        hint = grammar.did_you_mean(time_in_service, meters)
        fields.problem("time-in-service", f"`{time_in_service}` is none of the meters{hint}")
        time_in_service = next(iter(meters))
    people = tuple(person for each in fields.mappings("people", required=True) if (person := read_person(each)))
    inspections = _inspections(fields)
    tooling = _tooling(fields)
    not_applicable = fields.mapping("not-applicable")
    lead_times = fields.mapping("lead-times")
    sessions = fields.list_of("sessions", parse_session)
    optional = {
        "positions": _positions(fields),
        "tooling": tooling.each_parsed(_count) if tooling else {},
        "not_applicable": not_applicable.each_parsed(str) if not_applicable else {},
        "crew": _crew(fields),
        "soon": fields.parsed("soon", parse_soon) or Soon(),
        "sessions": sessions,
        "visits": _on_days_of(sessions, _visits(fields)),
        "loads": read_loads(fields),
        "phases": _phases(fields),
        "lead_times": lead_times.each_parsed(_lead_time) if lead_times else {},
        "tables": _tables(fields),
        "papers": tuple(paper for each in fields.mappings("papers") if (paper := _paper(each))),
        "rules": fields.text("rules") or "US",
        "scopes": _scopes(fields),
        "flight_check_after": fields.list_of("flight-check-after", grammar.parse_id) or FLIGHT_CHECK_AFTER,
    }
    fields.finish()
    if identity is None or certificate_date is None or not meters or time_in_service is None:
        return None, source
    made = Aircraft(
        identity=identity,
        was=was,
        certificate_date=certificate_date,
        meters=meters,
        time_in_service=time_in_service,
        inspections=inspections,
        people=people,
        place=source.place(fields.line),
        lines=fields.lines(),
        **optional,  # type: ignore[arg-type]
    )
    return made, source


def read_format(fields: Fields) -> None:
    """format: 1"""
    version = fields.text("format", required=True)
    if version and version != "1":
        fields.problem("format", f"this program reads format 1, not `{version[:20]}`")


def _tooling(fields: Fields) -> Fields | None:
    """tooling: {NAME: N}, or `gear`, as it was called until 2026, which is read for ever"""
    if fields.has("tooling") and fields.has("gear"):
        fields.problem("gear", "`tooling` says the same, and `gear` is its former name: put all of it under `tooling`")
    former = fields.mapping("gear")
    return fields.mapping("tooling") or former


def read_identity(fields: Fields) -> Identity | None:
    """registration, make, model and serial of a mapping."""
    keys = ("registration", "make", "model", "serial")
    found = {key: fields.text(key, required=True) for key in keys}
    return Identity(**found) if all(found.values()) else None


def _identity(fields: Fields) -> tuple[Identity | None, dt.date | None, tuple[str, ...]]:
    """registration make model serial certificate-date [was: TEXT | [TEXT …]]; `was` are former registrations"""
    aircraft = fields.mapping("aircraft", required=True)
    if aircraft is None:
        return None, None, ()
    identity = read_identity(aircraft)
    date, was = aircraft.date("certificate-date", required=True), aircraft.texts("was")
    aircraft.finish()
    return identity, date, was


def _meters(fields: Fields) -> dict[str, Meter]:
    found: dict[str, Meter] = {}
    meters = fields.mapping("meters", required=True)
    for name, each in meters.each_mapping() if meters else ():
        unit = each.text("unit", required=True)
        if unit and unit not in UNITS:
            *most, last = (f"`{known}`" for known in METER_UNITS)
            each.problem("unit", f"expected {', '.join(most)} or {last}, not `{unit[:40]}`")
        each.finish()
        if _is_id(name, fields, "a meter"):
            place = fields.source.place(name.line)
            found[name.text] = Meter(name=name.text, unit=unit if unit in UNITS else HOURS, place=place)
    if meters is not None and not found:
        fields.problem("meters", "at least one meter is needed, such as `tach: {unit: h}`")
    return found


def _is_id(name: Scalar, fields: Fields, what: str) -> bool:
    try:
        grammar.parse_id(name.text)
    except Unreadable as fault:
        fields.problem_with(name, f"{what}: {fault.message}")
        return False
    return True


def _positions(fields: Fields) -> dict[str, Position]:
    found: dict[str, Position] = {}
    positions = fields.mapping("positions")
    for name, each in positions.each_mapping() if positions else ():
        position = Position(
            id=name.text,
            on=each.parsed("on", grammar.parse_id),
            was=each.list_of("was", grammar.parse_id),
            retired=each.parsed("retired", grammar.parse_retired),
            bars=each.parsed("bars", grammar.parse_bars) or FLIGHT,
            place=fields.source.place(name.line),
            lines=each.lines(),
        )
        each.finish()
        if _is_id(name, fields, "a position"):
            found[name.text] = position
    return found


def _scopes(fields: Fields) -> dict[str, dict[str, str]]:
    """{NAME: {CODE: subject}}: scopes of the owner's own, such as a maker's programme that the limitations permit."""
    found: dict[str, dict[str, str]] = {}
    scopes = fields.mapping("scopes")
    for name, each in scopes.each_mapping() if scopes else ():
        codes = each.each_parsed(str)
        for code in codes:
            if not re.fullmatch(grammar.CODE_PATTERN, code):
                each.problem(code, f"`{code[:40]}` is no scope code such as `m3`")
        if not codes:
            fields.problem("scopes", f"the scope `{name.text[:40]}` has no code: nothing would be looked at")
        found[name.text] = {code: words for code, words in codes.items() if re.fullmatch(grammar.CODE_PATTERN, code)}
        each.finish()
    return found


# No inspection of a light aircraft comes as seldom as in more than three years (common practice, no source).
FROM, LATEST = dt.date(2000, 1, 1), dt.date(2003, 1, 31)


def _inspections(fields: Fields) -> dict[str, InspectionRule]:
    found: dict[str, InspectionRule] = {}
    inspections = fields.mapping("inspections", required=True)
    for name, each in inspections.each_mapping() if inspections else ():
        every = each.parsed("every", parse_every, required=True) or ()
        if any(not isinstance(term, Limit) for term in every):
            what = "an inspection" if any(isinstance(term, AtInspection) for term in every) else "what a part carries"
            each.problem("every", f"an inspection counts by hours, landings or the calendar, not by {what}")
            # Without one of its limits nothing says when it is due.
            every = ()
        for term in every:
            if isinstance(term, Limit) and term.is_calendar and term.due_date(FROM) > LATEST:
                each.problem("every", f"{term} is more than three years: is the number right?")
                every = ()
        rule = InspectionRule(
            name=name.text,
            every=every,
            scope=each.text("scope", required=True),
            statement=_statement(each, ()),
            signers=each.texts("signers", required=True),
            source=each.text("source"),
            bars=each.parsed("bars", grammar.parse_bars) or FLIGHT,
            place=fields.source.place(name.line),
            lines=each.lines(),
        )
        each.finish()
        if _is_id(name, fields, "an inspection"):
            found[name.text] = rule
    for name, _ in inspections.each() if inspections else ():
        if name.text not in found:
            # It is to be made all the same, and nothing says when.
            near = "-".join(re.findall("[a-z0-9]+", name.text.casefold())) or "inspection"
            place = fields.source.place(name.line)
            found.setdefault(
                near, InspectionRule(name=near, every=(), scope="", statement="", signers=(), place=place)
            )
    return found


def _statement(fields: Fields, values: Iterable[str]) -> str:
    """The words that are signed; a problem where something in them is still to be written, or nothing fills it in."""
    statement = fields.text("statement", required=True)
    known = ("date", *values)
    if "__" in statement:
        told = "the statement has a blank: `{date}` is filled in by itself, all else is written as it is to be signed"
        fields.problem("statement", told)
    elif stands_in := left_to_write(statement):
        told = f"`{stands_in[:40]}` stands for words that are still to be written: `{{date}}` is filled"
        fields.problem("statement", f"{told} in by itself, all else is written as it is to be signed")
    for word in re.findall(r"\{([^{}]*)\}?", statement):
        if word not in known:
            hint = grammar.did_you_mean(word, known) or f" (known: {', '.join(known)})"
            fields.problem("statement", f"nothing fills in `{{{word[:40]}}}`{hint}")
    return statement


def _phases(fields: Fields) -> dict[str, PhaseRule]:
    found: dict[str, PhaseRule] = {}
    phases = fields.mapping("phases")
    for name, each in phases.each_mapping() if phases else ():
        demonstrates = each.texts("demonstrates")
        rule = PhaseRule(
            name=name.text,
            hours=each.number("hours"),
            tasks=each.texts("tasks"),
            demonstrates=demonstrates,
            area=each.text("area"),
            statement=_statement(each, demonstrates),
            was=each.texts("was"),
            signers=each.texts("signers"),
            source=each.text("source"),
            place=fields.source.place(name.line),
        )
        if rule.hours is not None and rule.hours <= 0:
            each.problem("hours", "are more than none: leave the key out where only tasks are asked for")
        if rule.hours is None and not rule.tasks and not each.has("hours"):
            fields.source.problem(name.line, f"{each.path}: a phase asks for `hours` or `tasks`")
        for value in rule.demonstrates:
            if rule.statement and f"{{{value}}}" not in rule.statement:
                each.problem("demonstrates", f"the statement has no {{{value}}} where `{value}` goes")
        each.finish()
        if _is_id(name, fields, "a phase"):
            found[name.text] = rule
    return found


def _tables(fields: Fields) -> dict[str, LimitTable]:
    found: dict[str, LimitTable] = {}
    tables = fields.mapping("tables")
    for name, each in tables.each_mapping() if tables else ():
        at, gives = each.text("at", required=True), each.text("gives", required=True)
        before = len(fields.source.problems)
        rows = tuple(row for below in each.mappings("rows", required=True) if (row := _row(below)))
        table = LimitTable(
            at=at, gives=gives, rows=rows, source=each.text("source"), place=fields.source.place(name.line)
        )
        # What is wrong in a row is told there; the table counts for nothing until it can be read.
        broken = len(fields.source.problems) > before
        fault = _rows_fault(rows)
        if fault and each.has("rows") and not broken:
            each.problem("rows", fault)
        each.finish()
        if _is_id(name, fields, "a table") and at and gives and not (fault or broken):
            found[name.text] = table
    return found


def _row(fields: Fields) -> TableRow | None:
    """at: NUMBER, and from: NUMBER, to: NUMBER or both"""
    at = fields.parsed("at", parse_signed, required=True)
    low, high = fields.parsed("from", parse_signed), fields.parsed("to", parse_signed)
    if not fields.has("from") and not fields.has("to"):
        fields.source.problem(fields.line, f"{fields.path}: a row gives `from`, `to` or both")
    elif low is not None and high is not None and low > high:
        fields.problem("from", "the lower end of a limit comes first")
    fields.finish()
    return None if at is None else TableRow(at=at, low=low, high=high)


def _rows_fault(rows: tuple[TableRow, ...]) -> str:
    if len(rows) < 2:
        return "a table has two rows or more"
    if any(above.at <= below.at for below, above in pairwise(rows)):
        return "the rows of a table go upwards by `at`"
    if len({(row.low is None, row.high is None) for row in rows}) > 1:
        return "every row gives the same: `from`, `to` or both"
    return ""


def read_person(fields: Fields) -> Person | None:
    """name [kind] [certificate] [ssh] [was] [retired]"""
    name = fields.text("name", required=True)
    person = Person(
        name=name,
        kind=fields.text("kind"),
        certificate=fields.text("certificate"),
        ssh=fields.list_of("ssh", parse_public_key),
        was=fields.texts("was"),
        retired=fields.parsed("retired", grammar.parse_retired),
        place=fields.source.place(fields.line),
    )
    fields.finish()
    return person if name else None


def parse_public_key(value: str) -> str:
    """key = one line of a `.pub` file: TYPE BASE64 [REMARK]"""
    if fault := key_fault(value):
        raise Unreadable(fault)
    return value


def _paper(fields: Fields) -> Paper | None:
    """what, at [copy: RECORD]"""
    what, at = fields.text("what", required=True), fields.text("at", required=True)
    copy, place = fields.text("copy"), fields.source.place(fields.line)
    paper = Paper(what=what, at=at, copy=copy, place=place, lines=fields.lines())
    fields.finish()
    return paper if what and at else None


def _lead_time(value: str) -> Limit:
    """lead time = a limit in days, months or years, or NUMBER " weeks" """
    if weeks := re.fullmatch(r"([0-9]{1,3}) weeks?", value):
        # An order is what is told in weeks; no limit is.
        value = f"{7 * int(weeks[1])} days"
    limit = parse_limit(value)
    if not limit.is_calendar:
        raise Unreadable("an order takes days, weeks, months or years, such as `10 days`")
    return limit


def _count(value: str) -> int:
    """count = 0 … 99"""
    if not re.fullmatch(r"[0-9]{1,2}", value):
        raise Unreadable(f"expected a whole number, not `{value[:20]}`")
    return int(value)


def _crew(fields: Fields) -> Crew | None:
    crew = fields.mapping("crew")
    if crew is None:
        return None
    people = crew.parsed("people", _count) or 1
    inspectors = crew.parsed("inspectors", _count) or 1
    crew.finish()
    try:
        return Crew(people=people, inspectors=inspectors)
    except ValueError as reason:
        fields.problem("crew", str(reason))
        return Crew()


def parse_amounts(value: str) -> dict[str, Decimal]:
    """amounts = limit { "," limit }: days and units of meters, each at most once, without `on METER`"""
    found: dict[str, Decimal] = {}
    for word, offset in grammar.parse_list(value):
        limit = parse_limit(word)
        if limit.unit in found or limit.unit not in (DAYS, *METER_UNITS):
            told = f"expected {', '.join(METER_UNITS)} and days, each at most once, such as `10 h, 30 days`"
            raise Unreadable(told, offset)
        if limit.meter is not None:
            at = offset + word.index(" on ") + 1
            raise Unreadable("is one for all meters of its unit: leave out `on`", at, offset + len(word))
        found[limit.unit] = limit.number
    return found


def parse_soon(value: str) -> Soon:
    """soon = amounts: what is not named keeps its customary amount"""
    use = parse_amounts(value)
    days = use.pop(DAYS, None)
    return Soon(use=use) if days is None else Soon(days=int(days), use=use)


def parse_session(value: str) -> Session:
    """SESSION = ( DATE | WEEKDAY ) " " [H]H:MM "-" [H]H:MM [ "," N " people" [ "," N " inspectors" ] ]"""
    hours = "([0-9]{1,2}):([0-9]{2})"
    pattern = rf"(\S+) +{hours} ?[-–] ?{hours}(?:, *([1-9]) (?:people|person))?(?:, *([1-9]) inspectors?)?"
    match = re.fullmatch(pattern, value)
    if match is None:
        raise Unreadable("expected hours such as `2026-11-28 09:00-12:30` or `Saturday 09:00-12:30, 2 people`")
    day, *clock = match.groups()[:5]
    start, end = (60 * int(hour) + int(minute) for hour, minute in (clock[:2], clock[2:]))
    if any(int(minute) > 59 for minute in (clock[1], clock[3])):
        raise Unreadable("an hour has 60 minutes", match.start(2), match.end(5))
    weekday = WEEKDAYS.index(day.capitalize()) if day.capitalize() in WEEKDAYS else None
    people, inspectors = (int(group) if group else None for group in match.groups()[5:])
    try:
        return Session(
            date=None if weekday is not None else grammar.parse_at(grammar.parse_date, day, 0),
            weekday=weekday,
            start=start,
            end=end,
            people=people,
            inspectors=inspectors,
        )
    except ValueError as reason:
        raise Unreadable(str(reason), match.start(2), match.end(5)) from None


def _visits(fields: Fields) -> VisitHabit:
    """minutes: 45 min, weekdays: [Saturday], not-in: [August], flying-season: [May], no-flying: [January],

    hour: money above 0, currency: a word or a sign of at most 12 characters
    """
    visits = fields.mapping("visits")
    if visits is None:
        return VisitHabit()
    minutes = visits.parsed("minutes", grammar.parse_minutes)
    weekdays = visits.list_of("weekdays", lambda value: _named(value, WEEKDAYS))
    not_in, season, no_flying = (
        visits.list_of(key, lambda value: _named(value, MONTHS) + 1) for key in ("not-in", "flying-season", "no-flying")
    )
    hour = visits.parsed("hour", _hour)
    currency = visits.parsed("currency", _currency) or ""
    visits.finish()
    if both := sorted({*season} & {*no_flying}):
        visits.problem("no-flying", f"{MONTHS[both[0] - 1]} is a month of the flying season too")
        no_flying = ()
    return VisitHabit(
        minutes=VisitHabit().minutes if minutes is None else minutes,
        weekdays=weekdays,
        not_in=not_in,
        season=season,
        no_flying=no_flying,
        hour=hour,
        currency=currency,
    )


def _on_days_of(sessions: tuple[Session, ...], habit: VisitHabit) -> VisitHabit:
    """The habit with the days of the weekly hours at hand, where it names none itself: on others nobody works."""
    days = {each.weekday for each in sessions}
    if habit.weekdays or not days or None in days:
        return habit
    return replace(habit, weekdays=tuple(sorted(day for day in days if day is not None)))


def _hour(value: str) -> Decimal:
    """hour = money above 0"""
    worth = grammar.parse_money(value)
    if not worth:
        raise Unreadable("an hour is worth more than 0; leave it out where money is not to be weighed")
    return worth


def _currency(value: str) -> str:
    """currency = a word or a sign without digits and blanks, at most 12 characters"""
    if len(value) > 12 or re.search(r"[\s\d]", value):
        raise Unreadable(f"expected the name of a currency such as `EUR`, not `{value[:40]}`")
    return value


def _named(value: str, names: tuple[str, ...]) -> int:
    """A day of the week or a month by its English name; its number from 0."""
    if value.capitalize() not in names:
        raise Unreadable(f"expected one of {', '.join(names)}, not `{value[:20]}`")
    return names.index(value.capitalize())
