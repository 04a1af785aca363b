"""Amendments laid over records: what is replaced, what is not, which of several counts, and what stays as it was."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.amended import TAKEN_BACK, amended, why_not
from inspect_kit.model.finding import DONE, NOT_DONE, Reading, Result
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.brought_forward import BroughtForward, ReadsTotal
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.record import Field, Record, Seal

HERE = Place("records/2026/x.yaml", 1)
DAY = dt.date(2026, 5, 14)
SEAL = Seal(record="r", page="", worksheet="a" * 64, after=(), sha256="b" * 64)
WORK = Work(
    name="2026-05-14-oil",
    date=DAY,
    meters={"tach": Decimal("95.9"), "landings": Decimal(200)},
    totals={"tach": Decimal("351.4"), "landings": Decimal(200)},
    did=("oil", "belts"),
    results=(
        Result(check="oil", good_until=None, place=HERE),
        Result(check="elt", good_until=dt.date(2027, 1, 31), place=HERE),
    ),
    readings=(Reading(check="oil", label="filter", value="58", measure="psi", again=("61 psi",), place=HERE),),
    next={"belts": dt.date(2028, 1, 31)},
    text="changed",
    place=HERE,
)
MAGNETO = Installed(name="2026-05-01-magneto", date=dt.date(2026, 5, 1), position="m", serial="W4-2291", place=HERE)


def amendment(
    of: str, day: int = 20, *, entered: int = 0, not_done: tuple[str, ...] = (), **instead: object
) -> Amendment:
    """An amendment of 2026-05-DAY; `meters_tach` stands for the field ("meters", "tach")."""
    fields: dict[Field, object] = {tuple(key.split("_")): value for key, value in instead.items()}
    return Amendment(
        name=f"2026-05-{day}-amendment-{entered}-{len(fields)}",
        date=dt.date(2026, 5, day),
        entered=dt.date(2026, 6, entered) if entered else None,
        of=of,
        instead=fields,
        not_done=not_done,
        text="why",
        place=HERE,
    )


def laid(*records: Record, now: dict[str, str] | None = None) -> dict[str, Record]:
    found, _ = amended(records, id_now=lambda name: (now or {}).get(name, name), is_pending=lambda *_: False)
    return {record.name: record for record in found}


def as_work(record: Record) -> Work:
    assert isinstance(record, Work)
    return record


def test_a_reading_and_the_total_that_was_reckoned_from_it() -> None:
    made = as_work(laid(WORK, amendment(WORK.name, meters_tach=Decimal("59.9")))[WORK.name])
    assert made.meters == {"tach": Decimal("59.9"), "landings": Decimal(200)}
    # The meter of that day lacked 255.5: 59.9 + 255.5.
    assert made.totals == {"tach": Decimal("315.4"), "landings": Decimal(200)}
    assert WORK.meters["tach"] == Decimal("95.9")


def test_a_reading_that_was_left_out_is_added() -> None:
    bare = Hours(name="h", date=DAY, meters={"landings": Decimal(3)}, place=HERE)
    made = laid(bare, amendment("h", meters_tach=Decimal(7)))["h"]
    assert made.meters == {"landings": Decimal(3), "tach": Decimal(7)}


def test_a_date_moves_the_record_among_the_others() -> None:
    early = Hours(name="2026-05-13-hours", date=dt.date(2026, 5, 13), place=HERE)
    found, changed = amended(
        [early, WORK, amendment(WORK.name, date=dt.date(2026, 5, 4))], id_now=str, is_pending=lambda *_: False
    )
    assert [record.name for record in found][:2] == [WORK.name, early.name]
    assert changed[WORK.name].original == WORK


def test_serial_part_words_and_the_dates_of_parts() -> None:
    made = laid(MAGNETO, amendment(MAGNETO.name, serial="W4-2219", part="Sparrow M4"))[MAGNETO.name]
    assert isinstance(made, Installed)
    assert (made.serial, made.part) == ("W4-2219", "Sparrow M4")
    work = laid(WORK, amendment(WORK.name, text="filter changed", next_elt=dt.date(2026, 12, 31)))[WORK.name]
    assert as_work(work).text == "filter changed"
    assert as_work(work).next == {"belts": dt.date(2028, 1, 31), "elt": dt.date(2026, 12, 31)}
    # The page's own line under the check says the same.
    assert [result.good_until for result in as_work(work).results] == [None, dt.date(2026, 12, 31)]


def test_a_measured_value() -> None:
    new = Reading(check="oil", label="filter", value="67", measure="", place=HERE)
    (reading,) = as_work(laid(WORK, amendment(WORK.name, reads_oil_filter=new))[WORK.name]).readings
    assert (reading.value, reading.measure, reading.again) == ("67", "psi", ())


def test_a_tick_taken_back_takes_the_date_of_the_part_with_it() -> None:
    made = as_work(laid(WORK, amendment(WORK.name, not_done=("belts", "elt")))[WORK.name])
    assert made.did == ("oil",)
    assert made.next == {}
    assert [(result.check, result.answer, result.good_until) for result in made.results] == [
        ("oil", DONE, None),
        ("elt", NOT_DONE, None),
    ]


def test_an_old_id_is_the_same_check() -> None:
    made = as_work(laid(WORK, amendment(WORK.name, not_done=("oil-old",)), now={"oil-old": "oil"})[WORK.name])
    assert made.did == ("belts",)


def test_what_a_brought_forward_and_a_changed_meter_say() -> None:
    past = BroughtForward(
        name="p", date=DAY, reads={"tach": ReadsTotal(reads=Decimal(4), total=Decimal(104))}, place=HERE
    )
    new = ReadsTotal(reads=Decimal(4), total=Decimal(140))
    made = laid(past, amendment("p", meters_tach=new))["p"]
    assert isinstance(made, BroughtForward)
    assert made.reads == {"tach": new}
    # A reading alone would leave open what it stands for.
    assert "says of a meter what it reads and its total" in (why_not(past, ("meters", "tach"), Decimal(4), str) or "")
    change = MeterChange(name="c", date=DAY, meter="tach", old=Decimal(900), new=Decimal(0), place=HERE)
    again = laid(change, amendment("c", old=Decimal(90)))["c"]
    assert isinstance(again, MeterChange)
    assert again.old == Decimal(90)


@pytest.mark.parametrize("first_day", [20, 21])
def test_of_one_field_the_newest_by_date_counts(first_day: int) -> None:
    one = amendment(WORK.name, first_day, meters_tach=Decimal(1))
    other = amendment(WORK.name, 41 - first_day, meters_tach=Decimal(2))
    made = laid(one, other, WORK)[WORK.name]
    assert made.meters["tach"] == Decimal(1 if first_day == 21 else 2)


def test_of_one_day_the_one_that_was_entered_later_counts_and_fields_count_apart() -> None:
    late = amendment(WORK.name, entered=2, meters_tach=Decimal(1))
    early = amendment(WORK.name, entered=1, meters_tach=Decimal(2), text="other words")
    made = laid(late, early, WORK)[WORK.name]
    assert (made.meters["tach"], made.text) == (Decimal(1), "other words")


def test_an_amendment_that_waits_is_known_for_one_and_can_be_left_out() -> None:
    one = amendment(WORK.name, meters_tach=Decimal("59.9"))
    _, changed = amended([WORK, one], id_now=str, is_pending=lambda *_: True)
    (change,) = changed[WORK.name].changes
    assert change.pending
    assert changed[WORK.name].words() == ("tach 59.9 instead of 95.9 (2026-05-20-amendment-0-1, not signed yet)",)
    found, changed = amended([WORK, one], id_now=str, is_pending=lambda *_: True, without=[one.name])
    assert found[0] == WORK
    assert changed == {}


@pytest.mark.parametrize(
    ("field", "said"),
    [
        (("statement",), "`statement` of such a record cannot be replaced"),
        (("findings", "F1"), "`findings` of such a record cannot be replaced"),
        (("serial",), "`serial` of such a record cannot be replaced"),
        (("reads", "oil", "gap"), "does not say the reading gap of `oil`"),
        ((TAKEN_BACK, "tyres"), "does not say that `tyres` was done"),
    ],
)
def test_what_cannot_be_replaced(field: Field, said: str) -> None:
    assert said in (why_not(WORK, field, "x", str) or "")
    assert laid(WORK, Amendment(name="a", date=DAY, of=WORK.name, instead={field: "x"}, place=HERE))[WORK.name] == WORK


def test_neither_a_signature_nor_an_amendment_is_amended() -> None:
    for record in (
        Signature(name="s", date=DAY, of="x", ink="p. 1", place=HERE),
        amendment("x", meters_tach=Decimal(1)),
    ):
        assert why_not(record, ("date",), DAY, str) is not None


def test_the_words_beside_the_old() -> None:
    reading = Reading(check="oil", label="filter", value="67", measure="psi", place=HERE)
    one = amendment(
        WORK.name,
        not_done=("belts",),
        date=dt.date(2026, 5, 4),
        reads_oil_filter=reading,
        next_elt=dt.date(2026, 12, 31),
    )
    _, changed = amended([WORK, one], id_now=str, is_pending=lambda *_: False)
    assert [str(change) for change in changed[WORK.name].changes] == [
        "date 2026-05-04 instead of 2026-05-14",
        "filter of oil 67 psi instead of 61 psi",
        "next elt 2026-12-31 instead of 2027-01-31",
        "belts was not done",
    ]


@pytest.mark.parametrize(
    ("entered", "to", "moved"),
    [(None, "2026-05-20", True), (None, "2026-05-21", False), ("2026-05-15", "2026-05-15", True),
     ("2026-05-15", "2026-05-16", False), (None, "2027-11-30", False)],
)  # fmt: skip
def test_a_date_moved_behind_the_day_it_was_written_down_stays(entered: str | None, to: str, moved: bool) -> None:
    day = dt.date.fromisoformat(entered) if entered else None
    hours = Hours(name="2026-05-14-hours", date=DAY, entered=day, meters={}, place=HERE)
    later = amendment(hours.name, date=dt.date.fromisoformat(to))
    assert (laid(hours, later)[hours.name].date == dt.date.fromisoformat(to)) is moved
