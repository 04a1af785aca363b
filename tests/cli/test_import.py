"""A logbook comes in: four shapes of the same facts, again, changed, and refused."""

import csv
import datetime as dt
import io
import json
import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit import past, store
from inspect_kit.cli.columns_asked import LEAVE_OUT, _added
from inspect_kit.due import due
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.meters import meter_history
from tests.cli.conftest import TODAY, Outcome, Run, entered

Fact = tuple[dt.date, Decimal, str, str]
WORDS = (
    "Oil and filter changed",
    "Tyre pressure; both 24 psi",
    'Bolt 3/8" replaced, torque 190 in-lb',
    "Landing light bulb",
    "Checked the battery: =12.6 V",
)


def facts(count: int) -> list[Fact]:
    """Entries of seven years, a few days and hours apart; two on one day now and then."""
    made, day, tach = [], dt.date(2019, 6, 4), Decimal("12.4")
    for number in range(count):
        made.append((day, tach, WORDS[number % len(WORDS)], f"{number // 20 + 1}"))
        if number % 4:
            day, tach = day + dt.timedelta(days=number % 3 + 1), tach + Decimal("0.4")
    return made


def american(rows: list[Fact]) -> str:
    """Month first, two digits of the year, points; the names in the first line."""
    out = io.StringIO()
    sheet = csv.writer(out)
    sheet.writerow(["Date", "Tach", "Description of work", "Signed", "Page"])
    for day, tach, words, page in rows:
        sheet.writerow([f"{day.month}/{day.day}/{day:%y}", tach, words, "J. Invented", page])
    return out.getvalue()


def continental(rows: list[Fact]) -> str:
    """Day first with points, commas as decimals, semicolons, a title above the names, the day once for its rows."""
    out = io.StringIO()
    sheet = csv.writer(out, delimiter=";", lineterminator="\r\n")
    sheet.writerow(["Bordbuch", "", "", ""])
    sheet.writerow([])
    sheet.writerow(["Date of work", "Hours total (tach)", "Remarks", "Page"])
    last = None
    for day, tach, words, page in rows:
        total = f"{tach:,}".replace(",", " ").replace(".", ",")
        sheet.writerow(["" if day == last else f"{day:%d.%m.%Y}", total, words, page])
        last = day
    return out.getvalue()


def worded(rows: list[Fact]) -> str:
    """Months in words, tabs, units behind the hours, the names again on every page, an empty line between pages."""
    out = io.StringIO()
    sheet = csv.writer(out, delimiter="\t")
    page = ""
    for day, tach, words, now in rows:
        if now != page:
            sheet.writerows([[], ["When", "Tachometer", "Work", "Remark", "Page"]] if page else [])
            if not page:
                sheet.writerow(["When", "Tachometer", "Work", "Remark", "Page"])
            page = now
        sheet.writerow([f"{day:%a, %d %b %Y}", f"{tach} h", words, "in the hangar", now])
    return out.getvalue()


def bare(rows: list[Fact]) -> str:
    """ISO dates, no names of columns at all, bars."""
    return "".join(f"{day}|{tach}|{words}|{page}\n" for day, tach, words, page in rows)


# What is answered, column by column, then what the cells leave open: the sample's facts tell the order of dates.
SHAPES: dict[str, tuple[Callable[[list[Fact]], str], tuple[str, ...]]] = {
    "american": (american, ("", "", "", "", "", "airframe log")),
    "continental": (continental, ("", "", "", "", "yes", "airframe log")),
    "worded": (worded, ("", "", "", "left out", "", "airframe log")),
    "bare": (bare, ("date", "reads tach", "text", "page", "airframe log")),
}


def entries(root: Path) -> list[PaperEntry]:
    logbook = store.load(root).logbook
    assert logbook is not None
    return [record for record in logbook.records if isinstance(record, PaperEntry)]


def written(root: Path) -> list[Fact]:
    """What the records say, in the order of the table."""
    found = sorted(entries(root), key=lambda entry: entry.imported.line if entry.imported else 0)
    return [(each.date, (each.meters or each.totals)["tach"], each.text, each.paper) for each in found]


def said(rows: list[Fact]) -> list[Fact]:
    return [(day, tach, words, f"airframe log p. {page}") for day, tach, words, page in rows]


@pytest.fixture
def hangar(tmp_path: Path) -> Path:
    """A store whose certificate is older than the logbook, without records."""
    root = tmp_path / "plane"
    (root / "checklists").mkdir(parents=True)
    (root / "records").mkdir()
    (root / "checklists" / "cowl.md").write_text(COWL)
    (root / "records" / "aircraft.yaml").write_text(AIRCRAFT)
    return root


def bring(run: Run, root: Path, text: str, typed: tuple[str, ...] = (), name: str = "log.csv") -> Outcome:
    """Save the table and import it, answering what is asked."""
    file = root.parent / name
    file.write_bytes(text.encode())
    return run(root, "import", str(file), typed=typed)


class TestFourLogbooks:
    @pytest.mark.parametrize("shape", SHAPES)
    def test_the_same_facts_come_out_of_every_shape(self, run: Run, hangar: Path, shape: str) -> None:
        draw, typed = SHAPES[shape]
        rows = facts(60)
        outcome = bring(run, hangar, draw(rows), (*typed, "yes"))
        assert outcome.code == 0, outcome.err
        assert "60 records written" in outcome.out
        assert written(hangar) == said(rows)

    def test_hundreds_of_rows(self, run: Run, hangar: Path) -> None:
        rows = facts(300)
        outcome = bring(run, hangar, american(rows), (*SHAPES["american"][1], "yes"))
        assert outcome.code == 0, outcome.err
        assert written(hangar) == said(rows)
        again = bring(run, hangar, american(rows))
        assert again.code == 0
        assert "0 records to be written" in again.out
        assert "300 rows imported before" in again.out

    def test_a_row_that_wraps_keeps_its_columns_apart(
        self, run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """Two blanks parted them, and a line that was wrapped had one."""
        monkeypatch.setenv("COLUMNS", "40")
        told = bring(run, hangar, american(facts(60)), (*SHAPES["american"][1], "no")).out
        told = " ".join(told.split()).partition("to be written")[2]
        for day, tach, words, page in facts(60)[:2]:
            assert re.search(rf"{day}; tach {tach}; {re.escape(words)}; (by [^;]+; )?airframe log p. {page} ", told)

    def test_a_meter_changed_in_the_middle(self, run: Run, hangar: Path) -> None:
        rows = facts(40)
        old = rows[19][1]
        shown = [*rows[:20], *((day, tach - old, words, page) for day, tach, words, page in rows[20:])]
        outcome = bring(run, hangar, american(shown), SHAPES["american"][1])
        assert outcome.code == 2
        assert f"log.csv:22: tach reads {shown[20][1]}" in outcome.err
        first, now = shown[19][1], shown[20][1]
        told = f"meter-changed: [{{date: {rows[20][0]}, meter: tach, old: {first}, new: {now}}}]"
        assert f"write into log.columns.yaml, with its day and what both read then:\n  {told}" in outcome.err
        assert entries(hangar) == []
        beside = hangar.parent / "log.columns.yaml"
        change = f"meter-changed: [{{date: {rows[20][0]}, meter: tach, old: {old}, new: 0}}]\n"
        beside.write_text(beside.read_text() + change)
        assert bring(run, hangar, american(shown), ("yes",)).code == 0
        logbook = store.load(hangar).logbook
        assert logbook is not None
        assert [(each.old, each.new) for each in logbook.of_kind(MeterChange)] == [(old, Decimal(0))]
        history = meter_history("tach", logbook.records)
        assert history.points[-1].total == rows[-1][1]
        assert "0 records to be written" in bring(run, hangar, american(shown)).out
        # What is said of it anew is told, and no second change is written for another day.
        written = beside.read_text()
        more = change.replace("new: 0", "new: 0, unrecorded: 5")
        for now in (more, change.replace(str(rows[20][0]), str(rows[30][0]))):
            beside.write_text(written.replace(change, now))
            again = " ".join(bring(run, hangar, american(shown)).out.split())
            assert "says something else than records/" in again
            assert "0 records to be written" in again
        # One that is taken out by hand stays on record, and is missed; no total changes by it.
        beside.write_text(written.replace(change, ""))
        again = " ".join(bring(run, hangar, american(shown)).out.split())
        assert f"the change of tach on {rows[20][0]} stands there no more; its record stays" in again
        assert "0 records to be written" in again
        kept = store.load(hangar).logbook
        assert kept is not None
        assert meter_history("tach", kept.records).points[-1].total == rows[-1][1]
        beside.write_text(written)
        assert "stands there no more" not in bring(run, hangar, american(shown)).out
        # Of one that another table brought, or a person wrote, nothing is missed.
        made = next(hangar.rglob("*meter-change*.yaml"))
        made.write_text(made.read_text().replace("log.columns.yaml", "other.columns.yaml"))
        beside.write_text(written.replace(change, ""))
        assert "stands there no more" not in bring(run, hangar, american(shown)).out

    def test_a_total_beside_a_reading_is_held_against_it(self, run: Run, hangar: Path) -> None:
        rows = "2026-09-02,401.0,401.0,washed\n2026-09-03,402.0,402.8,oil looked at\n2026-09-04,403.0,403.8,washed\n"
        typed = ("date", "reads tach", "total tach", "text", "airframe log", "yes")
        outcome = bring(run, hangar, f"Date,Tach,Total time,Work\n{rows}", typed)
        assert outcome.code == 0, outcome
        told = "2 rows give another total than the readings make: line 3 says a total tach of 402.8, and its reading"
        assert f"{told} makes it 402.0." in outcome.out


    def test_a_changed_meter_alone_is_told_of_what_comes_of_it(self, run: Run, hangar: Path) -> None:
        """Every total after it is another, so that what was brought forward contradicts all of those rows."""
        last = "last: {stacks: {date: 2025-12-13, tach: 620.0}}\n"
        totals = "meters: {tach: {reads: 655.5, total: 655.5}}\n"
        (hangar / "records/2026").mkdir()
        entered(hangar, "2026-09-01-past", f"kind: brought-forward\ndate: 2026-09-01\n{totals}{last}")
        typed = ("date", "reads tach", "text", "airframe log", "yes")
        rows = "".join(f"2025-0{month}-01,{month}.5,washed\n" for month in range(1, 9))
        table = f"Date,Tach,Work\n2024-12-01,600.0,washed\n{rows}"
        outcome = bring(run, hangar, table, typed)
        assert (outcome.code, outcome.err.count("log.csv:")) == (2, 2), outcome.err
        assert "log.csv:3: tach reads 1.5 on 2025-01-01, lower than 600.0" in outcome.err
        (line,) = (each.strip() for each in outcome.err.splitlines() if each.startswith("  meter-changed: "))
        beside = hangar.parent / "log.columns.yaml"
        beside.write_text(f"{beside.read_text()}{line.replace('old: 600.0', 'old: 601.0').replace('1.5', '0')}\n")
        outcome = bring(run, hangar, table, ("yes",))
        assert outcome.code == 0, outcome.err

    def test_a_row_above_what_was_brought_forward_on_a_later_day(self, run: Run, hangar: Path) -> None:
        """What was brought forward is no row: a line for a changed meter has words to be filled in."""
        (hangar / "records/2026").mkdir()
        totals = "meters: {tach: {reads: 402.0, total: 655.5}}\n"
        entered(hangar, "2026-09-01-past", f"kind: brought-forward\ndate: 2026-09-01\n{totals}")
        typed = ("date", "reads tach", "text", "airframe log", "yes")
        outcome = bring(run, hangar, "Date,Tach,Work\n2026-08-20,450.0,washed\n", typed)
        assert outcome.code == 2, outcome
        assert "lower than 450.0 on 2026-08-20 in log.csv:2" in outcome.err
        assert "meter-changed: [{date: DATE, meter: METER, old: READING, new: READING}]" in outcome.err

    def test_what_one_row_contradicts_is_told_once(self, run: Run, hangar: Path) -> None:
        """All that was done at one inspection is below the total of a row before it: one line, not one for each."""
        last = "last: {condition: {date: 2025-12-13, tach: 620.0}, stacks: {date: 2025-12-13, tach: 620.0}}\n"
        totals = "meters: {tach: {reads: 655.5, total: 655.5}}\n"
        (hangar / "records/2026").mkdir()
        entered(hangar, "2026-09-01-past", f"kind: brought-forward\ndate: 2026-09-01\n{totals}{last}")
        typed = ("date", "reads tach", "text", "airframe log", "yes")
        outcome = bring(run, hangar, "Date,Tach,Work\n2025-12-01,640.0,washed\n2025-12-02,640.5,tyre\n", typed)
        assert outcome.code == 2
        told = "condition and 1 more on 2025-12-13: tach 620.0 is below the total on 2025-12-01, 640.0 (log.csv:2), and"
        assert outcome.err.count("is below the total on") == 1, outcome.err
        # The table may be right, and what was brought forward not.
        amending = "inspect-kit amend 2026-09-01-past last.stacks.tach=TOTAL"
        assert "- where the table is right, amend what was brought forward:\n" in outcome.err
        assert f"  {amending}\n" in outcome.err
        assert told in outcome.err

    def test_what_was_done_since_by_the_table_is_amended_with_its_day(self, run: Run, hangar: Path) -> None:
        """The total alone would contradict the rows before it: the day is wrong as well, and what is advised helps."""
        (hangar / "records/2026").mkdir()
        totals = "meters: {tach: {reads: 655.5, total: 655.5}}\nlast: {oil: {date: 2026-03-14, tach: 620.0}}\n"
        entered(hangar, "2026-09-01-past", f"kind: brought-forward\ndate: 2026-09-01\n{totals}")
        rows = "Date,Tach,Work\n2026-03-20,630.0,washed\n2026-04-11,635.5,oil changed\n2026-09-20,660,oil changed\n"
        typed = ("date", "reads tach", "text", "airframe log", "yes")
        first = bring(run, hangar, rows, typed)
        assert first.code == 0, first.err
        for path in hangar.glob("records/*/*.yaml"):
            if path.stem != "2026-09-01-past":
                path.unlink()
        (columns,) = hangar.parent.rglob("log.columns.yaml")
        columns.write_text(columns.read_text() + 'did: {"oil changed": [oil]}\n')
        again = bring(run, hangar, rows, ("yes",))
        assert again.code == 2, again.err
        advised = "amend 2026-09-01-past last.oil.date=2026-04-11 last.oil.tach=TOTAL"
        assert f"  inspect-kit {advised}\n" in again.err, again.err
        told = advised.replace("TOTAL", "635.5").split()
        assert run(hangar, *told, "--reason", "by the log", "--by", "Sample Builder", "--yes").code == 0
        assert bring(run, hangar, rows, ("yes",)).code == 0


class TestAgain:
    def test_only_what_is_new_is_written(self, run: Run, hangar: Path) -> None:
        rows = facts(30)
        bring(run, hangar, american(rows[:20]), (*SHAPES["american"][1], "yes"))
        outcome = bring(run, hangar, american(rows), ("yes",))
        assert "10 records written" in outcome.out
        assert written(hangar) == said(rows)

    def test_a_changed_row_is_named_and_not_written(self, run: Run, hangar: Path) -> None:
        rows = facts(10)
        bring(run, hangar, american(rows), (*SHAPES["american"][1], "yes"))
        before = {path: path.read_bytes() for path in hangar.rglob("*.yaml")}
        day, tach, _, page = rows[4]
        outcome = bring(run, hangar, american([*rows[:4], (day, tach, "Something else", page), *rows[5:]]))
        assert "changed since it was imported, not written: log.csv:6:" in outcome.out
        assert "Nothing is left to write." in outcome.out
        assert {path: path.read_bytes() for path in hangar.rglob("*.yaml")} == before

    def test_a_changed_row_is_settled_by_the_amendment_that_was_advised(self, run: Run, hangar: Path) -> None:
        """It was named for ever, with the advice that had been followed."""
        rows = facts(10)
        bring(run, hangar, american(rows), (*SHAPES["american"][1], "yes"))
        day, tach, _, page = rows[4]
        now = american([*rows[:4], (day, tach + Decimal("0.1"), "Something else", page), *rows[5:]])
        (record,) = [each for each in entries(hangar) if each.imported and each.imported.line == 6]
        amend = ("--reason", "misread", "--by", "Sample Builder")
        assert run(hangar, "amend", record.name, "text=Something else", *amend).code == 0
        half = bring(run, hangar, now)
        assert "its record stays, and differs in meters: " in half.out
        assert run(hangar, "amend", record.name, f"tach={tach + Decimal('0.1')}", *amend).code == 0
        whole = bring(run, hangar, now)
        assert "1 row changed since, as the record of each was amended." in whole.out
        assert "Where the table is right now" not in whole.out
        # Of one row more, which counts for nothing, nothing is said of all others.
        more = bring(run, hangar, f"{now}{american(facts(11)[10:]).splitlines()[1]}\n", ("yes",))
        assert "None of them counts for a check or an inspection" in more.out

    def test_a_row_that_was_withdrawn_stays_withdrawn(self, run: Run, hangar: Path) -> None:
        rows = facts(4)
        bring(run, hangar, american(rows[:3]), (*SHAPES["american"][1][:5], "month", "airframe log", "yes"))
        (path,) = hangar.rglob(f"records/*/{rows[2][0]}-*.yaml")
        back = run(hangar, "withdraw", path.stem, "--reason", "another aeroplane", "--by", "Sample Builder")
        assert back.code == 0, back.err
        outcome = bring(run, hangar, american(rows), ("yes",))
        assert "1 record written" in outcome.out
        assert "withdrawn since it was imported, not written: log.csv:4:" in outcome.out
        assert written(hangar) == said([*rows[:2], rows[3]])
        # Put right in the table it is another row.
        day, tach, words, page = rows[2]
        better = (day, tach, f"{words}, of this one", page)
        assert "1 record written" in bring(run, hangar, american([*rows[:2], better, rows[3]]), ("yes",)).out

    def test_whoever_stops_half_way_goes_on_there(self, run: Run, hangar: Path) -> None:
        """Four answered columns were gone with Ctrl-C at the question after them."""

        def stop() -> None:
            raise KeyboardInterrupt

        table, kept = "Date,Remarks,By\n02/03/20,one,AB\n04/05/20,two,AB\n,three,AB\n", "log.answers.yaml"
        left = bring(run, hangar, table, ("", "what", "", "", "2", stop))  # type: ignore[arg-type]
        assert (left.code, (hangar.parent / kept).exists()) == (130, True), left
        assert f"interrupted; the answers are kept in {hangar.parent / kept}: the same command" in left.err
        on = bring(run, hangar, table, ("y", "log", stop))  # type: ignore[arg-type]
        assert "4 answers are kept in" in on.err, on.err
        assert "`Date` is" not in on.err
        assert "is it of the day above" in on.err
        done = bring(run, hangar, table, ("", "yes"))
        assert done.code == 0, done
        assert not (hangar.parent / kept).exists()
        days = [dt.date(2020, 2, 3), dt.date(2020, 4, 5), dt.date(2020, 4, 5)]
        assert [entry.date for entry in entries(hangar)] == days

    def test_of_another_table_all_is_asked_anew(self, run: Run, hangar: Path) -> None:
        table = "Date,Remarks\n02/03/20,one\n04/05/20,two\n"

        def stop() -> None:
            raise KeyboardInterrupt

        assert bring(run, hangar, table, ("", "", stop)).code == 130  # type: ignore[arg-type]
        anew = bring(run, hangar, table + "05/06/20,three\n", ("", "", "day first", "", "yes"))
        assert (anew.code, anew.err.count("is (Enter:")) == (0, 2), anew
        assert "The table has changed since" in anew.err

    def test_a_no_writes_nothing_and_keeps_the_answers(self, run: Run, hangar: Path) -> None:
        outcome = bring(run, hangar, american(facts(5)), (*SHAPES["american"][1][:5], "month", "log", "no"))
        assert "Nothing was written." in outcome.out
        assert entries(hangar) == []
        assert "5 records written" in bring(run, hangar, american(facts(5)), ("yes",)).out

    def test_equal_rows_are_two_entries(self, run: Run, hangar: Path) -> None:
        row = facts(1)[0]
        bring(run, hangar, american([row, row]), ("", "", "", "", "", "month", "airframe log", "yes"))
        assert written(hangar) == said([row, row])


class TestWhatCounts:
    def due_lines(self, run: Run, root: Path, item: str) -> str:
        return run(root, "due", item).out

    def imported(self, run: Run, root: Path, more: str) -> Outcome:
        rows = [*facts(8), (dt.date(2026, 8, 3), Decimal(80), "Condition  INSPECTION, see list", "9")]
        bring(run, root, american(rows), SHAPES["american"][1])
        beside = root.parent / "log.columns.yaml"
        beside.write_text(beside.read_text() + more)
        return bring(run, root, american(rows), ("yes",))

    def test_words_alone_tick_nothing(self, run: Run, hangar: Path) -> None:
        assert self.imported(run, hangar, "").code == 0
        assert all(not entry.did and not entry.last for entry in entries(hangar))

    def test_a_row_counts_for_the_check_that_its_words_were_named_for(self, run: Run, hangar: Path) -> None:
        outcome = self.imported(run, hangar, 'did: {"oil AND filter changed": [oil]}\n')
        assert "2 rows of them counted" in outcome.out
        logbook = store.load(hangar).logbook
        assert logbook is not None
        # The sixth of the facts is the last oil change: due 50 h on, and no other row counts for it.
        tach = facts(8)[5][1]
        found = due(logbook, TODAY).item("oil")
        assert found is not None
        assert f"{tach + 50}" in self.due_lines(run, hangar, "oil")

    def test_words_that_only_contain_the_named_ones_count_for_nothing(self, run: Run, hangar: Path) -> None:
        outcome = self.imported(run, hangar, "did: {filter changed: [oil]}\n")
        assert outcome.code == 0
        assert "No row says just `filter changed`, which stands under `did`" in outcome.out
        assert all(not entry.did for entry in entries(hangar))

    def test_an_inspection_on_paper_counts_and_is_not_sealed(self, run: Run, hangar: Path) -> None:
        self.imported(run, hangar, 'last: {"condition inspection, see list": [condition]}\n')
        assert [entry.last for entry in entries(hangar) if entry.last] == [("condition",)]
        assert all(entry.seal is None for entry in entries(hangar))
        # Twelve calendar months from 2026-08: to the end of August 2027 (91.409 by the limitations of the sample).
        assert "2027-08-31" in self.due_lines(run, hangar, "condition")

    def test_what_would_be_a_problem_is_refused_at_its_row_and_no_column_is_passed_over(
        self, run: Run, hangar: Path
    ) -> None:
        """A logbook without a page is no paper that an inspection counts by: no record of it can stand."""
        (hangar.parent / "log.columns.yaml").write_text(
            "format: 1\ncells: comma\nnames: 1\ndates: year first\ndecimals: point\n"
            "paper: log\ncolumns: {Date: date, Tach: reads tach, Work: text, By: by}\nlast: {annual: [condition]}\n"
        )
        found = "Date,Tach,Work,By,Found\n2026-04-14,395.0,Annual,Jo Invented,crack in the spar\n"
        made = bring(run, hangar, found)
        assert made.code == 2, made
        assert "log.csv:2: counts for the condition inspection" in made.err
        assert "does not say what `Found` is" in made.out + made.err
        assert entries(hangar) == []

    @pytest.mark.parametrize("more", ["", "  - first: 1 h\n"], ids=["at once", "with first"])
    def test_what_a_row_did_makes_nothing_owed_but_unknown(self, run: Run, hangar: Path, more: str) -> None:
        """The paper may say three lines below that the run was made; a logbook of years would bar flight at once."""
        check = "---\npanel: run\nname: Run\nzone: nose\n---\n- [ ] `leaks` Leak run\n  - owed-after: did oil\n" + more
        (hangar / "checklists" / "run.md").write_text(check)

        def leaks() -> tuple[str, bool]:
            answer = json.loads(run(hangar, "due", "--json").out)
            barred = any("leaks" in json.dumps(stop) for stop in answer["stops"])
            return next(item["state"] for item in answer["items"] if item["check"] == "leaks"), barred

        assert self.imported(run, hangar, 'did: {"oil and filter changed": [oil]}\n').code == 0
        assert leaks() == ("unknown", False)
        words = " ".join(run(hangar, "due", "leaks").out.split())
        assert "`did oil` was brought forward" in words
        # Done since, it is answered; done here again, the oil makes it owed as ever.
        assert run(hangar, "work", "leaks", "tach=81.0", on="2026-10-01").code == 0
        assert leaks()[0] == "later"
        assert run(hangar, "work", "oil", "tach=82.0", on="2026-10-02").code == 0
        assert leaks()[0] == ("soon" if more else "past-due")

    def test_a_check_that_does_not_exist_is_named_and_nothing_is_written(self, run: Run, hangar: Path) -> None:
        outcome = self.imported(run, hangar, 'did: {"oil and filter changed": [oyl]}\n')
        assert outcome.code == 2
        assert "log.csv:2: did: no check is called `oyl`" in outcome.err
        assert entries(hangar) == []


class TestDoubtful:
    """What a person would look at twice on paper is asked, or said before anything is written."""

    TABLE = (
        "Date;Tach;Done;Sig\n1.5.2019;0,5;first flight;S. Builder\n5/3/19;4,1;washed;SB\n14.6.19;10,2;oil;SB\n"
        ";;no metal in filter;SB\n12.11.2022;15,0;tyre;ZP\n12.11.2022;15,0;tyre;ZP\n;;sum;\n"
    )
    COLUMNS = ("", "", "", "")

    def test_dates_of_another_sign_are_asked_for_themselves(self, run: Run, hangar: Path) -> None:
        typed = (*self.COLUMNS, "month first", "yes", "no", "yes", "log", "yes", "yes", "", "yes")
        outcome = bring(run, hangar, self.TABLE, typed)
        assert outcome.code == 0, outcome
        assert "Dates such as 5/3/19 are written: 1 day first, 2 month first" in outcome.err
        assert sorted(str(entry.date) for entry in entries(hangar)) == [
            *("2019-05-01", "2019-05-03", "2019-06-14", "2019-06-14", "2022-11-12", "2022-11-12"),
        ]
        # Row by row: one is of the day above, the sum is no entry. Initials are asked, and kept.
        assert "Line 5 has no date" in outcome.err
        assert "Is line 8 no entry" in outcome.err
        assert "left out, as you said: line 8: ,,sum" in outcome.out
        assert {entry.by.name for entry in entries(hangar) if entry.by} == {"Sample Builder", "ZP"}
        # Which row says what another one says, and how it is left out.
        assert "1 row says what another one of that day says: line 7 as line 6" in outcome.out
        assert "  leave-out: {7: '12.11.2022,\"15,0\",tyre,ZP', 8: sum}" in outcome.out
        # A day before the certificate of 2019-05-17 may be right, and is remarked.
        told = "2 rows are of a day before the certificate, 2019-05-17: line 2, taken as 2019-05-01: 1.5.2019,"
        assert told in outcome.out
        again = bring(run, hangar, self.TABLE)
        assert (again.code, again.err) == (0, ""), again

    def test_a_row_that_is_neither_of_the_day_above_nor_left_out_is_not_guessed(self, run: Run, hangar: Path) -> None:
        outcome = bring(run, hangar, self.TABLE, (*self.COLUMNS, "day first", "yes", "no", "no"))
        assert outcome.code == 2
        assert "log.csv:8 is neither of the day above nor left out: write its date into the table" in outcome.err
        assert entries(hangar) == []

    def test_of_many_rows_without_a_date_sums_are_asked_apart(self, run: Run, hangar: Path) -> None:
        rows = "".join(f";;{words};\n" for words in ("a tyre", "a bulb", "a wash", "a rivet", "a hose", "a seal"))
        table = f"Date;Tach;Done;Sig\n14.6.2019;10,2;oil;\n{rows};22,5;;\n;23,5;Sum carried over;\n"
        outcome = bring(run, hangar, table, (*self.COLUMNS, "yes", "yes", "log", "yes"))
        assert outcome.code == 0, outcome
        assert "2 rows without a date look like a sum: no entries, and left out of every import?" in outcome.err
        assert "6 rows without a date are of the day above, as merged cells are?" in outcome.err
        assert len(entries(hangar)) == 7


class TestUnusual:
    """A digit too much in a total would move what is due by hundreds of hours: 24 h a day are possible, not usual."""

    TABLE = "Date,{},Remarks\n2019-06-04,85.5,Oil\n2019-06-13,{},Oil\n"

    @pytest.mark.parametrize(("column", "total"), [("Tach", "300"), ("Total tach", "300.0")])
    def test_is_asked_and_a_no_writes_nothing(self, run: Run, hangar: Path, column: str, total: str) -> None:
        table = self.TABLE.format(column, total)
        role = "total tach" if column == "Total tach" else ""
        outcome = bring(run, hangar, table, ("", role, "", "", "no"))
        assert outcome.code == 2
        # A builder flies some 60 h a year (the prior of 30 days): 9 days of it are 1.5 h.
        told = "log.csv:3: the total of tach, 300, is 214.5 h more than on 2019-06-04; usual in 9 days is 1.5 h"
        assert told.replace("300,", f"{total},") in outcome.err
        assert entries(hangar) == []
        assert bring(run, hangar, table, ("yes", "yes")).code == 0
        assert len(entries(hangar)) == 2

    def test_yes_takes_them_as_they_are(self, run: Run, hangar: Path) -> None:
        bring(run, hangar, self.TABLE.format("Tach", "300"), ("", "", "", "", "no"))
        outcome = run(hangar, "import", str(hangar.parent / "log.csv"), "--write", "--yes")
        assert (outcome.code, "2 records written" in outcome.out) == (0, True), outcome.err

    def test_what_was_flown_in_a_long_gap_is_not_unusual(self, run: Run, hangar: Path) -> None:
        table = self.TABLE.format("Tach", "300").replace("2019-06-13", "2021-06-13")
        assert bring(run, hangar, table, ("", "", "", "", "yes")).code == 0


class TestRefused:
    def test_every_bad_row_is_named_and_nothing_is_written(self, run: Run, hangar: Path) -> None:
        table = (
            "Date,Tach,Remarks\n2019-06-04,12.4,good\n2019-06-31,13,no such day\n2027-01-01,14,not yet\n"
            "2019-06-05,x,no number\n2019-06-06,,\n2019-06-07,15,too,many\n,16,no day\n"
        )
        outcome = bring(run, hangar, table, ("", "", "", "left out", "no", ""))
        assert outcome.code == 2
        for told in (
            "log.csv:3: `2019-06-31` is a day that does not exist",
            "log.csv:4: `2027-01-01` is in the future",
            "log.csv:5: Tach: `x` is no number with a decimal point",
            "log.csv:6: says nothing but a date",
            "log.csv:8: has no date",
        ):
            assert told in outcome.err
        assert entries(hangar) == []

    def test_rows_that_are_refused_are_told_once(
        self, run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """At a terminal the whole answer came again for every question, none of which was asked once more."""
        monkeypatch.setattr("inspect_kit.cli.said.somebody", lambda: True)
        outcome = bring(run, hangar, "Date,Tach,Remarks\n2019-06-04,12.4,one\n2019-06-05,10,two\n", ("",) * 4)
        assert outcome.code != 0
        assert outcome.err.count("log.csv:3: tach reads 10 on 2019-06-05, lower than") == 1, outcome.err
        assert "comes once more" not in outcome.err

    def test_a_table_without_its_date_is_asked_for_that_column(self, run: Run, hangar: Path) -> None:
        """Which of the answers was wrong nobody knows: the last question came for ever."""
        typed = ("text", "", "", "left out", "", "", "airframe log", "no")
        outcome = bring(run, hangar, american(facts(3)), typed)
        assert "An entry has a date, and no column was taken as it; it is: 1 Date, 2 Tach" in outcome.err

    def test_an_ambiguous_date_is_asked_once(self, run: Run, hangar: Path) -> None:
        table = "Date,Remarks\n02/03/20,one\n04/05/20,two\n"
        outcome = bring(run, hangar, table, ("", "", "what", "day first", "", "yes"))
        assert outcome.code == 0, outcome.err
        assert outcome.err.count("Dates such as 02/03/20") == 2
        assert [entry.date for entry in entries(hangar)] == [dt.date(2020, 3, 2), dt.date(2020, 5, 4)]

    def test_a_row_left_out_is_shown_and_must_be_that_row(self, run: Run, hangar: Path) -> None:
        table = "Date,Tach,Remarks\n2019-06-04,12.4,good\n,13.5,Carried forward\n"
        bring(run, hangar, table, ("", "", "", "no", ""))
        beside = hangar.parent / "log.columns.yaml"
        kept = beside.read_text()
        beside.write_text(kept + "leave-out: {3: carried forward}\n")
        outcome = bring(run, hangar, table, ("yes",))
        assert "left out, as you said: line 3: ,13.5,Carried forward" in outcome.out
        assert len(entries(hangar)) == 1
        beside.write_text(kept + "leave-out: {2: carried forward}\n")
        assert "log.csv:2: `leave-out` names this line" in bring(run, hangar, table).err

    def test_what_is_said_of_a_row_that_is_on_record_is_told_and_not_written(self, run: Run, hangar: Path) -> None:
        """It counted for nothing, and nobody was told; nor was a `did` that was taken away, or an order of days."""
        table = "Date,Tach,Remarks,Who\n5/3/2021,12.4,Oil changed,SB\n7/5/2021,13.0,Washed,SB\n"
        beside = hangar.parent / "log.columns.yaml"
        columns = "format: 1\ncells: comma\nnames: 1\ndates: {}\ndecimals: point\npaper: log\n"
        columns += "columns: {{Date: date, Tach: {}, Remarks: text, Who: by}}\n{}"

        def again(*said: str) -> list[str]:
            beside.write_text(columns.format(*said))
            outcome = bring(run, hangar, table, ("yes",))
            assert (outcome.code, len(entries(hangar))) == (0, 2), outcome.err
            assert ("amend` that" in outcome.out) is (": not as in records/" in outcome.out)
            told = [line.strip() for line in outcome.out.splitlines() if ": not as in records/" in line]
            return [line.split(": not as in")[0] for line in told]

        first = ("day first", "reads tach", 'people: {SB: Sample Builder}\ndid: {"oil changed": [oil]}\n')
        assert again(*first) == []
        assert again(*first) == []
        assert again("month first", *first[1:]) == ["log.csv:2: date", "log.csv:3: date"]
        assert again(first[0], "total tach", first[2]) == ["log.csv:2: meters, totals", "log.csv:3: meters, totals"]
        assert again(*first[:2], "people: {SB: Sample Builder}\n") == ["log.csv:2: did"]
        assert again(*first[:2], first[2].replace("Builder", "Other")) == ["log.csv:2: by", "log.csv:3: by"]
        # Where the record was corrected by an amendment, the row is as its file has it.
        (washed,) = (hangar / "records").rglob("2021-05-07-*.yaml")
        dry = "kind: amendment\nof: {}\ndate: 2021-05-08\ntext: slip\nby: Sample Builder\ninstead: {{text: dry}}\n"
        (washed.parent / "2021-05-08-a.yaml").write_text(f"format: 1\n{dry.format(washed.stem)}")
        assert again(*first) == []
        assert {each.text for each in entries(hangar)} == {"Oil changed", "dry"}

    def test_a_row_that_is_none_is_asked_as_it_stands_and_left_out_for_good(self, run: Run, hangar: Path) -> None:
        table = "Date;Tach;Remarks\n2019-06-04;12.4;good\n;13.5;Carried forward: p. 6\n"
        outcome = bring(run, hangar, table, ("", "", "", "", "", "yes", "yes"))
        assert outcome.code == 0, outcome.err
        assert "  line 3: ;13.5;Carried forward: p. 6" in outcome.err
        assert "of the day above, as merged cells are? (yes, no; Enter: no)" in outcome.err
        assert "Is line 3 no entry, and left out of every import? (yes, no; Enter: no)" in outcome.err
        assert len(entries(hangar)) == 1
        # A second one goes to the first, and the rest of the file stays; nothing is asked again of the first.
        beside = hangar.parent / "log.columns.yaml"
        beside.write_text(beside.read_text() + "# mine\n")
        again = bring(run, hangar, f"{table}2019-07-01;x;Sum\n", ("y",))
        assert (again.code, again.err.count("no entry")) == (0, 1), again
        assert "  4: '2019-07-01,x,Sum'\n" in beside.read_text()
        assert beside.read_text().endswith("# mine\n")

    @pytest.mark.parametrize("words", ["Carried forward", "carried forward to p. 7", "Total", "Sub-total of this page"])
    def test_a_sum_with_a_date_is_asked_too(self, run: Run, hangar: Path, words: str) -> None:
        table = f"Date,Tach,Remarks\n2019-06-04,12.4,good\n2019-06-05,12.4,{words}\n2019-06-06,12.9,Total of 3 rivets\n"
        outcome = bring(run, hangar, table, ("", "", "", "airframe log", "yes", "yes"))
        assert outcome.code == 0, outcome
        assert outcome.err.count("looks like a sum: is it no entry, and left out") == 1
        assert {each.text for each in entries(hangar)} == {"good", "Total of 3 rivets"}

    def test_a_row_that_looks_like_a_sum_may_be_an_entry(self, run: Run, hangar: Path) -> None:
        table = "Date,Tach,Remarks\n2019-06-04,12.4,good\n2019-06-05,12.4,Total\n"
        assert bring(run, hangar, table, ("", "", "", "airframe log", "no", "yes")).code == 0
        assert len(entries(hangar)) == 2
        assert "looks like a sum" not in bring(run, hangar, table).err

    def test_what_an_inspection_lacks_is_added_and_not_left_out(self, run: Run, hangar: Path) -> None:
        """A real inspection without its page was offered to be left out of every import."""
        table = "Date,Tach,Work,Signed\n2019-06-04,12.4,Annual,J. Invented\n"
        typed = ("", "", "", "", "airframe log", "no")
        assert bring(run, hangar, table, typed).code == 0
        beside = hangar.parent / "log.columns.yaml"
        beside.write_text(f"{beside.read_text()}last: {{annual: [condition]}}\n")
        outcome = bring(run, hangar, table)
        assert outcome.code == 2
        assert "log.csv:2: counts for the condition inspection, and does not say on which page it stands" in outcome.err
        assert "add to the table who signed, or the page, in a column that log.columns.yaml has as" in outcome.err
        assert "leave-out" not in outcome.err
        assert "No row says just" not in outcome.out

    def test_where_nobody_answers_it_says_what_to_write(self, run: Run, hangar: Path) -> None:
        table = "Date;Tach;Remarks\n2019-06-04;12.4;good\n;13.5;Carried forward: p. 6\n"
        refused = bring(run, hangar, table, ("", "", "", "no", ""))
        assert refused.code == 2
        assert "log.csv:3: has no date\n    ;13.5;Carried forward: p. 6" in refused.err
        assert "in log.columns.yaml, such as\n  leave-out: {3: 'Carried forward: p. 6'}" in refused.err

    def test_the_line_that_is_shown_can_be_typed_as_it_stands(self, run: Run, hangar: Path) -> None:
        """Each cell is nasty in its own way to a line of YAML; with every line typed in, the next row is offered."""
        cells = ("sum, carried over", '{on page: 3}', "it's [so]", 'say "so", then', "#3 - ~, more", "- carried: over")
        out = io.StringIO()
        csv.writer(out, delimiter=";").writerows([["Date", "Tach", "Remarks"], ["2019-06-04", "12,4", "good"]])
        csv.writer(out, delimiter=";").writerows(["", "201,8", cell] for cell in cells)
        refused = bring(run, hangar, out.getvalue(), ("", "", "", "no", ""))
        beside = hangar.parent / "log.columns.yaml"
        kept = beside.read_text()
        for _ in cells:
            assert refused.code == 2
            beside.write_text(f"{kept}{refused.err.rstrip().splitlines()[-1].strip()}\n")
            refused = bring(run, hangar, out.getvalue(), ("yes",))
        assert refused.code == 0, refused
        assert len(entries(hangar)) == 1
        assert refused.out.count("left out, as you said") == len(cells)

    @pytest.mark.parametrize(
        ("line", "told"),
        [
            ("dates: day last", "dates: expected day first or month first or year first, not `day last`"),
            ("decimals: dot", "decimals: expected point or comma, not `dot`"),
            ("colour: red", "unknown key `colour`"),
            ("did: {oil: [oil], Oil: [stacks]}", "did: `Oil` stands there twice, case aside"),
            ("last: {A: [condition], a: [condition]}", "last: `a` stands there twice, case aside"),
            ("leave-out: {x: y}", "leave-out: expected the number of a line, not `x`"),
        ],
    )
    def test_a_word_that_is_none_in_the_file_beside(self, run: Run, hangar: Path, line: str, told: str) -> None:
        bring(run, hangar, american(facts(3)), (*SHAPES["american"][1][:5], "month", "x", "no"))
        beside = hangar.parent / "log.columns.yaml"
        key = line.partition(":")[0]
        kept = [each for each in beside.read_text().splitlines() if not each.startswith(f"{key}:")]
        beside.write_text("\n".join([*kept, line]) + "\n")
        outcome = bring(run, hangar, american(facts(3)))
        assert outcome.code == 2
        assert told in outcome.err

    @pytest.mark.parametrize(
        ("by_hand", "kept"),
        [
            ("", "people:\n  ZQ: Sample Builder\n"),
            ("people:\n    AB: Al Bo  # four\n", "people:\n    ZQ: Sample Builder\n    AB: Al Bo  # four\n"),
            ("people:\n AB: Al Bo\n", "people:\n ZQ: Sample Builder\n AB: Al Bo\n"),
            ("people:  # who\n\n   # us\n   A: B\n", "people:  # who\n   ZQ: Sample Builder\n\n   # us\n   A: B\n"),
            # In another form a line is not put in, and nothing is asked.
            ("people:\n  {AB: Al Bo}\n", ""),
            ("people: {AB: Al Bo}\n", ""),
            ("...\n", ""),
        ],
    )
    def test_an_answer_is_kept_as_far_in_as_the_lines_by_hand(
        self, run: Run, hangar: Path, by_hand: str, kept: str
    ) -> None:
        """Two blanks were put in front of it whatever stood there, and the file could not be read again."""
        table = "Date,Tach,Remarks,Who\n2021-05-03,12.4,Oil changed,ZQ\n"
        beside = hangar.parent / "log.columns.yaml"
        head = "format: 1\ncells: comma\nnames: 1\ndates: year first\ndecimals: point\npaper: log\n"
        head += "columns: {Date: date, Tach: reads tach, Remarks: text, Who: by}\n"
        beside.write_text(head + by_hand)
        outcome = bring(run, hangar, table, ("Sample Builder", "yes") if kept else ("yes",))
        assert (outcome.code, len(entries(hangar))) == (0, 1), outcome.err
        assert ("Who is `ZQ`" in outcome.err) is bool(kept)
        assert beside.read_text() == head + (kept or by_hand)
        assert bring(run, hangar, table, ("yes",)).code == 0

    def test_columns_that_are_not_in_the_table_any_more(self, run: Run, hangar: Path) -> None:
        bring(run, hangar, american(facts(3)), (*SHAPES["american"][1][:5], "month", "x", "no"))
        outcome = bring(run, hangar, american(facts(3)).replace("Signed", "By whom"))
        assert outcome.code == 2
        assert "log.columns.yaml names `Signed`" in outcome.err

    def test_no_such_file(self, run: Run, hangar: Path) -> None:
        outcome = run(hangar, "import", str(hangar / "none.csv"))
        assert (outcome.code, outcome.out) == (2, "")
        assert "there is no such file" in outcome.err


SIGNED = "Date,Tach,Work,By\n2019-06-14,12.0,Oil and filter changed,RS\n"


@pytest.mark.parametrize(
    ("stands", "asked"),
    [
        ("people:\n    AB: Al Bo      # of the club\n", True),
        ("people:\n AB: Al Bo\n", True),
        ("people:\n\n    # who it was\n    AB: Al Bo\n", True),
        ("", True),
        ("people:\n  {AB: Al Bo}\n", False),
        ("people: {AB: Al Bo}\n", False),
        ("people:  # of the club\n    AB: Al Bo\n", True),
        ("...\n", False),
    ],
)
def test_an_answer_is_set_in_as_what_stands_there_by_hand(run: Run, hangar: Path, stands: str, asked: bool) -> None:
    """Four blanks where two were written made it no YAML; where no line can be added nobody is asked for one."""
    bring(run, hangar, SIGNED, ("",) * 20)
    beside = hangar.parent / "log.columns.yaml"
    kept = beside.read_text()
    # Nothing is known of who signed yet.
    kept = kept[: kept.index("people:\n")] if "\npeople:\n" in kept else kept
    beside.write_text(kept + stands)
    outcome = bring(run, hangar, SIGNED, ("Sample Builder", "no"))
    assert ("Who is `RS`" in outcome.out + outcome.err) is asked
    after = beside.read_text()
    assert ("RS: Sample Builder" in after) is asked
    assert all(line in after for line in (kept + stands).splitlines())
    again = bring(run, hangar, SIGNED, ("no",))
    assert (again.code, "cannot be read" in again.err) == (0, False)


@pytest.mark.parametrize(
    ("stands", "after"),
    [
        ("leave-out:\n    3: a sum\n", "leave-out:\n    9: x\n    3: a sum\n"),
        ("leave-out:\r\n  3: a sum\r\n", "leave-out:\r\n  9: x\r\n  3: a sum\r\n"),
        ("paper: log\r\n", "paper: log\r\nleave-out:\r\n  9: x\r\n"),
        ("leave-out:\n  9: a sum\n", None),
    ],
)
def test_a_row_left_out_is_set_in_so_too(stands: str, after: str | None) -> None:
    head = "format: 1\ncells: comma\nnames: 1\ndates: year first\ndecimals: point\ncolumns: {Date: date}\n"
    ending = "\r\n" if "\r\n" in stands else "\n"
    head = head.replace("\n", ending)
    columns, _ = past.read_columns(head, "log.columns.yaml", ["tach"])
    assert columns is not None
    assert _added(head + stands, LEAVE_OUT, {"9": "x"}, columns) == (None if after is None else head + after)


AIRCRAFT = """\
format: 1
aircraft:
  registration: N0TS
  make: Turnstone
  model: TS-2
  serial: "001"
  certificate-date: 2019-05-17
meters:
  tach: {unit: h}
time-in-service: tach
people:
  - {name: Sample Builder, kind: repairman (experimental aircraft builder), certificate: "0000001"}
inspections:
  condition:
    every: 12 calendar months
    scope: part 43 appendix D
    statement: I certify.
    signers: [repairman (experimental aircraft builder)]
"""
COWL = """\
---
panel: cowl
name: Cowling
zone: nose
remove: 10 min
refit: 15 min
---
- [ ] `oil` Change the oil
  - every: 50 h
- [ ] `stacks` Exhaust stacks: cracks
  - every: condition inspection
  - covers: d8
"""


