"""Where bad news is likely; and orders that serve it, walking and panels without a minute more."""

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Aircraft, Identity
from inspect_kit.model.checklist import Check, Lag, Panel
from inspect_kit.model.finding import Cleared, Finding, Fix, Result
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import Job, Plan, Wishes, faults, plan
from inspect_kit.plan.news import news, past_of_checks
from inspect_kit.plan.request import ENDS, NEWS, PANELS, WALKING
from inspect_kit.plan.serve import serve
from inspect_kit.plan.ways import changes_of_zone, half_known, way_of, ways_to_serve
from inspect_kit.report.pages.order_served import order_blocks, order_sentences
from tests.plan.instances import FAMILIES, Family, job_of

HERE = Place("invented.md", 1)
SMALL = Family(name="1 person, small", panels=10, checks=30, people=1)
QUICK = 8_000


def panel(name: str, zone: str, *behind: str, **more: object) -> Panel:
    return Panel(id=name, name=name, zone=zone, remove=5, refit=5, behind=behind, place=HERE, **more)  # type: ignore[arg-type]


def check(name: str, where: str, minutes: int = 10, **more: object) -> Check:
    return Check(id=name, panel=where, text=name, minutes=minutes, place=HERE, **more)  # type: ignore[arg-type]


def question(panels: list[Panel], checks: list[Check], **more: object) -> Job:
    return Job(
        panels={each.id: each for each in panels},
        checks={each.id: each for each in checks},
        chosen=tuple(each.id for each in checks),
        **more,  # type: ignore[arg-type]
    )


def made(job: Job, schedules: int = 60) -> Plan:
    answer = plan(job, schedules)
    assert isinstance(answer, Plan), answer
    return answer


def wishing(job: Job, *ends: str, **more: object) -> Job:
    return replace(job, wishes=replace(job.wishes, ends=ends, **more))


def likely(job: Job, seed: int) -> dict[str, float]:
    return {name: ((number * 37 + seed * 11) % 23 / 23) ** 3 for number, name in enumerate(job.chosen)}


# Orders


@pytest.mark.parametrize("family", FAMILIES[:18], ids=lambda family: family.name)
def test_every_family_keeps_its_elapsed_time_and_the_checklists(family: Family) -> None:
    # With a helper by the clock the fifth is searched long and not proved, which is nothing to serve.
    seed = 6 if family.hours == "helper" else 5
    job = job_of(replace(family, panels=min(family.panels, 12), checks=min(family.checks, 36)), seed)
    answer = made(job)
    for ends in ((NEWS,), (WALKING,), (PANELS,), (NEWS, WALKING)):
        asked = wishing(job, *ends, news=likely(job, 5))
        served = serve(asked, answer, QUICK)
        assert not faults(asked, served)
        assert (served.elapsed, served.labour, served.proved) == (answer.elapsed, answer.labour, answer.proved)
    assert served.steps == serve(asked, answer, QUICK).steps


@settings(max_examples=8)
@given(st.integers(0, 10_000), st.sets(st.sampled_from(ENDS), min_size=1), st.integers(1, 2))
def test_any_inspection_keeps_its_elapsed_time(seed: int, ends: set[str], people: int) -> None:
    job = job_of(replace(SMALL, people=people, gear=0.2), seed)
    job = wishing(job, *sorted(ends), news=likely(job, seed))
    answer = made(job)
    served = serve(job, answer, QUICK)
    assert not faults(job, served)
    assert served.elapsed == answer.elapsed
    shuffled = replace(job, panels=dict(reversed(job.panels.items())), checks=dict(reversed(job.checks.items())))
    assert serve(shuffled, answer, QUICK).steps == served.steps


@settings(max_examples=10)
@given(st.integers(0, 10_000), st.data())
def test_all_news_on_one_check_puts_it_as_early_as_its_access_allows(seed: int, data: st.DataObject) -> None:
    """Only what must come first comes first: its panels, what it comes after, every check before opening."""
    plain = job_of(SMALL, seed)
    # No `not-while` and no setups (one jack set), whose order is not given by access alone.
    checks = {name: replace(each, not_while=(), wait=None, within=None) for name, each in plain.checks.items()}
    panels = {name: replace(each, needs=()) for name, each in plain.panels.items()}
    job = replace(plain, panels=panels, checks=checks)
    name = data.draw(st.sampled_from([each for each in job.chosen if not checks[each].closed_except]))
    if checks[name].when == "closed":
        return
    job = wishing(job, NEWS, news={name: 1.0})
    step = next(step for step in serve(job, made(job), QUICK).steps if step.check == name)
    assert step.start == must_come_first(job, name)


def must_come_first(job: Job, name: str) -> int:
    """Minutes of all that comes before a check, gathered from the checklists alone."""
    wanted, first = [name], set()
    opened: set[str] = set()
    while wanted:
        each = job.checks[wanted.pop()]
        wanted += [other for other in each.after if other not in first]
        first.update(each.after)
        if each.when == "open":
            phase = {other for other in job.chosen if job.checks[other].when == "before"}
            wanted += sorted(phase - first)
            first |= phase
        places = [each.panel, *each.with_]
        while places:
            place = job.panels[places.pop()]
            if place.remove is not None:
                opened.add(place.id)
            places += place.behind
    first.discard(name)
    return sum(job.checks[other].minutes for other in first) + sum(job.panels[each].remove or 0 for each in opened)


@pytest.mark.parametrize("seed", range(8))
def test_panels_off_already_work_of_others_and_steps_of_no_time_are_kept(seed: int) -> None:
    job = job_of(replace(SMALL, people=1 + seed % 2), seed)
    checks = dict(job.checks)
    for number, name in enumerate(job.chosen):
        if number % 7 == seed % 7:
            checks[name] = replace(checks[name], who="others", others="repair station")
        elif number % 11 == seed % 11:
            checks[name] = replace(checks[name], minutes=0)
    panels = job.panels | {"panel-003": replace(job.panels["panel-003"], remove=0)}
    job = replace(job, checks=checks, panels=panels, off=("panel-000",))
    answer = made(job)
    for end in ENDS:
        asked = wishing(job, end, news=likely(job, seed))
        served = serve(asked, answer, QUICK)
        assert not faults(asked, served)
        assert served.elapsed == answer.elapsed


def test_without_an_end_the_plan_stays_as_it_is() -> None:
    job = job_of(SMALL, 1)
    answer = made(job)
    assert serve(job, answer) is answer
    assert job.wishes == Wishes()


def test_each_end_is_served_better_by_itself_than_by_the_others() -> None:
    for seed in (1, 2, 3):
        job = job_of(SMALL, seed)
        job = wishing(job, news=likely(job, seed))
        answer = made(job)
        by_news, by_walking, by_panels = (way_of(job, serve(wishing(job, end), answer)) for end in ENDS)
        assert by_walking.changes <= by_panels.changes
        assert by_walking.changes < by_news.changes
        assert by_panels.off <= by_walking.off < by_news.off
        assert mean_known(job, by_news.plan) < min(mean_known(job, by_walking.plan), mean_known(job, by_panels.plan))


def mean_known(job: Job, answer: Plan) -> float:
    return sum(job.wishes.news[step.check] * step.end for step in answer.steps if step.check)


def test_zone_by_zone_goes_to_each_zone_once() -> None:
    """Three zones with two panels each, and nothing that calls one back: two changes, the fewest there can be."""
    panels = [panel(f"{zone}-{number}", zone) for number in (1, 2) for zone in ("nose", "tail", "wing")]
    job = wishing(question(panels, [check(f"c-{each.id}", each.id) for each in panels]), WALKING)
    assert changes_of_zone(job, serve(job, made(job))) == 2


def test_panels_off_for_short_open_and_close_around_their_own_check() -> None:
    panels = [panel(name, "nose") for name in "abcd"]
    job = wishing(question(panels, [check(f"c-{each.id}", each.id) for each in panels]), PANELS)
    served = serve(job, made(job))
    assert [bar.end - bar.start for bar in served.bars] == [20, 20, 20, 20]


def test_one_jack_set_and_not_while_are_kept_while_bad_news_comes_first() -> None:
    panels = [panel("jack-a", "gear", kind="setup", needs=("jacks",)), panel("b", "nose")]
    panels.append(panel("jack-c", "gear", kind="setup", needs=("jacks",)))
    checks = [check("one", "jack-a"), check("two", "b", not_while=("jack-c",)), check("three", "jack-c")]
    job = wishing(question(panels, checks, gear={"jacks": 1}), NEWS, news={"three": 5.0, "two": 2.0, "one": 1.0})
    served = serve(job, made(job))
    assert not faults(job, served)
    assert [step.check for step in served.steps if step.check] == ["three", "two", "one"]


def test_what_must_follow_soon_follows() -> None:
    places = [Panel(id="ramp", name="ramp", zone="ramp", place=HERE)]
    checks = [
        check("run", "ramp"),
        check("warm", "ramp", within=Lag(minutes=10, check="run")),
        *(check(f"other-{number}", "ramp") for number in range(4)),
    ]
    job = wishing(question(places, checks), NEWS, news={"run": 9.0, "other-0": 3.0, "other-1": 2.0, "warm": 0.1})
    served = serve(job, made(job))
    assert not faults(job, served)
    starts = {step.check: step.start for step in served.steps}
    assert starts["run"] == 0
    assert starts["other-0"] == 10
    assert starts["warm"] == 20


def test_two_people_hear_bad_news_sooner_in_the_same_time() -> None:
    gains = []
    for seed in (1, 2, 3):
        job = job_of(replace(SMALL, people=2, pairs=0.0), seed)
        job = wishing(job, NEWS, news=likely(job, seed))
        answer = made(replace(job, wishes=Wishes()))
        served = serve(job, answer)
        assert served.elapsed == answer.elapsed
        gains.append(mean_known(job, served) / mean_known(job, answer))
    assert max(gains) <= 1
    assert sum(gains) / len(gains) < 0.95


def test_nothing_but_zero_and_more_can_be_wished() -> None:
    with pytest.raises(ValueError, match="serves"):
        Wishes(ends=("speed",))
    with pytest.raises(ValueError, match="negative"):
        Wishes(walking=-1)


# What the ways cost


def test_half_known_changes_and_hours_off_by_hand() -> None:
    """Off at 0, checked 5 to 15, on until 20, then b alike: half of 4 is known at 15; one change; 20 min each."""
    panels = [panel("a", "nose"), panel("b", "tail")]
    checks = [check("first", "a"), check("second", "b")]
    job = wishing(question(panels, checks), PANELS, news={"first": 3.0, "second": 1.0})
    way = way_of(job, serve(job, made(job)))
    assert [step.check or step.panel for step in way.plan.steps] == ["a", "first", "a", "b", "second", "b"]
    assert (way.half_known, way.half_worked, way.changes, way.off) == (15, 15, 1, 40)
    assert half_known(wishing(job, news={}), way.plan) is None


def test_ways_are_this_one_and_each_end_alone() -> None:
    job = job_of(SMALL, 2)
    job = wishing(job, NEWS, WALKING, news=likely(job, 2))
    found = ways_to_serve(job, serve(job, made(job)), QUICK)
    assert [way.ends for way in found] == [(NEWS, WALKING), (NEWS,), (WALKING,), (PANELS,)]
    assert len({way.plan.elapsed for way in found}) == 1


def test_the_sentences() -> None:
    job = job_of(SMALL, 2)
    blank = way_of(job, made(job))
    first = replace(blank, ends=(NEWS,), half_known=130, half_worked=130, changes=12, off=630)
    other = replace(blank, ends=(WALKING,), half_known=340, half_worked=340, changes=3, off=240)
    assert order_sentences((first, other)) == (
        "The order serves bad news first.",
        "Half of the likely findings are known after 2 h 10 min; zone by zone it would be 5 h 40 min.",
        "12 changes of zone; zone by zone 3.",
        "Panels and setups together are off 10 h; zone by zone 4.",
    )
    assert len(tuple(order_blocks((first, other)))) == 3
    assert not tuple(order_blocks((first,)))


# Where bad news is likely


def worked_on(number: int, looked: str, *findings: Finding) -> Work:
    day = dt.date(2020 + number, 5, 20)
    results = tuple(Result(check=name, place=HERE) for name in looked.split())
    return Work(name=f"{day}-work-{number}", date=day, results=results, findings=findings, place=HERE)


def found(at: str, days: int = 0, year: int = 2020, **more: object) -> Finding:
    cleared = Cleared(date=dt.date(year, 5, 20) + dt.timedelta(days=days), text="put right")
    return Finding(id="F1", check=at, text="something", cleared=cleared, place=HERE, **more)  # type: ignore[arg-type]


def logbook(*records: object) -> Logbook:
    aircraft = Aircraft(
        identity=Identity(registration="N0TS", make="Turnstone", model="TS-2", serial="001"),
        certificate_date=dt.date(2017, 6, 8),
        meters={},
        time_in_service="tach",
        inspections={},
        people=(),
        place=HERE,
    )
    checks = {name: check(name, "a") for name in ("crack", "quiet", "new")}
    return Logbook(aircraft=aircraft, panels={"a": panel("a", "nose")}, checks=checks, records=tuple(records))  # type: ignore[arg-type]


ALL = ("crack", "quiet", "new")


def test_without_records_every_check_weighs_the_same() -> None:
    assert len(set(news(logbook(), ALL).values())) == 1


def test_what_was_found_weighs_more_and_what_was_never_looked_at_lies_between() -> None:
    book = logbook(*(worked_on(number, "crack quiet", found("crack", year=2020 + number)) for number in range(3)))
    weights = news(book, ALL)
    assert weights["crack"] > weights["new"] > weights["quiet"] > 0
    assert past_of_checks(book)["crack"].looks == past_of_checks(book)["crack"].findings == 3


def test_before_flight_weighs_more_than_what_may_wait() -> None:
    later = Fix(by_date=dt.date(2030, 1, 1))
    grave = news(logbook(worked_on(0, "crack", found("crack"))), ALL)
    light = news(logbook(worked_on(0, "crack", found("crack", fix=later, may_wait="cosmetic"))), ALL)
    assert grave["crack"] > light["crack"]


def test_a_part_that_took_long_to_come_weighs_more() -> None:
    soon = news(logbook(worked_on(0, "crack quiet", found("crack", days=1), found("quiet", days=1))), ALL)
    late = news(logbook(worked_on(0, "crack quiet", found("crack", days=40), found("quiet", days=1))), ALL)
    assert late["crack"] > soon["crack"]
    assert late["crack"] > late["quiet"]


def test_a_later_record_that_clears_ends_the_waiting() -> None:
    standing = Finding(id="F1", check="crack", text="a crack", place=HERE)
    early = worked_on(0, "crack", standing)
    clearing = replace(worked_on(1, "quiet"), date=dt.date(2020, 5, 30), clears=(f"{early.name}#F1",))
    assert past_of_checks(logbook(early, clearing, worked_on(3, "new")))["crack"].days == 10
    assert past_of_checks(logbook(early, worked_on(3, "new")))["crack"].days == 90


def test_a_finding_of_the_walk_round_under_a_panel_is_shared_by_its_checks() -> None:
    seen = Finding(id="F1", panel="a", text="wet with fluid", place=HERE)
    record = FindingRecord(name="2021-01-01-wet", date=dt.date(2021, 1, 1), finding=seen, place=HERE)
    pasts = past_of_checks(logbook(record))
    assert sum(each.findings for each in pasts.values()) == pytest.approx(1)
    assert sorted(pasts) == sorted(ALL)
