"""What was read on a part belongs to that part: the date that it carries, and what is to be looked at again."""

import pytest

from inspect_kit.due import PAST_DUE, UNKNOWN, Item, due
from inspect_kit.due.answer import LATER
from inspect_kit.due.unwritten import gap_of
from tests.due.small import AIRCRAFT, book, on

BEGUN = {"2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n"}
MARKED = "- [ ] `pack` Pack\n  - every: as marked\n  - counts-on: left\n"
CALLED = "- [ ] `left-pack` Pack\n  - every: as marked\n"
LOOK = "- [ ] `look` Look\n  - every: 100 h\n  - counts-on: left\n"


def moved(day: str, kind: str, serial: str, tach: str) -> dict[str, str]:
    text = f"kind: {kind}\nposition: left\nserial: {serial}\nmeters: {{tach: {tach}}}\n"
    return {f"{day}-{'o' if kind == 'removed' else 'p'}": text}


def marked(check: str, until: str, tach: str) -> str:
    return f"kind: work\ndid: [{check}]\nnext: {{{check}: {until}}}\nmeters: {{tach: {tach}}}\n"


def asked(checks: str, records: dict[str, str], day: str, name: str) -> Item | None:
    return due(book(checks, {**BEGUN, **records}), on(day), expect=False).item(name)


def state(checks: str, records: dict[str, str], day: str, name: str) -> tuple[str, str] | None:
    item = asked(checks, records, day, name)
    return item and (item.state, str(item.due.date or ""))


@pytest.mark.parametrize(("checks", "name"), [(MARKED, "pack"), (CALLED, "left-pack")])
def test_the_date_marked_on_another_part_never_counts(checks: str, name: str) -> None:
    """Nor by the check's own name alone: `left-pack` is that of the part in `left`."""
    first = {**moved("2018-02-01", "installed", "T-1", "5"), "2018-02-02-m": marked(name, "2020-06-30", "5")}
    assert state(checks, first, "2018-02-03", name) == (LATER, "2020-06-30")
    swapped = moved("2018-03-01", "removed", "T-1", "9") | moved("2018-03-01", "installed", "T-2", "9")
    then = first | swapped
    assert state(checks, then, "2018-03-02", name) == (UNKNOWN, "")
    then |= {"2018-03-02-m": marked(name, "2023-06-30", "9")}
    assert state(checks, then, "2018-03-03", name) == (LATER, "2023-06-30")
    back = moved("2018-04-01", "removed", "T-2", "12") | moved("2018-04-01", "installed", "T-1", "12")
    # Its own date came and went while it lay on the bench, whatever the other part carried.
    assert state(checks, then | back, "2020-07-01", name) == (PAST_DUE, "2020-06-30")


@pytest.mark.parametrize("date", ["", "date: 2018-01-20, "])
def test_nor_does_one_that_was_brought_forward_with_another_part(date: str) -> None:
    brought = {
        "2018-02-01-b": (
            "kind: brought-forward\nmeters: {tach: {reads: 5, total: 5}}\nfitted: {left: {serial: T-1}}\n"
            f"last: {{pack: {{{date}good-until: 2023-05-31}}}}\n"
        )
    }
    assert state(MARKED, brought, "2018-03-02", "pack") == (LATER, "2023-05-31")
    swapped = moved("2018-03-01", "removed", "T-1", "9") | moved("2018-03-01", "installed", "T-2", "9")
    assert state(MARKED, brought | swapped, "2018-03-02", "pack") == (UNKNOWN, "")


def test_one_without_a_day_is_of_the_part_that_was_there_when_it_was_written() -> None:
    total = "meters: {tach: {reads: 9, total: 9}}\n"
    brought = {"2018-03-01-b": f"kind: brought-forward\n{total}last: {{pack: {{good-until: 2023-05-31}}}}\n"}
    fitted = moved("2018-02-01", "installed", "T-1", "5")
    assert state(MARKED, fitted | brought, "2018-03-02", "pack") == (LATER, "2023-05-31")


@pytest.mark.parametrize(
    ("checks", "name", "position"),
    [
        (CALLED, "left-pack", "port: {was: [left]}"),
        (CALLED.replace("`left-pack` Pack\n", "`port-pack` Pack\n  - was: left-pack\n"), "port-pack", "left: {}"),
    ],
)
def test_a_position_or_a_check_by_another_name_is_still_its_own(checks: str, name: str, position: str) -> None:
    """The date of the part that went out was taken for that of the next."""
    aircraft = AIRCRAFT.replace("left: {}", position)
    assert position in aircraft
    records = {**moved("2018-02-01", "installed", "T-1", "5"), "2018-02-02-m": marked("left-pack", "2020-06-30", "5")}
    for swapped, then in (({}, LATER), (moved("2018-03-01", "installed", "T-2", "9"), UNKNOWN)):
        logbook = book(checks, {**BEGUN, **records, **swapped}, aircraft=aircraft)
        item = due(logbook, on("2018-03-02"), expect=False).item(name)
        assert item is not None
        assert item.state == then


def test_while_the_part_is_out_or_none_is_on_record_the_date_stands() -> None:
    told = {"2018-02-02-m": marked("left-pack", "2020-06-30", "5")}
    assert state(CALLED, told, "2018-03-02", "left-pack") == (LATER, "2020-06-30")
    told |= moved("2018-02-01", "installed", "T-1", "5") | moved("2018-03-01", "removed", "T-1", "9")
    assert state(CALLED, told, "2018-03-02", "left-pack") == (LATER, "2020-06-30")


def test_the_unknown_date_names_the_part() -> None:
    told = {"2018-02-02-m": marked("left-pack", "2020-06-30", "5"), **moved("2018-03-01", "installed", "T-2", "9")}
    item = asked(CALLED, told, "2018-03-02", "left-pack")
    assert item is not None
    words = "the date that serial T-2 in left, since 2018-03-01, carries is not on record"
    assert words in [line.text for line in item.lines]


def gap(checks: str, records: dict[str, str], name: str, day: str = "2018-06-02") -> str:
    """What is said of where the date belongs."""
    answer = due(book(checks, {**BEGUN, **records}), on(day), expect=False)
    item = answer.item(name)
    assert item is not None
    found = gap_of(answer, item)
    return found.words if found is not None else ""


BROUGHT = {
    "2018-02-01-b": (
        "kind: brought-forward\nmeters: {tach: {reads: 5, total: 5}}\n"
        "last: {left-pack: {good-until: 2023-05-31}}\n"
    )
}


@pytest.mark.parametrize("fitted_on", ["", "fitted-on: 2018-01-20\n"])
@pytest.mark.parametrize("brought", [BROUGHT, {"2018-02-01-b": BROUGHT["2018-02-01-b"].partition("last")[0]}])
def test_the_date_of_a_part_that_came_later_is_read_on_it_and_not_brought_forward(
    brought: dict[str, str], fitted_on: str
) -> None:
    """What was brought forward says so already, and to say it again changed nothing."""
    came = {name: text + fitted_on for name, text in moved("2018-03-01", "installed", "T-2", "9").items()}
    told = gap(CALLED, brought | came, "left-pack")
    assert told == "read it on serial T-2: inspect-kit work left-pack --good-until left-pack=DATE"
    read = {"2018-06-01-m": marked("left-pack", "2024-06-30", "12")}
    assert state(CALLED, brought | came | read, "2018-06-02", "left-pack") == (LATER, "2024-06-30")


def test_written_as_of_the_day_on_which_it_was_fitted_it_keeps_its_date() -> None:
    came = moved("2018-01-20", "installed", "T-2", "2")
    assert state(CALLED, BROUGHT | came, "2018-06-02", "left-pack") == (LATER, "2023-05-31")


def test_the_date_that_was_not_told_when_it_was_done_again_is_told_of_that_record() -> None:
    done = {"2018-03-01-d": "kind: work\ndid: [left-pack]\nmeters: {tach: 9}\n"}
    told = gap(CALLED, BROUGHT | done, "left-pack")
    assert told == "amend it: inspect-kit amend 2018-03-01-d next.left-pack=DATE"
    how = "kind: amendment\nof: 2018-03-01-d\ninstead: {next: {left-pack: 2024-06-30}}\ntext: read off\nby: Ada\n"
    assert state(CALLED, BROUGHT | done | {"2018-06-01-a": how}, "2018-06-02", "left-pack") == (LATER, "2024-06-30")
    # Nor of that record where it is another part's.
    came = moved("2018-04-01", "installed", "T-2", "10")
    assert "read it on serial T-2" in gap(CALLED, BROUGHT | done | came, "left-pack")


def recheck(day: str, tach: str) -> dict[str, str]:
    text = "kind: work\ndid: [look]\nresults: {look: {answer: done, recheck: 5 h, notes: [pitted]}}\n"
    return {f"{day}-look": f"{text}meters: {{tach: {tach}}}\n"}


@pytest.mark.parametrize(
    "asks",
    [
        recheck("2018-02-02", "6"),
        {
            "2018-02-02-f": (
                "kind: finding\ncheck: look\nfound: pitted\nfix: by 90 h\nmay wait because: small\nrecheck: 5 h\n"
                "meters: {tach: 6}\n"
            )
        },
    ],
)
def test_a_look_at_another_part_does_not_answer_what_was_to_be_looked_at_again(asks: dict[str, str]) -> None:
    records = {**moved("2018-02-01", "installed", "M-1", "5"), **asks}
    records |= moved("2018-03-01", "removed", "M-1", "7") | moved("2018-03-01", "installed", "M-2", "7")
    # On the bench it is due to nobody.
    assert asked(LOOK, records, "2018-03-02", "look/recheck") is None
    records |= {"2018-03-02-did": "kind: work\ndid: [look]\nmeters: {tach: 8}\n"}
    records |= moved("2018-04-01", "removed", "M-2", "20") | moved("2018-04-01", "installed", "M-1", "20")
    records |= {"2018-04-20-h": "kind: hours\nmeters: {tach: 24}\n"}
    item = asked(LOOK, records, "2018-04-20", "look/recheck")
    assert item is not None
    # 1 h before it came out, so 4 of its 5 are left when it comes back at 20.
    assert (item.state, str(item.due.total)) == ("soon", "24")
    records |= {"2018-04-21-did": "kind: work\ndid: [look]\nmeters: {tach: 24}\n"}
    assert asked(LOOK, records, "2018-04-22", "look/recheck") is None
    del records["2018-04-21-did"]
    records |= {"2018-05-01-h": "kind: hours\nmeters: {tach: 25}\n"}
    item = asked(LOOK, records, "2018-05-02", "look/recheck")
    assert item is not None
    assert item.state == PAST_DUE


def test_what_was_seen_on_the_bench_is_to_be_looked_at_when_the_part_is_back() -> None:
    """It vanished with the refit."""
    records = {**moved("2018-02-01", "installed", "M-1", "5"), **moved("2018-03-01", "removed", "M-1", "7")}
    records |= recheck("2018-03-02", "7") | moved("2018-03-05", "installed", "M-1", "7")
    item = asked(LOOK, records, "2018-03-06", "look/recheck")
    assert item is not None
    assert (item.state, str(item.due.total)) == ("soon", "12")
    # Out again for 8 h of another one: 4 of its 5 are left at 16.
    away = moved("2018-04-01", "removed", "M-1", "8") | moved("2018-04-01", "installed", "M-2", "8")
    assert asked(LOOK, records | away, "2018-04-02", "look/recheck") is None
    away |= moved("2018-05-01", "removed", "M-2", "16") | moved("2018-05-01", "installed", "M-1", "16")
    item = asked(LOOK, records | away, "2018-05-02", "look/recheck")
    assert item is not None
    assert str(item.due.total) == "20"
    # Done on the bench, it is done.
    done = {"2018-03-04-did": "kind: work\ndid: [look]\nmeters: {tach: 7}\n"}
    assert asked(LOOK, records | done, "2018-03-06", "look/recheck") is None


def test_another_part_that_comes_from_the_bench_may_be_the_one_that_was_seen() -> None:
    """Nothing says which lay there; after it was seen in the position it is the other's alone."""
    records = {**moved("2018-02-01", "installed", "M-1", "5"), **moved("2018-03-01", "removed", "M-1", "7")}
    records |= recheck("2018-03-02", "7") | moved("2018-03-05", "installed", "M-2", "7")
    item = asked(LOOK, records, "2018-03-06", "look/recheck")
    assert item is not None
    assert item.state == UNKNOWN
    done = {"2018-03-06-did": "kind: work\ndid: [look]\nmeters: {tach: 7}\n"}
    assert asked(LOOK, records | done, "2018-03-07", "look/recheck") is None


def test_what_was_seen_before_any_part_was_on_record_is_to_be_looked_at_all_the_same() -> None:
    """The serial alone was written down."""
    records = recheck("2018-02-02", "6") | moved("2018-03-01", "installed", "M-1", "8")
    item = asked(LOOK, records, "2018-03-02", "look/recheck")
    assert item is not None
    assert (item.state, str(item.due.total)) == ("soon", "11")
    done = {"2018-02-20-did": "kind: work\ndid: [look]\nmeters: {tach: 7}\n"}
    assert asked(LOOK, records | done, "2018-03-02", "look/recheck") is None
    gone = moved("2018-04-01", "removed", "M-1", "9") | moved("2018-04-01", "installed", "M-2", "9")
    assert asked(LOOK, records | gone, "2018-04-02", "look/recheck") is None


@pytest.mark.parametrize(("checks", "name"), [(MARKED, "pack"), (CALLED, "left-pack")])
def test_a_date_that_was_marked_on_the_bench_is_that_of_the_part_that_comes_back(checks: str, name: str) -> None:
    """Out for a new battery, and back: the date was not on record, whatever was written."""
    records = {**moved("2018-02-01", "installed", "T-1", "5"), "2018-02-02-m": marked(name, "2020-06-30", "5")}
    records |= moved("2018-03-01", "removed", "T-1", "7") | {"2018-03-02-m": marked(name, "2025-06-30", "7")}
    back = moved("2018-03-05", "installed", "T-1", "7")
    assert state(checks, records | back, "2018-03-06", name) == (LATER, "2025-06-30")
    other = moved("2018-03-05", "installed", "T-2", "7")
    assert state(checks, records | other, "2018-03-06", name) == (UNKNOWN, "")
    # And says then how it becomes known, also where nothing was brought forward.
    told = f"read it on serial T-2: inspect-kit work {name} --good-until {name}=DATE"
    assert gap(checks, records | other, name) == told
    # What was marked while another part was there is not told to be this one's.
    between = moved("2018-03-01", "installed", "T-2", "7") | moved("2018-03-04", "removed", "T-2", "7")
    assert state(checks, records | between | back, "2018-03-06", name)[1] != "2025-06-30"


def test_where_nothing_says_on_which_part_it_was_seen_it_is_asked_and_what_is_left_is_unknown() -> None:
    records = {**moved("2018-02-01", "installed", "M-1", "5"), **recheck("2018-03-01", "7")}
    records |= moved("2018-03-01", "removed", "M-1", "7") | moved("2018-03-01", "installed", "M-2", "7")
    records["2018-03-01-look"] = records["2018-03-01-look"].replace("meters: {tach: 7}\n", "")
    item = asked(LOOK, records, "2018-03-02", "look/recheck")
    assert item is not None
    assert item.state == UNKNOWN
    records["2018-03-02-did"] = "kind: work\ndid: [look]\nmeters: {tach: 8}\n"
    assert asked(LOOK, records, "2018-03-03", "look/recheck") is None


def test_without_a_part_on_record_a_recheck_is_answered_as_any_other() -> None:
    records = recheck("2018-02-02", "6")
    assert asked(LOOK, records, "2018-03-02", "look/recheck") is not None
    records |= {"2018-03-02-did": "kind: work\ndid: [look]\nmeters: {tach: 8}\n"}
    assert asked(LOOK, records, "2018-03-03", "look/recheck") is None


GAP = "- [ ] `filter` Filter\n  - every: 50 h\n- [ ] `gap` Gap\n  - counts-on: left\n  - owed-after: did filter\n"


@pytest.mark.parametrize("line", ["", "left-owed: [gap]\n"])
def test_what_was_left_owed_on_a_part_that_is_gone_is_not_owed_on_the_next(line: str) -> None:
    """Whether the record says it itself or the checklist does."""
    work = f"kind: work\ndid: [filter]\n{line}meters: {{tach: 6}}\n"
    records = {**moved("2018-02-01", "installed", "M-1", "5"), "2018-02-02-w": work}
    item = asked(GAP, records, "2018-02-03", "gap")
    assert item is not None
    assert item.owed
    for swapped in ({}, moved("2018-03-01", "removed", "M-1", "7")):
        then = records | swapped | moved("2018-03-01", "installed", "M-2", "7")
        item = asked(GAP, then, "2018-03-02", "gap")
        assert item is None or not item.owed
    # It is where the part comes back that it was left on.
    back = moved("2018-04-01", "removed", "M-2", "9") | moved("2018-04-01", "installed", "M-1", "9")
    item = asked(GAP, then | back, "2018-04-02", "gap")
    assert item is not None
    assert item.owed


def test_the_first_part_on_record_may_have_been_there_when_it_was_left_owed() -> None:
    """Its serial alone was written down; what was done since answers it."""
    left = {"2018-02-02-w": "kind: work\ndid: [filter]\nleft-owed: [gap]\nmeters: {tach: 6}\n"}
    came = moved("2018-03-01", "installed", "M-1", "7")
    item = asked(GAP, left | came, "2018-03-02", "gap")
    assert item is not None
    assert item.owed
    done = {"2018-02-20-d": "kind: work\ndid: [gap]\nmeters: {tach: 6.5}\n"}
    item = asked(GAP, left | came | done, "2018-03-02", "gap")
    assert item is None or not item.owed
    done = {"2018-03-02-d": "kind: work\ndid: [gap]\nmeters: {tach: 7.5}\n"}
    item = asked(GAP, left | came | done, "2018-03-02", "gap")
    assert item is None or not item.owed


BENCH = moved("2018-03-01", "removed", "T-1", "9")
ASKED = "kind: work\ndid: [look]\ntext: hairline\nresults: {look: {answer: done, recheck: 10 h}}\nmeters: {tach: 9}\n"


def looked_again(records: dict[str, str], day: str = "2018-04-02") -> list[str]:
    items = due(book(LOOK, {**BEGUN, **records}), on(day), expect=False).items
    return [f"{item.state} {item.due.total}" for item in items if item.kind == "recheck"]


@pytest.mark.parametrize(("checks", "name"), [(MARKED, "pack"), (CALLED, "left-pack")])
@pytest.mark.parametrize(
    ("serial", "meanwhile", "known"), [("T-1", "", True), ("T-2", "", False), ("T-1", "T-3", False)]
)
def test_the_date_read_on_the_bench_is_of_the_part_that_came_back(
    checks: str, name: str, serial: str, meanwhile: str, known: bool
) -> None:
    told = {**moved("2018-02-01", "installed", "T-1", "5"), **BENCH, "2018-03-02-m": marked(name, "2023-06-30", "9")}
    told |= moved("2018-03-01", "installed", meanwhile, "9") if meanwhile else {}
    told |= moved("2018-03-05", "removed", meanwhile, "9") if meanwhile else {}
    told |= moved("2018-04-01", "installed", serial, "9")
    assert state(checks, told, "2018-04-02", name) == ((LATER, "2023-06-30") if known else (UNKNOWN, ""))


@pytest.mark.parametrize(("serial", "then"), [("T-1", "soon 19"), ("T-2", "unknown None")])
def test_what_was_seen_on_the_bench_is_looked_at_again_on_the_part_that_came_back(serial: str, then: str) -> None:
    """Where it is another, nothing says which of the two lay there."""
    told = {**moved("2018-02-01", "installed", "T-1", "5"), **BENCH, "2018-03-02-l": ASKED}
    assert looked_again(told, "2018-03-03") == ["soon 19"]
    back = told | moved("2018-04-01", "installed", serial, "9")
    assert looked_again(back) == [then]
    # Looked at once more on the bench, nothing is asked any more.
    assert looked_again(back | {"2018-03-09-l": "kind: work\ndid: [look]\nmeters: {tach: 9}\n"}) == []


def test_of_parts_without_a_serial_nobody_knows_that_it_is_another() -> None:
    told = moved("2018-02-01", "installed", "none", "5") | moved("2018-03-01", "removed", "none", "9")
    told |= {"2018-03-02-l": ASKED, **moved("2018-04-01", "installed", "none", "9")}
    assert len(looked_again(told)) == 1


@pytest.mark.parametrize(
    ("own", "stays"), [("fitted-on: 2017-05-17\nsince-new: 400\n", True), ("since-new: 0\n", False)]
)
def test_what_was_seen_before_the_first_part_was_written_down_is_looked_at_again(own: str, stays: bool) -> None:
    """The serial of what was there all along, or a new one in its place."""
    fitted = {name: text + own for name, text in moved("2018-03-01", "installed", "T-1", "12").items()}
    told = {"2018-02-02-l": ASKED, **fitted}
    assert looked_again(told) == (["soon 19"] if stays else [])
    assert looked_again(told | {"2018-02-09-l": "kind: work\ndid: [look]\nmeters: {tach: 10}\n"}) == []
    # Another that came after it is another.
    swapped = moved("2018-03-20", "removed", "T-1", "13") | moved("2018-03-21", "installed", "T-2", "13")
    assert looked_again(told | swapped) == []
