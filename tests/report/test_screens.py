"""Answers on one screen of 24 lines of 80 cells: what presses stands there whole, and the rest is counted."""

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_kit.due.answer import INSPECTION, DueAt, Left, NotToBeUsed, Stop
from inspect_kit.errors import Place
from inspect_kit.model.finding import Fix
from inspect_kit.plan import StepCaution
from inspect_kit.report import (
    due_screen,
    first_lines,
    history_of,
    history_screen,
    plain,
    plan_screen,
    scope_screen,
    search_screen,
    status_screen,
    visits_page,
    visits_screen,
)
from inspect_kit.report.blocks import STOP, Page, Paragraph
from inspect_kit.report.naming import check_title
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.report.screens.fit import LINES, cut, one_screen
from inspect_kit.report.screens.visits import what_for
from inspect_kit.rules import scope_coverage
from inspect_kit.rules.coverage import ScopeAnswer
from inspect_kit.text.searching import Found
from tests.report.answers import HERE, ITEMS, PROBLEMS, STOPS, day, due_answer, item, outlook, plan
from tests.report.small import logbook

BOOK = logbook()
LONG = "records/2025/2025-11-22-condition-j4jj.md"
FOUND = Found(
    place=Place(file=LONG, line=1344), title="stacks", text="- [x] `stacks` Stacks: " + "weld " * 40, rank="name"
)


def told(page: Page, room: int = 400) -> str:
    """All words of a page, wide enough that no cell is broken."""
    return " ".join(plain.render(page, room).split())


def lines(page: Page) -> list[str]:
    return plain.render(page, 80).splitlines()


def many(state: str, count: int, **given: object) -> list[object]:
    return [
        item(f"check-{state}-{number}", state, name=f"Check {number} {state}: look", left=Left(days=number), **given)
        for number in range(count)
    ]


def crowded(**given: object) -> object:
    """More of everything than a screen holds."""
    items = (*many("past-due", 3), *many("unknown", 50), *many("soon", 50), *many("later", 200), ITEMS[-1])
    return due_answer(**({"stops": (), "not_to_be_used": (), "items": items} | given))


def covered(why: str = "this aircraft has none, which is said here at length") -> ScopeAnswer:
    """A coverage in which nothing is missing: most is said to be not applicable."""
    missing = scope_coverage(BOOK.checks.values(), BOOK.aircraft).missing
    absent = {clause.code: why for clause in missing}
    return scope_coverage(BOOK.checks.values(), replace(BOOK.aircraft, not_applicable=absent))


SCREENS: dict[str, Callable[[int], Page]] = {
    "due": lambda room: due_screen(due_answer(stops=()), room),
    "due, crowded": lambda room: due_screen(crowded(), room),
    "first": lambda room: first_lines(crowded()),
    "status": lambda room: status_screen(due_answer(), room),
    "scope": lambda room: scope_screen(covered(), BOOK, room),
    "history": lambda room: history_screen(history_of(BOOK, "cowl-lower"), BOOK, room),
    "visits": lambda room: visits_screen(outlook(), BOOK, room),
    "visits, crowded": lambda room: visits_screen(outlook(visits=outlook().visits * 20), BOOK, room),
    "plan": lambda room: plan_screen(plan(), BOOK, PlanClock(), what="oil", ask="plan oil", room=room),
    "search": lambda room: search_screen([FOUND] * 50, "stack", "N0TS", (), room),
}


@pytest.mark.parametrize("room", [60, 80, 120])
@pytest.mark.parametrize("name", SCREENS)
def test_is_one_screen_and_says_how_to_see_more(name: str, room: int) -> None:
    shown = plain.render(SCREENS[name](room), room).splitlines()
    assert len(shown) <= LINES == 23
    assert max(map(len, shown)) <= room
    assert any(line.startswith("More: ") for line in shown)


def test_a_wide_screen_says_what_one_of_80_cells_says_and_cuts_less_of_it() -> None:
    more = {}
    for name, make in SCREENS.items():
        narrow, wide = (Counter(re.findall(r"[a-z]{3,}", told(make(room)))) for room in (80, 120))
        assert not narrow - wide, name
        more[name] = wide - narrow
    assert any(more.values())
    caution = "Let it cool for an hour, and then reach past the stacks with gloves on and nobody near the propeller."
    made = replace(plan(), cautions=(StepCaution(at="cowl-lower", text=caution),))
    drawn = {room: plan_screen(made, BOOK, PlanClock(), what="oil", ask="plan oil", room=room) for room in (80, 120)}
    # A caution is cut on neither.
    assert all(caution in told(page) for page in drawn.values())


def test_an_inspection_is_named_whole_on_a_narrow_screen() -> None:
    first = outlook().visits[0]
    own = replace(first.doings[0], item="condition", kind=INSPECTION, with_=())
    one = replace(first, doings=(own, *first.doings * 20))
    assert "Condition inspection and " in told(visits_screen(outlook(visits=(one,)), BOOK, 60))


@pytest.mark.parametrize("most", [0, 1, 5, 100])
def test_as_many_rows_as_fit(most: int) -> None:
    def make(rows: int) -> Page:
        return Page(title="x", blocks=tuple(Paragraph(text=str(each)) for each in range(rows)), dense=True)

    assert len(lines(one_screen(make, most))) == min(most + 1, LINES)


@pytest.mark.parametrize(
    ("text", "most", "shown"),
    [
        ("one two three", 13, "one two three"),
        ("one two three", 12, "one two …"),
        ("one, two three", 7, "one …"),
        ("unbroken", 5, "unb …"),
    ],
)
def test_what_is_cut_says_so(text: str, most: int, shown: str) -> None:
    assert cut(text, most) == shown


class TestDue:
    def test_nothing_that_presses_is_ever_cut(self) -> None:
        reasons = tuple(Stop(kind="finding", text=f"reason {n} " + "x " * 60 + "end", place=HERE) for n in range(20))
        barred = tuple(NotToBeUsed(what=f"thing {n}", check=f"c{n}", why="late", place=HERE) for n in range(20))
        items = (*many("past-due", 30), *many("in-grace", 10), *many("soon", 50))
        for make in (due_screen, first_lines):
            page = told(make(due_answer(stops=reasons, not_to_be_used=barred, items=items)))
            assert page.count(" end ") == 20
            assert all(f"thing {n}, until c{n}: late." in page for n in range(20))
            assert all(f"Check {n} past-due" in page for n in range(30))
            assert all(f"Check {n} in-grace" in page for n in range(10))

    def test_begins_with_meters_inspection_reasons_and_what_may_not_be_used(self) -> None:
        page = told(due_screen(due_answer()))
        order = [
            "tach 0.5 (total 611.2), read 4 days ago; no reading of landings",
            "Condition inspection: 370 days left, to 2027-11-30",
            "2 reasons on record not to fly: !! Lower cowling is off since 2026-11-24",
            "! Not to be used: the transponder, until Static system, altimeter and encoder (static-test): "
            "3 days past due (2026-11-22)",
            "Past due 2",
            "Past due, in grace 1",
            "More: due --all",
        ]
        assert [page.index(each) for each in order] == sorted(page.index(each) for each in order)

    def test_a_finding_past_its_limit_keeps_all_its_words(self) -> None:
        words = "crack of 30 mm from the rear screw hole that was stop-drilled and looked at with each oil change"
        late = replace(ITEMS[5], name=words, state="past-due", left=Left(days=-3))
        page = told(due_screen(due_answer(items=(late,), stops=())))
        assert f"{words} (F2)" in page
        later = told(due_screen(due_answer(items=(replace(ITEMS[5], name=words),), stops=())))
        assert "crack of 30 mm from the rear screw … (F2)" in later

    def test_checks_of_one_subject_are_told_apart_by_their_ids(self) -> None:
        checks = {name: BOOK.checks[name] for name in ("exhaust-stacks", "compression")}
        texts = {name: f"Stacks: {check.text}" for name, check in checks.items()}
        twins = {name: replace(check, text=texts[name]) for name, check in checks.items()}
        book = replace(BOOK, checks={**BOOK.checks, **twins})
        items = tuple(item(name, "soon", name=text, left=Left(days=9)) for name, text in texts.items())
        other = item("oil-change", "soon", name=BOOK.checks["oil-change"].text, left=Left(days=9))
        due = told(due_screen(due_answer(seen=book, items=(*items, other), stops=())))
        assert "Stacks (exhaust-stacks)" in due
        assert "Stacks (compression)" in due
        assert "(oil-change)" not in due
        history = told(history_screen(history_of(book, "cowl-lower"), book))
        assert "Stacks (exhaust-stacks)" in history

    def test_items_go_by_their_names_and_the_rest_is_counted(self) -> None:
        page = told(due_screen(crowded()))
        assert "check-soon-1" not in page
        assert "Soon 50" in page
        assert "Unknown 50" in page
        assert "Later 200" in page
        shown, rest = page.count("Check") - 3, sum(map(int, re.findall(r"and (\d+) more", page)))
        assert (shown > 5, shown + rest) == (True, 300)

    def test_what_comes_with_the_inspection_is_counted_and_not_listed(self) -> None:
        inspection = replace(ITEMS[-1], state="soon", left=Left(days=4))
        belongs = next(check for check in BOOK.checks.values() if check.at_inspection("condition"))
        items = (item(belongs.id, "soon", name=belongs.text, left=Left(days=4)), *many("soon", 2), inspection)
        page = told(due_screen(due_answer(items=items, stops=())))
        assert "Soon 3: 1 with the inspection, 2 by themselves" in page
        assert belongs.text.partition(":")[0] not in page
        # While the inspection is far off it is an item like any other.
        page = told(due_screen(due_answer(items=(*items[:-1], ITEMS[-1]), stops=())))
        assert "Soon 3" in page
        assert belongs.text.partition(":")[0] in page

    def test_a_question_about_the_future_and_problems_are_told_first(self) -> None:
        asked = due_answer(by=day("2027-07-20"), flying=Decimal(15), problems=PROBLEMS)
        shown = lines(due_screen(asked))
        assert shown[1].startswith("!! INCOMPLETE: 1 problem")
        assert "What will have come due by 2027-07-20" in " ".join(shown[2:5])

    def test_ten_lines_where_nothing_but_three_items_presses(self) -> None:
        assert len(lines(first_lines(crowded()))) <= 10


class TestStatus:
    def test_the_inspection_leads(self) -> None:
        shown = lines(status_screen(due_answer(stops=())))
        assert shown[1].startswith("Condition inspection: 370 days left")

    def test_a_life_that_has_passed_and_a_finding_before_flight_are_never_cut(self) -> None:
        assert BOOK.standing()
        record = next(each for each in BOOK.records if each.name == next(iter(BOOK.standing())).partition("#")[0])
        findings = tuple(
            replace(
                finding, fix=Fix(), text="to be corrected before flight, whatever else is said here, and said whole"
            )
            for finding in record.findings  # type: ignore[attr-defined]
        )
        kept = tuple(replace(record, findings=findings) if each is record else each for each in BOOK.records)  # type: ignore[call-arg]
        page = told(status_screen(due_answer(seen=replace(BOOK, records=kept))))
        assert "!! to be corrected before flight, whatever else is said here, and said whole" in page


class TestScope:
    def test_what_is_missing_is_never_cut(self) -> None:
        answer = scope_coverage((), BOOK.aircraft)
        assert len(answer.missing) > LINES
        for room in (60, 80, 120):
            page = plain.render(scope_screen(answer, BOOK, room), room)
            codes = page.partition("Missing")[2].partition("Not applicable")[0]
            named = re.findall(r"\b([a-j][0-9]*)(?=,|\s\()", codes)
            assert named == [clause.code for clause in answer.missing]
            # A line for each of 43 codes was two screens.
            assert len(page.splitlines()) <= LINES
        few = replace(answer, clauses=answer.clauses[:3])
        assert "!! Missing: b2 Systems and components of the fuselage." in told(scope_screen(few, BOOK))

    def test_why_a_code_does_not_apply_is_never_cut(self) -> None:
        """At 80 it said that "the propeller is fixed pitch and has no …"."""
        why = "the propeller is fixed pitch and has no control mechanism of any kind whatever"
        for room in (60, 80, 120):
            page = told(scope_screen(covered(why), BOOK, room))
            assert page.count("the propeller is fixed pitch") == page.count(why)
        assert why in page

    def test_how_many_reasons_are_left_out_is_told(self) -> None:
        """At 60 six codes were named, and under them the reasons of four."""
        answer = covered()
        absent = len([each for each in answer.clauses if each.state == "not applicable"])
        for room in (60, 80, 120):
            page = told(scope_screen(answer, BOOK, room))
            shown = page.count("which is said here at length")
            assert shown < absent
            assert f"More: scope --all ({absent - shown} more)." in page
        few = replace(answer, clauses=tuple(each for each in answer.clauses if each.state != "not applicable"))
        assert "More: scope --all. The" in told(scope_screen(few, BOOK))


class TestHistory:
    def test_the_newest_comes_first(self) -> None:
        answer = history_of(BOOK, "cowl-lower")
        dates = [line[:10] for line in lines(history_screen(answer, BOOK)) if line[:2] == "20"]
        assert dates == sorted(dates, reverse=True)
        assert dates[0] == str(answer.events[-1].date)

    def test_no_number_is_left_at_a_cut(self) -> None:
        """`3 …` of `3 findings` says nothing."""
        text = "signed in ink by Sample Builder; 3 findings; on a page begun 2025-11-17"
        for most in range(20, len(text)):
            assert not re.search(r"[;,] 3 …$", cut(text, most)), most
            assert len(cut(text, most)) <= most
        assert cut("Iron 17, copper 4, silicon 8 and more", 31) == "Iron 17, copper 4, silicon 8 …"

    def test_of_few_records_more_is_told_than_a_line(self) -> None:
        """At 60, on a screen half empty, who signed was cut."""
        answer = history_of(BOOK, "cowl-lower")
        what = "passed, signed in ink by Sample Builder, see airframe log p. 61; 5 findings; on a page begun 2025-11-17"
        events = tuple(replace(answer.events[0], record=f"r{n}", what=what) for n in range(8))
        page = told(history_screen(replace(answer, events=events), BOOK, 60))
        assert page.count("signed in ink by Sample Builder, see airframe log p. 61") == 8

    def test_at_most_twenty_and_the_older_ones_are_counted(self) -> None:
        answer = history_of(BOOK, "cowl-lower")
        events = tuple(replace(answer.events[0], record=f"r{n}", what="opened") for n in range(50))
        page = told(history_screen(replace(answer, events=events), BOOK))
        shown = page.count(str(events[0].date))
        assert shown == 20
        assert "Lower cowling. The newest 20 of 50 records; ~ is an estimated total." in page


class TestSearch:
    def test_a_line_is_cut_so_that_a_word_that_was_looked_for_is_left(self) -> None:
        """Of 12 places for `oil` six said nothing of oil."""
        words = "- [x] `placards` Placards and marks: as the limitations and the manual list them, " + "each one, " * 9
        far = replace(FOUND, title="placards", text=f"{words}oil pressure, and more of it in many words as they stand")
        page = told(search_screen([far], "OIL", "N0TS", (), 80))
        assert "`placards` Placards and marks: as the … oil pressure" in page


# A Saturday, as both visits of the outlook are, and a Wednesday.
DAYS_OF_ASKING = ("2026-11-21", "2026-11-25")


class TestVisits:
    def test_one_line_each_with_what_for_labour_and_panels(self) -> None:
        plan = outlook()
        shown = lines(visits_screen(plan, BOOK))
        for visit in plan.visits:
            (line,) = [each for each in shown if each.startswith(f"{visit.on:%a} {visit.on}")]
            assert line.rstrip()[-1].isdigit() or line.endswith("none")

    def test_days_that_follow_the_day_of_asking_say_so(self) -> None:
        words = "Mostly Saturdays, as it is asked on one; `weekdays: [Saturday]`"
        asked = {each: told(visits_screen(outlook(on=day(each)), BOOK)) for each in DAYS_OF_ASKING}
        assert [words in page for page in asked.values()] == [True, False]
        named = replace(BOOK.aircraft, visits=replace(BOOK.aircraft.visits, weekdays=(5,)))
        page = told(visits_screen(outlook(on=day(DAYS_OF_ASKING[0])), replace(BOOK, aircraft=named)))
        assert "Mostly" not in page

    def test_what_could_not_wait_names_the_visit(self) -> None:
        """The longest did, though it only came along."""
        every = (each for visit in outlook().visits for each in visit.doings)
        own = next(each for each in every if each.kind == "check" and not each.with_)
        short, *_, long = sorted(BOOK.checks.values(), key=lambda check: check.minutes * check.people)
        assert short.minutes * short.people < long.minutes * long.people
        waits, does_not = (replace(own, item=each.id, words="", pulled=each is long) for each in (long, short))
        one = replace(outlook().visits[0], doings=(waits, does_not))
        assert what_for(one, BOOK).startswith(check_title(BOOK, short.id)[:10])
        both = replace(one, doings=(replace(waits, pulled=False), does_not))
        assert what_for(both, BOOK).startswith(check_title(BOOK, long.id)[:10])

    def test_what_is_no_days_work_says_so(self) -> None:
        one = replace(outlook().visits[0], check_labour=40 * 60, panel_labour=0)
        assert "40 h, several days" in told(visits_screen(outlook(visits=(one,)), BOOK))
        one = replace(one, check_labour=16 * 60)
        assert "several days" not in told(visits_screen(outlook(visits=(one,)), BOOK))

    def test_where_they_do_not_all_fit_the_visits_come_before_the_costs(self) -> None:
        many = outlook(visits=outlook().visits * 20, notes=("a note " * 60,) * 5)
        shown = [line for line in lines(visits_screen(many, BOOK)) if re.match(r"\w{3} \d{4}-", line)]
        assert len(shown) >= 10
        assert "if it goes on as your records since" not in told(visits_screen(many, BOOK))

    @pytest.mark.parametrize("room", [60, 80, 120])
    @pytest.mark.parametrize("times", [1, 20], ids=["all", "some"])
    def test_what_presses_stands_first_and_whole(self, room: int, times: int) -> None:
        """Below the visits and their costs, and cut after 120 letters: the days after the inspection had run out."""
        late = (
            "One reason not to fly is on record today, whatever is planned here: see inspect-kit due.",
            "The work of 2026-12-05 is done on 2027-01-16 at the earliest, in your sessions: 16 days after the "
            "condition inspection runs out (2026-12-31).",
        )
        made = outlook(visits=outlook().visits * times, pressing=late, notes=("a note " * 60,) * 5)
        for page in (visits_screen(made, BOOK, room), visits_page(made, BOOK)):
            first, second = page.blocks[:2]
            assert [first, second] == [Paragraph(text=f"!! {told}", tone=STOP) for told in late]

    def test_costs_stand_beside_the_habit_in_words(self) -> None:
        page = told(visits_screen(outlook(), BOOK))
        assert "if it goes on as your records since" in page
        assert "%" not in page
        assert "past a limit" not in page
        usual = outlook()
        assert usual.habit is not None
        late = replace(usual, habit=replace(usual.habit, done=4, late=3))
        assert "show, 3 of 4 times past a limit" in told(visits_screen(late, BOOK))


class TestPlan:
    def test_what_for_whom_how_long_and_what_to_have_ready_come_before_the_steps(self) -> None:
        page = plan_screen(
            plan(),
            BOOK,
            PlanClock(),
            what="oil change, 2026-11-25",
            ask="plan oil",
            said=["Done 6 days after the limit."],
        )
        text = told(page)
        order = ["oil change, 2026-11-25", "1 h 59 min", "2 people", "Done 6 days", "Parts 2: 6 qt engine oil", "Tools"]
        order += ["To be arranged: Static system", "CAUTION: Let the exhaust cool", "REMOVE Lower cowling", "More:"]
        assert [text.index(each) for each in order] == sorted(text.index(each) for each in order)

    def test_a_step_is_never_shown_without_its_cautions(self) -> None:
        steps = plan().steps
        long = replace(plan(), steps=(*(replace(steps[2], start=n, end=n + 1) for n in range(100)), steps[1]))
        text = told(plan_screen(long, BOOK, PlanClock(), what="oil", ask="plan oil"))
        assert text.index("CAUTION: Let the exhaust cool") < text.index("Change the oil")
        assert " more rows, with their cautions: --all. * sets the finish." in text

    def test_no_caution_is_cut_or_left_out_and_fewer_rows_fit_instead(self) -> None:
        words = "of many words that would fill a good part of the screen if they were told in full"
        many = tuple(StepCaution(at="cowl-lower", text=f"Caution {n} {words}") for n in range(3))
        for room in (60, 80, 120):
            page = plan_screen(
                replace(plan(), cautions=many), BOOK, PlanClock(), what="oil", ask="plan oil", room=room
            )
            shown = " ".join(plain.render(page, room).split())
            assert all(f"CAUTION: Caution {n} {words}" in shown for n in range(3))
            assert len(plain.render(page, room).splitlines()) <= LINES

    def test_steps_of_which_none_fits_are_counted(self) -> None:
        """`plan oil-change` at 60 ended behind the tools, as if it had no steps."""
        long = replace(plan(), cautions=(StepCaution(at="cowl-lower", text="Let it cool first. " * 90),))
        text = told(plan_screen(long, BOOK, PlanClock(), what="oil", ask="plan oil", room=60))
        assert "cool first" not in text
        assert re.search(r"\d+ rows of steps, with their cautions: --all\.", text)


def test_a_due_point_without_a_date_says_what_the_meter_will_read() -> None:
    late = item("a", "later", name="A: b", due=DueAt(meter="tach", total=Decimal(5), reads=Decimal(5)))
    assert "tach 5" in told(due_screen(due_answer(items=(late,), stops=STOPS)))
