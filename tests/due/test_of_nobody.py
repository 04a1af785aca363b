"""What nobody can have done does not count: a flight by a pilot who is none, an inspection on no paper."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit.due import chronicle, due
from inspect_kit.due.fitting import all_fittings, grown_younger
from tests.due.test_to_come import BEGIN, CRACK, HEAD, book

ON = dt.date(2026, 11, 25)
WORK = HEAD + "flight-check: required\n"
FLOWN = "@ records/2026/2026-07-03-hours.yaml\nformat: 1\nkind: hours\ndate: 2026-07-03\nmeters: {tach: 430}\n"


@pytest.mark.parametrize(
    ("pilot", "counts"),
    [
        ("{name: Cy Redwing, kind: private pilot, certificate: 8}", True),
        ("{name: '-', kind: private pilot, certificate: 8}", False),
        ("{name: n/a, kind: private pilot, certificate: 8}", False),
        ("{name: Cy Redwing, kind: private pilot, certificate: n/a}", False),
        ("{name: Cy Redwing, kind: private pilot, certificate: tbd}", False),
        # Gone since 2020.
        ("{name: Ben Wringer, kind: private pilot, certificate: 8}", False),
    ],
)
def test_a_flight_check_is_flown_by_somebody(tmp_path: Path, pilot: str, counts: bool) -> None:
    flown = f"{FLOWN}flight-check: {{done: 2026-07-03, pilot: {pilot}, words: flew well}}\n"
    owed = due(book(tmp_path, BEGIN + WORK + flown), ON).no_passengers.unflown
    assert ("2026-07-02-work" not in {each.record.name for each in owed}) is counts


@pytest.mark.parametrize(("why", "counts"), [("ground run", True), ("no", False), ("ok", False), ("Yes.", False)])
def test_a_flight_check_is_not_needed_for_a_reason(tmp_path: Path, why: str, counts: bool) -> None:
    said = f"{FLOWN}flight-check: {{not needed: {why}, of: [2026-07-02-work]}}\n"
    owed = due(book(tmp_path, BEGIN + WORK + said), ON).no_passengers.unflown
    assert ("2026-07-02-work" not in {each.record.name for each in owed}) is counts


PILOT = "{{name: Cy Redwing, kind: private pilot, certificate: 8}}"
DONE = f"flight-check: {{{{done: 2026-07-{{}}, pilot: {PILOT}, words: well{{}}}}}}\n"
CONTROLS = HEAD + "meters: {tach: 430}\ndisturbed: [flight-controls]\n"
NAMED = ", of: [2026-07-02-work]"


@pytest.mark.parametrize(
    ("work", "flown", "counts"),
    [
        # By another record: on a day before, by name or not; on the same day by a lower, the same, a higher reading.
        (CONTROLS, ("01", "433", DONE.format("01", "")), False),
        (CONTROLS, ("01", "433", DONE.format("01", NAMED)), False),
        (CONTROLS, ("03", "433", DONE.format("01", NAMED)), False),
        (CONTROLS, ("02", "429.5", DONE.format("02", "")), False),
        (CONTROLS, ("02", "430", DONE.format("02", "")), True),
        (CONTROLS, ("02", "430.4", DONE.format("02", "")), True),
        (CONTROLS, ("03", "431", DONE.format("03", NAMED)), True),
        (CONTROLS, ("01", "429", f"flight-check: {{not needed: travel measured{NAMED}}}\n"), False),
        (CONTROLS, ("03", "431", f"flight-check: {{not needed: travel measured{NAMED}}}\n"), True),
        # By the record itself, the day before what it disturbed; told the day after with the hours of that day.
        (CONTROLS + DONE.format("01", ""), None, False),
        (CONTROLS + DONE.format("02", ""), None, True),
        (CONTROLS + DONE.format("03", ""), None, True),
        (CONTROLS, ("04", "431", DONE.format("03", "")), True),
    ],
)
def test_a_flight_check_is_flown_after_the_work(
    tmp_path: Path, work: str, flown: tuple[str, str, str] | None, counts: bool
) -> None:
    more = ""
    if flown:
        day, reads, told = flown
        head = f"@ records/2026/2026-07-{day}-hours.yaml\nformat: 1\nkind: hours\ndate: 2026-07-{day}\n"
        more = f"{head}meters: {{tach: {reads}}}\n{told}"
    owed = due(book(tmp_path, BEGIN + work + more), ON).no_passengers.unflown
    assert ({each.record.name for each in owed} == set()) is counts


@pytest.mark.parametrize(
    ("words", "stands"),
    [
        ("not yet", True),
        ("to be done", True),
        ("Will be replaced at the annual", True),
        ("awaiting parts", True),
        ("new stack ordered", True),
        ("gasket on order", True),
        ("deferred", True),
        ("next week", True),
        ("replaced", False),
        ("ordered and fitted a new stack", False),
        ("found not to be a crack: a scratch, polished", False),
        ("tested again, not leaking", False),
        ("no crack by dye penetrant; the next inspection looks again", False),
        # Nobody signed it.
        ("put off again as F2 of this record", True),
    ],
)
@pytest.mark.parametrize("where", ["its own", "another", "the words of another"])
def test_a_finding_is_cleared_by_what_was_done(tmp_path: Path, words: str, stands: bool, where: str) -> None:
    """Said of its own record, or of a later one."""
    own = f"cleared: '2026-07-02 {words}'\n" if where == "its own" else ""
    other = HEAD + f"clears: {{2026-07-01-finding#F1: '2026-07-02 {words}'}}\n" if where == "another" else ""
    if where == "the words of another":
        other = HEAD.replace("text: cowl", f"text: '{words}'") + "clears: [2026-07-01-finding#F1]\n"
    standing = book(tmp_path, BEGIN + CRACK + own + other).standing()
    assert ("2026-07-01-finding#F1" in standing) is stands


ROW = "imported: {file: x, line: 1, cells: x, digest: x, occurrence: 1}\n"


@pytest.mark.parametrize(
    ("told", "counts"),
    [
        ("paper: aircraft log p. 9\nby: Ada Bellcrank\n", True),
        ("by: Ada Bellcrank\n", False),
        ("paper: aircraft log p. 9\n", False),
        ("paper: n/a\nby: Ada Bellcrank\n", False),
        ("paper: aircraft log\nby: Ada Bellcrank\n", False),
        ("paper: aircraft log p. ?\nby: Ada Bellcrank\n", False),
        ("paper: aircraft log p. 9\nby: '-'\n", False),
        # That it was imported, which anybody can write, stands for neither.
        (ROW, False),
        (f"{ROW}paper: log p. 9\nby: Ada Bellcrank\n", True),
    ],
)
def test_an_inspection_on_paper_is_on_some_paper(tmp_path: Path, told: str, counts: bool) -> None:
    paper = "@ records/2026/2026-07-04-paper.yaml\nformat: 1\nkind: paper-entry\ndate: 2026-07-04\ntext: inspected\n"
    logbook = book(tmp_path, f"{BEGIN}{paper}last: [condition]\n{told}")
    dates = [moment.date for moment in chronicle(logbook).inspections.get("condition", ())]
    assert (dt.date(2026, 7, 4) in dates) is counts


@pytest.mark.parametrize(("paper", "counts"), [("log p. 31", True), ("", True), ("____", False), ("?", False)])
def test_an_inspection_that_was_brought_forward_is_on_some_paper(tmp_path: Path, paper: str, counts: bool) -> None:
    told = f"  condition: {{date: 2026-03-14, paper: '{paper}'}}\n".replace(", paper: ''", "")
    inspections = chronicle(book(tmp_path, f"{BEGIN}last:\n{told}")).inspections.get("condition", ())
    assert (dt.date(2026, 3, 14) in [moment.date for moment in inspections]) is counts


@pytest.mark.parametrize(
    ("by", "counts"),
    [
        ('{name: Ada Bellcrank, kind: repairman, certificate: "0000000"}', True),
        ("{name: Old Timer}", True),  # Of a logbook of long ago the kind may not be known.
        ('{name: Al Kazam, kind: wizard, certificate: "1"}', False),
        ('{name: Ben Wringer, kind: repairman, certificate: "2"}', False),  # Gone since 2020.
        ('{name: Ada Bellcrank, kind: student, certificate: "9"}', False),
        ("{name: Ada Bellcrank, kind: repairman, certificate: applied for}", False),
        # As it is typed behind `--by`, with the kind and the number behind the name.
        ("Old Timer, apprentice", False),
        ("Old Timer (apprentice)", False),
        ("Ada Bellcrank, student pilot, 9", False),
        ("Ben Wringer, repairman, 2", False),
        ("Old Timer, repairman, 12", True),
        ("Timer, Old", True),
        ("Old Timer (senior)", True),
    ],
)
def test_an_inspection_on_paper_is_by_somebody_who_signs_it(tmp_path: Path, by: str, counts: bool) -> None:
    paper = "@ records/2026/2026-07-04-paper.yaml\nformat: 1\nkind: paper-entry\ndate: 2026-07-04\ntext: inspected\n"
    logbook = book(tmp_path, f"{BEGIN}{paper}last: [condition]\npaper: log p. 9\nby: {by}\n")
    assert ([moment.date for moment in chronicle(logbook).inspections.get("condition", ())] != []) is counts


@pytest.mark.parametrize("words", ["inspection not completed", "inspection ____", "inspection due", "not airworthy"])
def test_an_inspection_on_paper_was_passed(tmp_path: Path, words: str) -> None:
    paper = f"@ records/2026/2026-07-04-paper.yaml\nformat: 1\nkind: paper-entry\ndate: 2026-07-04\ntext: {words}\n"
    logbook = book(tmp_path, f"{BEGIN}{paper}last: [condition]\npaper: log p. 9\nby: Ada Bellcrank\n")
    assert "condition" not in chronicle(logbook).inspections


FITTED = BEGIN + "fitted:\n  magneto-left: {serial: A1, part: Makers M-4, since-new: 600}\n"
OUT = "@ records/2026/2026-07-01-out.yaml\nformat: 1\nkind: removed\ndate: 2026-07-01\nmeters: {tach: 410}\n"
IN = "@ records/2026/2026-07-02-in.yaml\nformat: 1\nkind: installed\ndate: 2026-07-02\nmeters: {tach: 410}\n"
MOVED = "position: magneto-left\nserial: A1\n"


@pytest.mark.parametrize(
    ("said", "hours", "told"), [("0", 610, True), ("609", 610, True), ("610", 610, False), ("650", 650, False)]
)
@pytest.mark.parametrize("named", ["", "Makers M-4", "makers  M4", "Makers, M\u20114."])
def test_no_part_grows_younger(tmp_path: Path, named: str, said: str, hours: int, told: bool) -> None:
    """A life belongs to the part: what was written of it before goes on, unless it ran elsewhere meanwhile."""
    part = f"part: {named}\n" if named else ""
    logbook = book(tmp_path, f"{FITTED}{OUT}{MOVED}{IN}{MOVED}{part}since-new: {said}\n")
    assert all_fittings(chronicle(logbook))["magneto-left"][-1].since_new == hours
    problems = [problem.message for problem in grown_younger(logbook)]
    assert [each.partition(" had run ")[2].partition(" h ")[0] for each in problems] == (["610"] if told else [])


DECIDED = """@ records/2026/2026-07-01-ad.yaml
format: 1
kind: directive
date: 2026-07-01
number: AD-7
issuer: x
subject: points
authority: airworthiness directive
on: magneto-left
applies: {no: serial out of range}
by: Ada Bellcrank
"""
RIGHT = """@ records/2026/DATE-right.yaml
format: 1
kind: amendment
date: DATE
of: 2026-06-01-past
instead: {fitted: {magneto-left: {serial: A2}}}
text: slip
by: Ada Bellcrank
"""


@pytest.mark.parametrize(("date", "again"), [("", False), ("2026-06-30", False), ("2026-07-02", True)])
def test_a_directive_decided_for_a_part_that_was_never_there(tmp_path: Path, date: str, again: bool) -> None:
    fitted = f"{BEGIN}fitted:\n  magneto-left: {{serial: A1, part: Makers M-4, fitted-on: 2017-06-08}}\n"
    stops = due(book(tmp_path, fitted + DECIDED + (RIGHT.replace("DATE", date) if date else "")), ON).stops
    assert ("directive-undecided" in {stop.kind for stop in stops}) is again


PHASE = """@ records/2026/2026-07-02-opened.yaml
format: 1
kind: phase
date: 2026-07-02
opens: flight-test
"""
RULE = "phases:\n  flight-test: {hours: 5, statement: flown}\n"


@pytest.mark.parametrize(
    ("readings", "flown"),
    [
        # Begun on 1 June at 400: what was flown until the first reading after the opening may be older than it.
        ((("07-05", "406"),), 0),
        ((("07-05", "404"), ("07-09", "406")), 2),
        # A reading of the very day, of the opening itself or of another record, is where it begins.
        ((("07-02", "400"), ("07-05", "406")), 6),
    ],
)
def test_what_was_flown_before_a_phase_was_opened_is_none_of_its_hours(
    tmp_path: Path, readings: tuple[tuple[str, str], ...], flown: int
) -> None:
    hours = "".join(
        f"@ records/2026/2026-{day}-hours.yaml\nformat: 1\nkind: hours\ndate: 2026-{day}\nmeters: {{tach: {reads}}}\n"
        for day, reads in readings
    )
    logbook = book(tmp_path, BEGIN + PHASE + hours, more=RULE)
    (phase,) = due(logbook, ON).no_passengers.phases
    assert phase.flown == flown
