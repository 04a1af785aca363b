"""A small store of one's own for a test: some checks, a steady use, and what the test adds."""

import datetime as dt
from decimal import Decimal
from pathlib import Path

from inspect_kit import store
from inspect_kit.model.logbook import Logbook

FIRST = dt.date(2024, 1, 6)
TODAY = dt.date(2026, 1, 5)
HOURS_A_WEEK = Decimal(2)

AIRCRAFT = """\
format: 1
aircraft: {{registration: N0TS, make: Turnstone, model: TS-2, serial: "001", certificate-date: {first}}}
meters: {{tach: {{unit: h}}, landings: {{unit: landings}}}}
time-in-service: tach
positions: {{engine: {{}}, hoses: {{}}}}
inspections:
  condition:
    every: 12 calendar months
    scope: part 43 appendix D
    statement: "As of {{date}} it was inspected."
    signers: [builder]
people: [{{name: Sample Builder, kind: builder, certificate: "0000000"}}]
crew: {{people: 2, inspectors: 1}}
{more}
"""
COWLING = """\
---
panel: cowling
name: Lower cowling
zone: nose
remove: {remove} min
refit: {refit} min
people: 2
---
"""
PLACE = """\
---
panel: outside
name: Outside
zone: outside
---
"""


def check(name: str, **keys: str) -> str:
    """A check in a checklist; `_` in a key stands for `-`."""
    lines = [f"- [ ] `{name}` {name.replace('-', ' ').capitalize()}"]
    return "\n".join([*lines, *(f"  - {key.replace('_', '-')}: {value}" for key, value in keys.items())]) + "\n"


def small_store(
    root: Path,
    checks: str,
    *,
    outside: str = "",
    more: str = "",
    records: dict[str, str] | None = None,
    weekly: Decimal = HOURS_A_WEEK,
    until: dt.date = TODAY,
    access: tuple[int, int] = (14, 20),
    condition: dt.date = dt.date(2025, 6, 7),
    last: dict[str, dt.date] | None = None,
) -> Logbook:
    """An aircraft that flew so much each week from new; `checks` are behind the cowling, `outside` behind nothing."""
    (root / "checklists").mkdir(parents=True)
    (root / "records").mkdir()
    (root / "records/aircraft.yaml").write_text(AIRCRAFT.format(first=FIRST, more=more))
    (root / "checklists/cowling.md").write_text(COWLING.format(remove=access[0], refit=access[1]) + checks)
    (root / "checklists/outside.md").write_text(PLACE + outside)
    day, week = FIRST, 0
    while day <= until:
        text = f"format: 1\nkind: hours\ndate: {day}\nmeters: {{tach: {100 + weekly * week}, landings: {3 * week}}}\n"
        (root / f"records/{day}-hours-{week}.yaml").write_text(text)
        day, week = day + dt.timedelta(weeks=1), week + 1
    (root / "records/brought.yaml").write_text(brought(weekly, {"condition": condition, **(last or {})}))
    for name, text in (records or {}).items():
        (root / f"records/{name}.yaml").write_text(text)
    loaded = store.load(store.at(root))
    assert loaded.logbook is not None
    assert not loaded.logbook.problems, [str(problem) for problem in loaded.logbook.problems]
    return loaded.logbook


def brought(weekly: Decimal, last: dict[str, dt.date]) -> str:
    """When things were last done, at the use of that day."""
    lines = [f"  {name}: {{date: {on}, tach: {used(weekly, on)}}}" for name, on in last.items()]
    day = max(FIRST, *last.values())
    meter = f"{{reads: {used(weekly, day)}, total: {used(weekly, day)}}}"
    head = f"format: 1\nkind: brought-forward\ndate: {day}\nmeters: {{tach: {meter}}}\nlast:\n"
    return head + "\n".join(lines) + "\n"


def used(weekly: Decimal, on: dt.date) -> Decimal:
    """What the tachometer reads on a day."""
    return 100 + weekly * ((on - FIRST).days // 7)


def done(on: dt.date, *names: str, tach: Decimal | str, **more: str) -> str:
    """A work record."""
    extra = "".join(f"{key}: {value}\n" for key, value in more.items())
    return f"format: 1\nkind: work\ndate: {on}\nmeters: {{tach: {tach}}}\ndid: [{', '.join(names)}]\n{extra}"
