"""What an airworthiness directive asks again and again counts, whatever its check says: once, a life, a `first`."""

from decimal import Decimal

import pytest

from inspect_kit.audit import audit
from inspect_kit.due import DueAnswer, due
from inspect_kit.due.answer import LATER, PAST_DUE
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.directives import directives
from inspect_kit.report.pages.directives import older_words
from inspect_kit.visits import year_ahead
from tests.due.small import book, on

BEGUN = {"2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n"}
AD = """kind: directive
number: AD-1
issuer: the authority
subject: cracks
authority: airworthiness directive
on: aircraft
applies: "yes"
{asks}
check: look
"""
TODAY = on("2018-09-20")


def answered(check: str, asks: str, tach: str, done: str = "") -> tuple[DueAnswer, list[str]]:
    hours = f"kind: hours\nmeters: {{tach: {tach}}}\n"
    records = {**BEGUN, "2018-02-01-ad": AD.format(asks=asks), "2018-09-01-h": hours}
    if done:
        records["2018-06-01-work"] = f"kind: work\nmeters: {{tach: {done}}}\ndid: [look]\nby: Ada\n"
    made = book(f"- [ ] `look` Look\n{check}", records)
    told = [each.message for each in audit(made, TODAY) if each.place.file.endswith("-ad.yaml")]
    return due(made, TODAY), told


LIFE = "  - counts-on: prop\n  - life: 600 h\n"


@pytest.mark.parametrize(
    ("check", "tach", "done", "total", "state"),
    [
        # Done once it was never due again.
        ("  - once: 100 h\n", "90", "60", "160", LATER),
        ("  - once: 100 h\n", "161", "60", "160", PAST_DUE),
        ("  - once: 600 h\n", "80", "", "100", LATER),
        ("  - once: 600 h\n", "101", "", "100", PAST_DUE),
        ("  - once: 40 h\n", "41", "", "40", PAST_DUE),
        ("  - once: 2030-01-31\n", "161", "60", "160", PAST_DUE),
        ("  - once: 2030-01-31\n", "80", "", "100", LATER),
        # Before anything was done a `first` stands in for the interval.
        ("  - every: 100 h\n  - first: 200 h\n", "101", "", "100", PAST_DUE),
        ("  - every: 100 h\n  - first: 10 h, 200 h\n", "9", "", "10", "soon"),
        ("  - every: 100 h\n  - first: 50 h\n", "20", "", "50", LATER),
    ],
)
def test_what_it_asks_every_100_h_counts_beside_what_its_check_says(
    check: str, tach: str, done: str, total: str, state: str
) -> None:
    answer, _ = answered(check, "every: 100 h", tach, done)
    (item,) = [each for each in answer.items if each.check == "look"]
    assert (item.due.total, item.state) == (Decimal(total), state), item
    assert item.bars.flight is (state == PAST_DUE)
    # What is planned ahead comes no later.
    plan = year_ahead(answer.seen, answer, months=12)
    if state == PAST_DUE:
        assert "look" in plan.visits[0].checks


def test_the_end_of_a_life_and_what_is_asked_besides_count_both() -> None:
    new = "kind: installed\nposition: prop\nserial: P-1\nsince-new: 0\nmeters: {tach: 0.0}\n"
    asked = {**BEGUN, "2018-01-15-prop": new, "2018-02-01-ad": AD.format(asks="every: 100 h")}
    for tach, total, state in (("80", "100", LATER), ("101", "100", PAST_DUE)):
        hours = {"2018-09-01-h": f"kind: hours\nmeters: {{tach: {tach}}}\n"}
        answer = due(book(f"- [ ] `look` Look\n{LIFE}", {**asked, **hours}), TODAY)
        (item,) = [each for each in answer.items if each.check == "look"]
        assert (item.due.total, item.state) == (Decimal(total), state), item


@pytest.mark.parametrize(
    ("check", "asks", "told"),
    [
        ("  - once: 100 h\n", "every: 100 h", "every 100 h, and `look` comes once, within 100 h"),
        ("  - once: 2030-01-31\n", "every: 100 h", "every 100 h, and `look` comes once, by 2030-01-31"),
        ("  - every: 100 h\n  - first: 200 h\n", "every: 100 h", "and `look` comes first at 200 h"),
        ("  - every: 100 h\n  - first: 50 h, 200 h\n", "every: 100 h", "and `look` comes first at 200 h"),
        ("  - every: 100 h\n  - first: 50 h, 150 h\n", "every: 100 h", ""),
        ("  - every: 6 months\n  - first: 2 years\n", "every: 12 months", "and `look` comes first at 2 years"),
        ("  - every: 20 h\n  - first: 200 h\n", "once: within 25 h", "comes every 20 h, first at 200 h"),
        ("  - every: 20 h\n  - first: 10 h\n", "once: within 25 h", ""),
        # As the line advises where the paper itself says so.
        ("  - every: 100 h\n  - first: 200 h\n", "once: by 200 h", ""),
        # After a trigger the interval goes on counting.
        ("  - every: 100 h\n  - first: 200 h\n  - owed-after: did look\n", "every: 100 h", ""),
    ],
)
def test_what_it_asks_sooner_than_its_check_comes_first_is_a_problem(check: str, asks: str, told: str) -> None:
    _, found = answered(check, asks, "90")
    assert (len(found), told in "".join(found)) == (bool(told), True), found


def test_what_was_done_once_has_no_first_any_more() -> None:
    _, found = answered("  - every: 100 h\n  - first: 200 h\n", "every: 100 h", "90", "60")
    assert found == []


GEN = "- [ ] `gen` Look at all of it\n  - every: 100 h\n{counts}"
A1 = "kind: installed\nposition: left\nserial: A1\nmeters: {tach: 100}\n"
A2 = "kind: installed\nposition: left\nserial: A2\nmeters: {tach: 110}\n"
OUT = "kind: removed\nposition: left\nserial: A1\nwhere: bench\nmeters: {tach: 110}\n"
ON_LEFT = AD.replace("on: aircraft", "on: left").replace("check: look", "check: gen")
CHANGED = {"2018-01-20-a1": A1, "2018-03-01-o": OUT, "2018-03-01-p": A2}


def of_gen(records: dict[str, str], counts: str = "") -> tuple[str, bool, list[str]]:
    hours = {"2018-06-01-h": "kind: hours\nmeters: {tach: 120}\n"}
    answer = due(book(GEN.format(counts=counts), {**BEGUN, **records, **hours}), TODAY)
    (item,) = [each for each in answer.items if each.check == "gen"]
    (state,) = directives(chronicle(answer.seen)).states
    words = [line.text for line in item.lines if "asks for it since" in line.text]
    assert (older_words(answer, state) != "") == bool(words)
    return item.state, bool(state.complied), [*words, *filter(None, [older_words(answer, state)])]


@pytest.mark.parametrize("asks", ["once: before further flight", "every: 100 h"])
@pytest.mark.parametrize("counts", ["", "  - counts-on: right\n"])
def test_what_was_done_before_a_part_came_was_not_done_to_it(asks: str, counts: str) -> None:
    """Work on the magneto that went was shown as compliance of the one that came, 17 days before it was fitted."""
    right = {"2018-01-20-right": A1.replace("left", "right").replace("A1", "R1")}
    text = ON_LEFT.format(asks=f"{asks}\nissued: 2018-02-05")
    decided = {"2018-02-10-ad": text, "2018-03-02-ad": f"{text}serial: A2\n"}
    before = "kind: work\nmeters: {tach: 105}\ndid: [gen]\nby: Ada\n"
    records = {**CHANGED, **right, **decided, "2018-02-12-w": before}
    state, complied, told = of_gen(records, counts)
    assert (state, complied) == (PAST_DUE, False)
    assert told[0].endswith("last done before, on 2018-02-12, and the part in left came after that: due now")
    assert "(2018-02-12-w) was done before serial A2 was in left, or may have been" in told[1]
    # Done to that part it is done, with the fitting too; before the change it was done to the one that was there.
    for day, tach in (("2018-04-01", "115"), ("2018-03-01", "110")):
        after = {f"{day}-w": before.replace("105", tach)}
        assert of_gen({**records, **after}, counts) == (LATER, True, [])
    kept = {name: each for name, each in records.items() if name not in ("2018-03-01-o", "2018-03-01-p")}
    assert of_gen({**kept, "2018-03-02-ad": text}, counts) == (LATER, True, [])


def test_what_somebody_vouches_for_is_done_to_the_part() -> None:
    """The decision itself says when it was done to that part: nothing is due for it."""
    text = ON_LEFT.format(asks="once: before further flight\nissued: 2018-02-05")
    vouched = f"{text}serial: A2\ndone-on: 2018-02-20\ndone: as it asks, on the bench\ndone-by: Ada\n"
    before = {"2018-02-12-w": "kind: work\nmeters: {tach: 105}\ndid: [gen]\nby: Ada\n"}
    assert of_gen({**CHANGED, **before, "2018-03-02-ad": vouched})[0] == LATER


@pytest.mark.parametrize("fitted_on", ["", ", fitted-on: 2018-02-20"])
def test_a_part_that_was_always_there_had_what_was_done_before_it_was_told(fitted_on: str) -> None:
    """Of a part brought forward without the day of its fitting nothing says that another one was there."""
    fitted = f"fitted: {{left: {{serial: A1, since-new: 5{fitted_on}}}}}\n"
    past = {"2018-03-01-past": f"kind: brought-forward\nmeters: {{tach: {{reads: 110, total: 110}}}}\n{fitted}"}
    work = {"2018-02-12-w": "kind: work\npaper: log p. 31\nmeters: {tach: 105}\ndid: [gen]\nby: Ada\n"}
    decided = {"2018-03-02-ad": ON_LEFT.format(asks="every: 100 h\nissued: 2018-02-05")}
    state, complied, _ = of_gen({**past, **work, **decided})
    assert (state, complied) == ((PAST_DUE, False) if fitted_on else (LATER, True))
