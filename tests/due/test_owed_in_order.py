"""One record that names what made a check owed and the check itself: its own order tells, and what it says it left."""

import datetime as dt
from dataclasses import replace

import pytest

from inspect_kit.due import due, order_matters, order_unsaid, past_limits
from inspect_kit.model.followed import followed
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.withdrawn import Withdrawn
from tests.due.small import book

DAY = dt.date(2026, 5, 2)
CHECKS = """\
- [ ] `oil` Oil
  - every: 50 h
- [ ] `cut` Filter cut open
  - owed-after: did oil
- [ ] `pull` Cable pulled
  - disturbs: cables
- [ ] `free` Free and right
  - owed-after: disturbed cables
- [ ] `run` Run
  - first: 1 h
  - every: 50 h
"""


def owed(*records: str) -> list[str]:
    named = {f"2026-05-0{number + 1}-work-a{number}": f"kind: work\n{text}" for number, text in enumerate(records)}
    items = due(book(CHECKS, named), dt.date(2026, 5, 9), expect=False).items
    return [item.check for item in items if item.owed]


@pytest.mark.parametrize(
    ("record", "left"),
    [
        ("did: [oil]", ["cut"]),
        ("did: [oil, cut]", []),
        ("did: [cut, oil]", ["cut"]),
        ("did: [oil, cut]\nleft-owed: [cut]", ["cut"]),
        # Twice in one record is a problem, and done last at its last place.
        ("did: [oil, cut, oil]", ["cut"]),
        ("did: [cut, oil, cut]", []),
        ("did: [oil, cut, oil]\nresults: {oil: done, cut: done}", ["cut"]),
        ("did: [oil, cut, oil]\nresults: {oil: done, cut: {answer: done, by: Ada}}", ["cut"]),
        # Results of some of them say nothing of the order: a note, a second look has no other place.
        ("did: [cut, oil]\nresults: {oil: {answer: done, notes: [new brand]}}", ["cut"]),
        ("did: [cut, oil]\nresults: {oil: {answer: done, recheck: 25 h, notes: [grey]}}", ["cut"]),
        ("did: [oil, cut]\nresults: {cut: {answer: done, notes: [clean]}}", []),
        ("did: [oil, cut]\nresults: {cut: {answer: done, recheck: 25 h, notes: [grey]}}", []),
        ("did: [free, pull]\nresults: {pull: {answer: done, second-look: Bo}}", ["free"]),
        ("did: [pull]", ["free"]),
        ("did: [pull, free]", []),
        ("did: [free, pull]", ["free"]),
        ("did: [free]\ndisturbed: [cables]", []),
        ("did: [free]\ndisturbed: [cables]\nleft-owed: [free]", ["free"]),
        ("did: [cut, oil]\nresults: {oil: done}", ["cut"]),
        ("did: [oil, cut]\nresults: {cut: done}", []),
        ("did: [cut]\nresults: {oil: done, cut: done}", []),
        ("text: x\nresults: {oil: done, cut: done}", []),
        ("text: x\nresults: {cut: done, oil: done}", ["cut"]),
        ("text: x\nresults: {oil: {answer: not done, reason: no oil}, cut: done}", []),
        ("text: x\nresults: {free: done, oil: {answer: done, disturbed: [cables]}, cut: done}", ["free"]),
        ("text: x\nresults: {oil: {answer: done, disturbed: [cables]}, cut: done, free: done}", []),
        # A record that says both is a problem: what it would make owed is owed.
        ("did: [oil]\nresults: {oil: {answer: not done, reason: no oil}}", ["cut"]),
        ("did: [oil, cut]\nresults: {oil: {answer: not done, reason: no oil}}", ["cut"]),
        ("did: [pull]\nresults: {pull: {answer: not applicable, reason: none}}", ["free"]),
        ("did: [oil, cut]\nresults: {cut: {answer: not done, reason: late}}", ["cut"]),
    ],
)
def test_one_record(record: str, left: list[str]) -> None:
    assert owed(record) == left


def test_a_later_record_answers_whatever_was_left() -> None:
    assert owed("did: [cut, oil]", "did: [cut]") == []
    assert owed("did: [oil, cut]\nleft-owed: [cut]", "did: [cut]") == []
    assert owed("did: [cut]", "did: [oil]") == ["cut"]
    # What was answered once is owed anew by the next one.
    assert owed("did: [oil, cut]", "did: [oil]") == ["cut"]


@pytest.mark.parametrize(
    ("records", "left"),
    [
        # What made it owed stands in another record, or in none: the key is a word of its own.
        (("did: [oil]", "did: [cut]\nleft-owed: [cut]"), ["cut"]),
        (("did: [oil, cut]", "text: x\nleft-owed: [cut]"), ["cut"]),
        (("did: [oil, cut]", "text: x\nleft-owed: [cut]", "did: [cut]"), []),
        (("text: x\nleft-owed: [pull]",), ["pull"]),
        (("text: x\nleft-owed: [run]",), ["run"]),
        (("text: x\nleft-owed: [run]", "did: [run]"), []),
    ],
)
def test_what_a_record_leaves_owed_is_owed_whatever_made_it_so(records: tuple[str, ...], left: list[str]) -> None:
    assert owed(*records) == left


def test_two_records_of_one_day_answer_each_other() -> None:
    """Nothing tells which of them came first: the one that was done is taken for the answer, as it always was."""
    records = {
        "2026-05-02-work-a": "kind: work\ndid: [oil]",
        "2026-05-02-work-b": "kind: work\ndid: [cut]",
    }
    items = due(book(CHECKS, records), DAY, expect=False).items
    assert [item.check for item in items if item.owed] == []


@pytest.mark.parametrize(
    ("one", "other", "left"),
    [
        ("did: [cut, oil]", "did: [cut]", []),
        ("did: [cut, oil]", "did: [oil, cut]", []),
        ("did: [cut, oil]", "did: [oil]", ["cut"]),
        ("did: [free]\ndisturbed: [cables]\nleft-owed: [free]", "did: [free]", []),
    ],
)
@pytest.mark.parametrize("read", ["", "\nmeters: {tach: 9}"])
def test_of_two_records_of_one_doing_the_names_decide_nothing(one: str, other: str, left: list[str], read: str) -> None:
    """A check that stands in both was kept under the name that comes first, and with it what that record left owed."""
    assert still_owed(of_a_day(one + read, other + read)) == left
    assert still_owed(of_a_day(other + read, one + read)) == left


def of_a_day(*records: str) -> Logbook:
    named = zip("abcd", records, strict=False)
    return book(CHECKS, {f"2026-05-02-work-{name}": f"kind: work\n{text}" for name, text in named})


def still_owed(logbook: Logbook) -> list[str]:
    return [item.check for item in due(logbook, DAY, expect=False).items if item.owed]


A, B, C = (f"follows: [2026-05-02-work-{name}]" for name in "abc")
BEFORE = "precedes: [2026-05-02-work-"
TOLD = ("did: [cut]", f"text: washed\n{A}", f"did: [oil]\n{B}")


@pytest.mark.parametrize(
    ("records", "left"),
    [
        # It says that it came after: whatever the files are called, and with a reading or without one.
        ((f"did: [oil]\n{B}", "did: [cut]"), ["cut"]),
        ((f"did: [oil]\nmeters: {{tach: 9}}\n{B}", "did: [cut]\nmeters: {tach: 9}"), ["cut"]),
        ((f"did: [oil]\n{B}", "did: [cut]\nmeters: {tach: 9}"), ["cut"]),
        (("did: [oil]", f"did: [cut]\n{A}"), []),
        # Along a chain, and done once more at the same reading after what owed it.
        ((f"did: [oil]\n{C}", "did: [cut]", f"text: washed\n{B}"), ["cut"]),
        (("did: [cut]", f"did: [oil]\n{A}", f"did: [cut]\n{B}"), []),
        # It says that it came before.
        (("did: [oil]", f"did: [cut]\n{BEFORE}a]"), ["cut"]),
        ((f"did: [cut]\n{BEFORE}b]", "did: [oil]\nmeters: {tach: 9}"), ["cut"]),
        ((f"text: washed\n{BEFORE}c]", f"did: [cut]\n{BEFORE}a]", "did: [oil]"), ["cut"]),
        ((f"did: [oil]\n{BEFORE}b]", f"did: [cut]\n{BEFORE}a]"), []),
        # What cannot be so counts as if nothing said it: another day, nothing of that name, a ring, a lower reading.
        (("did: [oil]\nfollows: [2026-05-02-work-z]", "did: [cut]"), []),
        ((f"did: [oil]\n{B}", f"did: [cut]\n{A}"), []),
        (("did: [oil]\nfollows: [2026-05-02-work-a]", "did: [cut]"), []),
        ((f"did: [oil]\nmeters: {{tach: 8}}\n{B}", "did: [cut]\nmeters: {tach: 9}"), []),
    ],
)
def test_of_one_day_what_says_that_it_came_after(records: tuple[str, ...], left: list[str]) -> None:
    assert still_owed(of_a_day(*records)) == left


@pytest.mark.parametrize(
    ("records", "noted"),
    [
        (("did: [oil]", "did: [cut]"), ["2026-05-02-work-b"]),
        (("did: [cut]\nmeters: {tach: 9}", "did: [oil]\nmeters: {tach: 9}"), ["2026-05-02-work-a"]),
        (("text: x\ndisturbed: [cables]", "did: [free]"), ["2026-05-02-work-b"]),
        (("did: [oil]", "did: [cut]", "did: [cut]"), ["2026-05-02-work-c"]),
        # Said, read, of one record, or answered by a later one all the same.
        (("did: [oil]", f"did: [cut]\n{A}"), []),
        (("did: [cut]", f"did: [oil]\n{A}"), []),
        (("did: [oil]\nmeters: {tach: 8}", "did: [cut]\nmeters: {tach: 9}"), []),
        (("did: [oil, cut]", "did: [oil, cut]"), []),
        (("did: [oil]", "did: [cut]", f"did: [cut]\n{A}"), []),
        (("did: [oil]", "text: washed"), []),
    ],
)
def test_what_only_silence_makes_the_later_one_is_noted(records: tuple[str, ...], noted: list[str]) -> None:
    logbook = of_a_day(*records)
    found = order_unsaid(logbook)
    assert [problem.place.file.rsplit("/", 1)[-1].removesuffix(".yaml") for problem in found] == noted
    assert all(problem.note for problem in found)
    check = "free" if "cables" in records[0] else "cut"
    item = due(logbook, DAY, expect=False).item(check)
    assert item is not None
    assert any("nothing says which came first" in line.text for line in item.lines) == bool(noted)


def test_a_flight_of_the_day_of_the_work_is_noted_where_nothing_says_that_it_came_after() -> None:
    asked = "text: x\ndisturbed: [flight-controls]\nflight-check: required"
    pilot = "{name: Ada, kind: private pilot, certificate: '1'}"
    flown = f"text: flown\nflight-check: {{done: 2026-05-02, pilot: {pilot}, words: flew well}}"
    for follows, noted in (("", 1), (f"\n{A}", 0)):
        assert len(order_unsaid(of_a_day(asked, flown + follows))) == noted


@pytest.mark.parametrize("way", ["withdrawn", "moved"])
def test_what_came_after_by_way_of_a_third_stays_so_without_it(way: str) -> None:
    whole = of_a_day(*TOLD)
    first, between, last = whole.records
    assert still_owed(whole) == ["cut"]
    if way == "withdrawn":
        back = Withdrawn(record=between, date=DAY, reason="x", by="Ada", place=between.place)
        left = replace(whole.with_records((first, last)), withdrawn=(back,))
    else:
        amendment = "kind: amendment\nof: 2026-05-02-work-b\ntext: a slip\nby: Ada\ninstead: {date: 2026-05-01}"
        names = {f"2026-05-02-work-{name}": f"kind: work\n{text}" for name, text in zip("abc", TOLD, strict=True)}
        left = book(CHECKS, names | {"2026-05-03-amendment": amendment})
    assert [item.check for item in due(left, dt.date(2026, 5, 9), expect=False).items if item.owed] == ["cut"]
    assert followed(left).faults == ()


def test_what_was_written_after_the_seal_of_a_record_is_not_what_it_followed() -> None:
    digest = "ab" * 32
    sealed = f"did: [oil]\n{B}\nseal: {{record: r, worksheet: {'00' * 32}, sha256: {digest}}}"
    for after, left in ((f"\nafter: [{digest}]", []), ("", ["cut"])):
        logbook = of_a_day(sealed, f"did: [cut]{after}")
        assert still_owed(logbook) == left
        assert [each.name for each in followed(logbook).faults] == ([] if left else ["2026-05-02-work-b"])


def test_what_an_amendment_says_of_a_reading_is_more_than_what_is_said_to_follow() -> None:
    read = "did: {}\nmeters: {{tach: 9}}\n"
    records = {
        "2026-05-02-work-a": "kind: work\n" + read.format("[cut]"),
        "2026-05-02-work-b": f"kind: work\n{read.format('[oil]')}{A}",
        "2026-05-03-amendment": "kind: amendment\nof: 2026-05-02-work-a\ntext: a slip\nby: Ada\n"
        "instead: {meters: {tach: 9.2}}",
    }
    for names, left in ((2, ["cut"]), (3, [])):
        logbook = book(CHECKS, dict([*records.items()][:names]))
        assert [item.check for item in due(logbook, dt.date(2026, 5, 9), expect=False).items if item.owed] == left
        assert followed(logbook).faults == ()


@pytest.mark.parametrize(
    ("instead", "left", "fault"),
    [
        ("{date: 2026-05-02}", [], ""),
        ("{date: 2026-05-02, follows: [2026-05-02-work-a]}", ["cut"], ""),
        ("{date: 2026-05-02, precedes: 2026-05-02-work-a}", [], ""),
        # What an amendment says and cannot be is told like what a record says.
        ("{date: 2026-05-02, follows: [2026-05-02-work-z]}", [], "2026-05-02-work-z"),
        ("{date: 2026-05-02, meters: {tach: 8}, follows: [2026-05-02-work-a]}", [], "2026-05-02-work-a"),
        ("{follows: [2026-05-02-work-a]}", ["cut"], "2026-05-02-work-a"),
    ],
)
@pytest.mark.parametrize("sealed", [False, True])
def test_an_amendment_says_what_a_record_came_after(instead: str, left: list[str], fault: str, sealed: bool) -> None:
    """Of a sealed record it counts once it is signed; until then whichever makes a check due sooner."""
    seal = f"\nseal: {{record: r, worksheet: {'00' * 32}, sha256: {'ab' * 32}}}" if sealed else ""
    logbook = book(
        CHECKS,
        {
            "2026-05-02-work-a": "kind: work\ndid: [cut]\nmeters: {tach: 9}",
            "2026-05-03-work-b": f"kind: work\ndid: [oil]\nmeters: {{tach: 9}}{seal}",
            "2026-05-04-amendment": f"kind: amendment\nof: 2026-05-03-work-b\ntext: x\nby: Ada\ninstead: {instead}",
        },
    )
    assert [each.name for each in followed(logbook).faults] == ([fault] if fault else [])
    items = due(logbook, dt.date(2026, 5, 9), expect=False).items
    assert [item.check for item in items if item.owed] == (["cut"] if sealed else left)


def test_of_two_that_followed_the_same_the_one_with_less_on_record_is_the_last() -> None:
    """Whatever the files are called: what makes it due sooner counts."""
    for read, unread in ("bc", "cb"):
        records = {
            "2026-05-02-work-a": "kind: work\ntext: washed\nmeters: {tach: 9}\n",
            f"2026-05-02-work-{read}": f"kind: work\ndid: [oil]\nmeters: {{tach: 9}}\n{A}",
            f"2026-05-02-work-{unread}": f"kind: work\ndid: [oil]\n{A}",
        }
        item = due(book(CHECKS, records), DAY, expect=False).item("oil")
        assert item is not None
        assert item.due.total == 50


def test_the_order_matters_where_something_is_owed_by_it() -> None:
    def matters(earlier: tuple[str, ...], new: str) -> tuple[str, ...]:
        logbook = of_a_day(*earlier, new)
        return order_matters(logbook.with_records(logbook.records[:-1]), logbook.records[-1], DAY)

    assert matters(("did: [cut]",), "did: [oil]") == ("2026-05-02-work-a",)
    assert matters(("did: [cut]\nmeters: {tach: 9}", "text: washed"), "did: [oil]\nmeters: {tach: 9}") == (
        "2026-05-02-work-a",
    )
    assert matters(("did: [cut]", f"did: [oil]\n{A}"), "did: [cut]") == ()
    assert matters(("did: [oil, cut]",), "did: [oil]") == ("2026-05-02-work-a",)
    assert matters(("did: [oil]",), "did: [cut]") == ()
    assert matters(("did: [cut]\nmeters: {tach: 9}",), "did: [oil]\nmeters: {tach: 9.1}") == ()
    assert matters(("did: [cut]",), "did: [free]") == ()
    # What another entry owes already is owed by this one too, once that is taken back; so is what one more doing hides.
    assert matters(("did: [cut]", f"did: [oil]\n{A}"), "did: [oil]") == ("2026-05-02-work-a",)
    assert matters(("did: [oil, cut]", "did: [cut]"), "did: [oil]") == ("2026-05-02-work-a", "2026-05-02-work-b")
    assert matters(("did: [cut]",), f"did: [oil]\n{A}") == ()
    # Of one thing written down twice either may be taken back: the other came after the same.
    assert matters(("did: [oil, cut]", f"did: [oil]\n{A}"), "did: [oil]") == ("2026-05-02-work-a",)


@pytest.mark.parametrize(("earlier", "new"), [("[free]", "[pull]"), ("[cut]", "[oil]")])
@pytest.mark.parametrize("later", ["[free, cut]", "[pull, oil]"])
def test_the_order_matters_as_of_its_own_day_too(earlier: str, new: str, later: str) -> None:
    """What was done on a later day owes it, or answers it, as well, and may be taken back."""
    made = {f"2026-05-02-work-{name}": f"kind: work\ndid: {did}" for name, did in (("a", earlier), ("b", new))}
    logbook = book(CHECKS, made | {"2026-05-06-work-z": f"kind: work\ndid: {later}"})
    others = logbook.with_records(each for each in logbook.records if each.name != "2026-05-02-work-b")
    record = logbook.record("2026-05-02-work-b")
    assert record is not None
    assert order_matters(others, record, dt.date(2026, 5, 9)) == ("2026-05-02-work-a",)


def test_of_one_day_a_part_comes_after_what_was_done_to_the_one_before() -> None:
    checks = "- [ ] `gap` Points\n  - every: 100 h\n  - counts-on: left\n"
    read = "meters: {tach: 9}\n"
    fitted = {"2026-05-01-left": "kind: installed\nposition: left\nserial: A\nsince-new: 0\nmeters: {tach: 5}"}
    new = f"kind: installed\nposition: left\nserial: B\nsince-new: 95\n{read}"
    for follows, total in (("", 109), ("follows: 2026-05-02-gap", 14)):
        records = {**fitted, "2026-05-02-gap": f"kind: work\ndid: [gap]\n{read}", "2026-05-02-a": new + follows}
        item = due(book(checks, records), DAY, expect=False).item("gap")
        assert item is not None
        assert item.due.total == total


@pytest.mark.parametrize(
    ("told", "total"),
    [
        # Out, looked at on the bench, back in: nothing else was there to be looked at.
        ({"a-out": "A", "b-gap": "", "c-in": "A"}, 109),
        # Looked at while another part was in, or before it came in.
        ({"a-out": "A", "b-in": "B", "c-gap": "", "d-out": "B", "e-in": "A"}, None),
        ({"a-out": "A", "b-in": "B", "c-gap": "", "d-out": "B", "e-in": "A\nfollows: 2026-05-02-c-gap"}, 105),
        ({"a-gap": "", "b-out": "A", "c-in": "B\nfollows: 2026-05-02-a-gap", "d-out": "B", "e-in": "A"}, 109),
    ],
)
def test_of_one_day_what_came_out_and_went_back_was_looked_at_only_while_it_was_there(
    told: dict[str, str], total: int | None
) -> None:
    """Tied with the hour at which it came out, the look counted for it, though another part was in then."""
    checks = "- [ ] `gap` Points\n  - every: 100 h\n  - counts-on: left\n"
    records = {"2026-05-01-left": "kind: installed\nposition: left\nserial: A\nsince-new: 0\nmeters: {tach: 5}"}
    for name, serial in told.items():
        kind = {"out": "removed\nposition: left", "in": "installed\nposition: left", "gap": "work\ndid: [gap]"}
        said = f"\nserial: {serial}" if serial else ""
        records[f"2026-05-02-{name}"] = f"kind: {kind[name[2:]]}\nmeters: {{tach: 9}}{said}"
    logbook = book(checks, records)
    item = due(logbook, DAY, expect=False).item("gap")
    assert item is not None
    if total is not None:
        assert item.due.total == total
    else:
        # Nothing says in which order, and it is asked.
        last = logbook.record("2026-05-02-e-in")
        assert last is not None
        others = logbook.with_records(each for each in logbook.records if each is not last)
        assert order_matters(others, last, DAY) == ("2026-05-02-c-gap",)


def test_a_look_at_the_hour_at_which_a_part_came_out_may_have_been_at_one_that_came_in_unread() -> None:
    """Another part was there until the last reading of the day; nobody knows from when on."""
    checks = "- [ ] `gap` Points\n  - every: 100 h\n  - counts-on: left\n"
    move = "position: left\nserial: "
    records = {
        "2026-05-01-left": f"kind: installed\n{move}A\nsince-new: 0\nmeters: {{tach: 5}}",
        "2026-05-02-a": f"kind: removed\n{move}A\nmeters: {{tach: 9}}",
        "2026-05-02-b": f"kind: installed\n{move}B",
        "2026-05-02-c": "kind: work\ndid: [gap]\nmeters: {tach: 9}",
        "2026-05-02-d": f"kind: removed\n{move}B\nmeters: {{tach: 12}}",
        "2026-05-02-e": f"kind: installed\n{move}A\nmeters: {{tach: 12}}",
    }
    item = due(book(checks, records), DAY, expect=False).item("gap")
    assert item is not None
    assert item.due.total == 108



@pytest.mark.parametrize("names", ["ab", "ba"])
def test_of_one_day_a_value_past_its_limit_counts_unless_the_other_was_read_after_it(names: str) -> None:
    """Which was the last the names of the files decided."""
    checks = "- [ ] `press` Pressure\n  - every: 100 h\n  - reads: left, psi, at least 60\n"
    low, high = (f"2026-05-02-{name}" for name in names)
    read = "kind: work\ndid: [press]\nmeters: {tach: 9}\nreadings: {press: {left: %s psi (at least 60)}}\n"
    found = "findings: {F1: {check: press, found: low, fix: by 20 h, may wait because: it is small}}\n"
    for follows, at, is_past in (("", 9, True), (f"follows: {low}\n", 9, False), ("", 9.1, False)):
        records = {low: read % 58 + found, high: (read % 70).replace("tach: 9", f"tach: {at}") + follows}
        assert bool(past_limits(book(checks, records))) is is_past


@pytest.mark.parametrize(("value", "is_past"), [("59 %", True), ("59", True), ("81 %", False), ("59 kg", False)])
def test_what_is_reckoned_reads_past_its_limit_without_what_it_is_reckoned_from(value: str, *, is_past: bool) -> None:
    checks = "- [ ] `cap` Capacity\n  - every: 1 year\n  - reads: load, A\n  - reads: time, min\n"
    checks += "  - reckons: capacity, %, at least 80 = capacity of load, time, 42 Ah\n"
    record = f"kind: work\ndid: [cap]\nreadings: {{cap: {{capacity: {value}}}}}\n"
    assert bool(past_limits(book(checks, {"2026-05-02-work-a": record}))) is is_past


def test_of_one_day_a_flight_before_the_work_answers_nothing() -> None:
    flown = "text: flown\nflight-check: {done: 2026-05-02, "
    flown += "pilot: {name: Al Roe, kind: private pilot, certificate: 123}, words: normal}"
    for follows, open_ones in (("", 0), (A, 1)):
        logbook = of_a_day(flown, f"text: rigged\nflight-check: required\n{follows}")
        assert len(due(logbook, DAY, expect=False).no_passengers.unflown) == open_ones


def test_what_follows_another_is_never_due_later_by_more_flying() -> None:
    """Whatever is read on a later day, the order of this one stands."""
    records = {
        "2026-05-02-work-a": f"kind: work\ndid: [oil]\n{B}",
        "2026-05-02-work-b": "kind: work\ndid: [cut]\nmeters: {tach: 9}",
    }
    points = []
    for total in (9, 10, 40):
        later = {**records, "2026-05-03-hours": f"kind: hours\nmeters: {{tach: {total}}}"}
        item = due(book(CHECKS, later), dt.date(2026, 5, 9), expect=False).item("oil")
        assert item is not None
        assert item.due.total is not None
        points.append(item.due.total)
        assert still_owed(book(CHECKS, later)) == ["cut"]
    assert points == sorted(points, reverse=True)
