"""A logbook from a few lines: the checks of one place, records by name, and an aircraft with three meters."""

import datetime as dt

from inspect_kit.model.logbook import Logbook
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from inspect_kit.text.worksheet import read_worksheet

AIRCRAFT = """\
format: 1
aircraft: {registration: N0XX, make: M, model: X, serial: "1", certificate-date: 2018-01-15}
meters: {tach: {unit: h}, landings: {unit: landings}}
time-in-service: tach
positions: {left: {}, right: {}, prop: {}}
inspections: {condition: {every: 12 calendar months, scope: part 43 appendix D, statement: S, signers: [builder]}}
people: [{name: Ada, kind: builder, certificate: "1"}]
"""
HEAD = "---\npanel: box\nname: Box\nzone: z\n---\n"


def book(
    checks: str = "",
    records: dict[str, str] | None = None,
    *,
    pages: dict[str, str] | None = None,
    aircraft: str = AIRCRAFT,
    broken: tuple[str, ...] = (),
) -> Logbook:
    """`records` by name, dated by the first ten characters of the name unless they say a date themselves."""
    plane, source = read_aircraft(aircraft, "records/aircraft.yaml")
    assert plane is not None
    assert not source.problems, source.problems
    panel, found, source = read_checklist(HEAD + checks, "checklists/z/box.md")
    assert panel is not None
    assert not source.problems, source.problems
    read = []
    for name, text in (records or {}).items():
        record, source = read_record(f"format: 1\ndate: {name[:10]}\n{text}", f"records/{name[:4]}/{name}.yaml")
        assert record is not None
        assert not source.problems, (name, source.problems)
        read.append(record)
    sheets = []
    for name, text in (pages or {}).items():
        sheet, source = read_worksheet(text, f"records/open/{name}.md")
        assert sheet is not None
        assert not source.problems, (name, source.problems)
        sheets.append(sheet)
    made = Logbook(
        aircraft=plane,
        panels={panel.id: panel},
        checks={check.id: check for check in found},
        current={old: noun.id for noun in (*found, *plane.positions.values()) for old in noun.was},
        records=tuple(sorted(read, key=lambda record: (record.date, record.name))),
        pages=tuple(sheets),
        broken=dict.fromkeys(broken, "its bytes were changed"),
    )
    return made.with_records(made.records)


def inspection(outcome: str = "passed", tach: str = "", sheet: str = "") -> str:
    """A condition inspection by Ada."""
    meters = f"meters: {{tach: {tach}}}\n" if tach else ""
    page = f"sheet: {sheet}\n" if sheet else ""
    who = "by: {name: Ada, kind: builder, certificate: '1'}\n"
    who += "aircraft: {registration: N0XX, make: M, model: X, serial: '1'}\n"
    statement = "statement: s\n" if outcome == "passed" else ""
    return f"kind: inspection\ninspection: condition\noutcome: {outcome}\n{meters}{page}basis: b\n{statement}{who}"


def signed(of: str) -> str:
    """That a record was signed in ink."""
    return f"kind: signature\nof: {of}\nink: log p. 1\n"


def on(text: str) -> dt.date:
    return dt.date.fromisoformat(text)
