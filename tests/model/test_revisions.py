"""Which of several decisions on one directive counts, where one of them leaves open on which revision it is."""

import datetime as dt

import pytest

from inspect_kit.audit import audit
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.directives import directives
from tests.due.small import book

NO, YES = "{no: another model}", '"yes"\nonce: before first flight\ncheck: look'
CHECKS = "- [ ] `look` Look\n  - every: 500 h\n"
# Two revisions, by name and by day alone.
TWO = ("revision: A\nissued: 2026-05-20", "revision: B\nissued: 2026-06-20")
UNNAMED = ("issued: 2026-05-20", "issued: 2026-06-20")
TWICE = ("revision: A\nissued: 2026-05-20", "revision: A\nissued: 2026-06-20")
DIRECTIVE = 'kind: directive\nnumber: AD-9\nissuer: X\nsubject: cracks\nauthority: AD\n"on": aircraft\n'


def decided(*decisions: tuple[str, str], more: dict[str, str] | None = None) -> tuple[str, list[str]]:
    """The state of the one directive, and the keys of its decisions that are problems; a decision a day."""
    records = {
        f"2026-07-0{at + 1}-d": f"{DIRECTIVE}{said}\napplies: {applies}\n"
        for at, (said, applies) in enumerate(decisions)
    }
    logbook = book(CHECKS, records | (more or {}))
    (state,) = directives(chronicle(logbook)).states
    told = [each for each in audit(logbook) if "decide" in each.message]
    assert all(each.place.file == f"records/2026/2026-07-0{len(decisions)}-d.yaml" for each in told)
    return state.state, [each.message.split(":")[0] for each in told]


@pytest.mark.parametrize(
    ("revisions", "said", "key"),
    [(TWO, "source: X", "number"), (UNNAMED, "source: X", "number"), (TWICE, "revision: a", "revision")],
)
def test_a_decision_that_does_not_say_on_which_revision_it_is_takes_nothing_back(
    revisions: tuple[str, str], said: str, key: str
) -> None:
    """It was the newest, and its `no` was the answer to what nobody had decided."""
    first, second = revisions
    assert decided((first, NO), (second, "not decided"), (said, NO)) == ("not decided", [key])
    # What bars more counts, whichever of them says it.
    assert decided((first, NO), (second, NO), (said, "not decided")) == ("not decided", [key])
    assert decided((first, NO), (second, YES), (said, NO)) == ("applies", [key])
    # Of one revision nothing is open; nor once the newest is decided after it.
    assert decided((second, "not decided"), (said, NO)) == ("does not apply", [])
    assert decided((first, NO), (second, "not decided"), (said, "not decided"), (second, NO)) == ("does not apply", [])


def test_work_of_before_the_newest_revision_does_not_comply_with_what_may_be_it() -> None:
    did = {"2026-06-10-work-a": "kind: work\ndid: [look]\nby: {name: Ada, kind: builder, certificate: '1'}\n"}
    records = {
        f"2026-0{month}-01-d": f"{DIRECTIVE}{said}\napplies: {applies}\n"
        for month, said, applies in ((6, UNNAMED[0], NO), (7, UNNAMED[1], NO), (8, "source: X", YES))
    }
    (state,) = directives(chronicle(book(CHECKS, records | did))).states
    assert (state.state, state.complied) == ("applies", None)
    assert state.older is not None
    assert state.since == dt.date(2026, 8, 1)


def test_of_another_part_what_may_be_a_newer_revision_leaves_it_open() -> None:
    fitted = {
        "2026-01-01-in": "kind: installed\nposition: left\nserial: L-1\nsince-new: 0\nmeters: {tach: 0}\n",
    }
    made = DIRECTIVE.replace("aircraft", "left")
    theirs, ours = "serial: L-0\n", "serial: L-1\n"
    for last, state in ((ours, "open again"), (f"{ours}issued: 2026-06-20\n", "does not apply")):
        records = {
            "2026-07-01-d": f"{made}{theirs}issued: 2026-05-20\napplies: {NO}\n",
            "2026-07-02-d": f"{made}{theirs}issued: 2026-06-20\napplies: {NO}\n",
            "2026-07-03-d": f"{made}{last}applies: {NO}\n",
        }
        (found,) = directives(chronicle(book(CHECKS, fitted | records))).states
        assert found.state == state
