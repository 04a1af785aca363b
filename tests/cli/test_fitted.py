"""Parts that go in and come out, and meters that are changed: a record that a person could have written."""

import json
import re
from pathlib import Path

import pytest
import yaml

from inspect_kit import store
from tests.cli.conftest import AIRCRAFT, Run
from tests.cli.test_finding import logbook_of

MAGNETOS = "magneto-left: {on: engine, was: [left-mag]}, magneto-right: {on: engine}"
POSITIONS = f"positions: {{engine: {{}}, {MAGNETOS}, heater: {{retired: 2024-05-01}}}}\n"
BUILDER = "repairman (experimental aircraft builder)"
GIVEN = ("--part", "Acme M-4", "--since-overhaul", "", "--made", "", "--from", "", "--reason", "")


@pytest.fixture
def plane(hangar: Path) -> Path:
    text = AIRCRAFT.replace("time-in-service:", POSITIONS + "time-in-service:")
    (hangar / "records/aircraft.yaml").write_text(text, encoding="utf-8")
    return hangar


def written(out: str, plane: Path) -> list[dict[str, object]]:
    """The records that were written, as any reader of YAML takes them, without what every entry has."""
    found = [yaml.load((plane / name).read_text(encoding="utf-8"), yaml.BaseLoader) for name in out.split()]
    common = {"format": "1", "date": "2026-11-25", "entered": "2026-11-25"}
    assert all(common.items() <= each.items() for each in found)
    return [{key: value for key, value in each.items() if key not in common} for each in found]


def test_a_part_fitted_with_everything_given_asks_nothing(run: Run, plane: Path) -> None:
    words = ("install", "left-mag", "tach=400.1", "--serial", "00123", "--since-new", "0", *GIVEN)
    done = run(plane, *words, "--by", "ada bellcrank", "--at", "Sandpiper Meadow")
    assert (done.code, done.err) == (0, "")
    assert written(done.out, plane) == [
        {
            "kind": "installed",
            "meters": {"tach": "400.1"},
            "position": "magneto-left",
            "serial": "00123",
            "part": "Acme M-4",
            "since-new": "0",
            "by": {"name": "Ada Bellcrank", "kind": BUILDER, "certificate": "0000001"},
            "at": "Sandpiper Meadow",
        }
    ]


def test_every_fact_that_was_not_given_is_asked_and_asked_again(run: Run, plane: Path) -> None:
    typed = ("400.2", "77", "Acme M-4", "many", "12.5", "", "", "stores", "new engine")
    done = run(plane, "install", "magneto-left", typed=typed)
    assert done.code == 0
    assert "expected a number such as 412.6, not `many`" in done.err
    asked = [words.split(": ")[-1].strip().split("\n")[-1] for words in done.err.split(" (Enter: not known)")]
    # What it reads comes first, as in every command, and who did it last.
    assert asked[0] == "tach reads, last 400.0, = the same"
    assert asked[1].endswith("maker and part number")
    again = "Its hours since new, 0 for a new one"
    assert asked[2:-2] == [
        again, again, "Its hours since overhaul", "When it was made, by its label", "Where it comes from", "Why",
    ]  # fmt: skip
    assert "Who did it: 1 Ada Bellcrank, 2 Bo Cleco, or NAME, KIND, NUMBER" in done.err
    assert written(done.out, plane) == [
        {
            "kind": "installed",
            "meters": {"tach": "400.2"},
            "position": "magneto-left",
            "serial": "77",
            "part": "Acme M-4",
            "since-new": "12.5",
            "where": "stores",
            "reason": "new engine",
        }
    ]


def test_a_swap_is_one_go_and_the_part_from_the_bench_is_offered(run: Run, plane: Path) -> None:
    first = ("install", "magneto-left", "tach=400.1", "--serial", "A1", "--since-new", "0", *GIVEN)
    assert run(plane, *first, on="2026-10-01").code == 0
    swap = ("install", "magneto-left", "tach=410.0", "--serial", "B2", "--since-new", "100", *GIVEN[:-1], "rough")
    done = run(plane, *swap, "--where", "bench", on="2026-10-20")
    assert done.code == 0
    assert "magneto-left holds serial A1 since 2026-10-01: it comes out." in done.err
    out, fitted = (plane / name for name in done.out.split())
    assert "kind: removed" in out.read_text()
    assert "serial: A1\npart: Acme M-4\nwhere: bench\nreason: rough\n" in out.read_text()
    assert "kind: installed" in fitted.read_text()
    # Back again: offered, and its own times are not asked for.
    back = run(plane, "install", "magneto-left", "tach=420.0", typed=("A1", "", "", "overhaul", "B2 leaks oil"))
    assert back.code == 0, back.err
    assert "Taken out earlier, and fitted nowhere:\n  A1  Acme M-4, 2026-10-20, to bench\n" in back.err
    assert "hours since new" not in back.err
    assert run(plane, "verify").code == 0
    history = run(plane, "history", "magneto-left").out
    assert "A1" in history
    assert "B2" in history
    # What came out is offered no longer, once it is in; and nowhere but where such a part goes.
    assert "B2" not in (other := run(plane, "install", "engine", "tach=420.0", typed=("E1", *[""] * 7)).err)
    assert "Nothing is on record as fitted in engine; if something is" in other
    right = run(plane, "install", "magneto-right", "tach=420.0", typed=("",)).err
    assert ("B2  Acme" in right, "A1  Acme" in right) == (True, False)


@pytest.mark.parametrize(
    ("where", "typed", "hours"),
    [("overhaul", ("0", "", ""), "since-overhaul: 0\n"), ("the shop", ("", "", ""), ""), ("bench", ("", ""), "")],
)
def test_of_a_part_that_was_away_it_is_asked_whether_it_was_overhauled(
    run: Run, plane: Path, where: str, typed: tuple[str, ...], hours: str
) -> None:
    """Its hours since overhaul would have gone on, and nothing asked for them."""
    first = ("install", "magneto-left", "tach=400.1", "--serial", "A1", "--since-new", "0", *GIVEN)
    assert run(plane, *first, on="2026-10-01").code == 0
    assert run(plane, "remove", "magneto-left", "tach=410.0", "--where", where, "--reason", "old").code == 0
    back = run(plane, "install", "magneto-left", "tach=410.0", "--serial", "A1", "--part", "Acme M-4", typed=typed)
    assert back.code == 0, back.err
    assert ("0 where it was overhauled meanwhile" in back.err) == (where != "bench")
    text = (plane / back.out.split()[0]).read_text()
    assert ("since-overhaul" in text, hours in text) == (bool(hours), True)


class TestWhatSitsOnIt:
    """An engine leaves with its magneto, or without: nothing of it is taken for granted."""

    OUT = ("remove", "engine", "tach=410.0", "--where", "overhaul", "--reason", "metal in it", "--by", "Bo Cleco")
    SWAP = ("install", "engine", "tach=410.0", "--serial", "E2", "--since-new", "0", *GIVEN, *OUT[3:5])

    @pytest.fixture
    def with_magneto(self, run: Run, plane: Path) -> Path:
        for position, serial in (("engine", "E1"), ("magneto-left", "A1")):
            words = ("install", position, "tach=400.1", "--serial", serial, "--since-new", "0", *GIVEN)
            assert run(plane, *words, on="2026-10-01").code == 0
        return plane

    def test_off_and_the_same_one_on_again_says_both_lines(self, run: Run, with_magneto: Path) -> None:
        done = run(with_magneto, "install", "magneto-left", "tach=410.0", "--serial", "A1", on="2026-11-20")
        then = "same one went on again, first inspect-kit --on 2026-11-20 remove magneto-left, then this"
        assert (done.code, then in done.err) == (2, True), done.err

    def test_the_other_of_a_pair_is_told_by_its_hours_since_new(self, run: Run, with_magneto: Path) -> None:
        words = ("install", "magneto-right", "tach=400.1", "--serial", "B1", "--since-new", "9", *GIVEN)
        assert run(with_magneto, *words, "--since-overhaul", "7", on="2026-10-02").code == 0
        told = " ".join(run(with_magneto, "status").out.split())
        assert "magneto-left 0.0 h since new; magneto-right 7.0 h since overhaul" in told, told

    @pytest.mark.parametrize("line", [OUT, SWAP])
    def test_nobody_answers(self, line: tuple[str, ...], run: Run, with_magneto: Path) -> None:
        done = run(with_magneto, *line)
        asked = "`Did serial A1 in magneto-left stay, or go with it: stay or go` has no answer: give it with --goes"
        assert (done.code, done.out) == (2, "")
        assert asked in done.err

    @pytest.mark.parametrize(
        ("line", "who", "more"), [(OUT, (), ("--goes-with", "left-mag")), (OUT, (), ()), (SWAP, ("",), ())]
    )
    def test_it_goes(
        self, line: tuple[str, ...], who: tuple[str, ...], more: tuple[str, ...], run: Run, with_magneto: Path
    ) -> None:
        done = run(with_magneto, *line, *more, typed=(*who, "leave", "go"))
        assert done.code == 0, done.err
        found = {(each["kind"], each["position"]): each for each in written(done.out, with_magneto)}
        gone = found["removed", "magneto-left"]
        told = ("A1", "overhaul", "went with what came out of engine")
        assert (gone["serial"], gone["where"], gone["reason"]) == told
        assert ("removed", "engine") in found
        assert "Nothing is fitted in magneto-left now, a reason on record not to fly" in done.err
        assert run(with_magneto, "verify").code == 0

    @pytest.mark.parametrize(("who", "line"), [((), OUT), (("",), SWAP)])
    def test_it_stays(self, line: tuple[str, ...], who: tuple[str, ...], run: Run, with_magneto: Path) -> None:
        done = run(with_magneto, *line, typed=(*who, "stay"))
        assert done.code == 0, done.err
        texts = [(each["position"], each["text"]) for each in written(done.out, with_magneto)]
        assert {*texts} == {("engine", "stayed: serial A1 in magneto-left")}

    def test_what_does_not_sit_on_it(self, run: Run, with_magneto: Path) -> None:
        done = run(with_magneto, "remove", "left-mag", *self.OUT[2:], "--goes-with", "engine")
        assert done.code == 2
        assert "no part is on record in engine that sits on magneto-left: leave it out" in done.err


def test_a_part_taken_out(run: Run, plane: Path) -> None:
    first = ("install", "magneto-left", "tach=400.1", "--serial", "A1", "--since-new", "0", *GIVEN)
    assert run(plane, *first, on="2026-10-01").code == 0
    wrong = run(plane, "remove", "magneto-left", "tach=410", "--serial", "B2", "--where", "bench", "--reason", "a slip")
    held = "magneto-left holds serial A1 since 2026-10-01, not `B2`"
    assert (wrong.code, wrong.err) == (2, f"inspect-kit: {held}: give that one, or leave --serial out\n")
    done = run(plane, "remove", "magneto-left", typed=("410.0", "scrapped", "cracked"))
    assert done.code == 0, done.err
    empty = "!! Nothing is fitted in magneto-left now, a reason on record not to fly: inspect-kit install magneto-left"
    assert empty in done.err
    assert written(done.out, plane) == [
        {
            "kind": "removed",
            "meters": {"tach": "410.0"},
            "position": "magneto-left",
            "serial": "A1",
            "part": "Acme M-4",
            "where": "scrapped",
            "reason": "cracked",
        }
    ]
    # Nothing is in that position any more, and nobody's hours run on there.
    told = json.loads(run(plane, "status", "--json").out)["positions"]
    (left,) = (each for each in told if each["position"] == "magneto-left")
    assert (left["part"], left["serial"], left["since_new"]) == (None, None, None)
    told = "nothing is fitted in magneto-left since 2026-11-25, when serial A1 came out"
    for command in ("due", "status"):
        shown = " ".join(run(plane, command).out.split())
        assert "nothing is fitted in magneto-left since" in shown
        assert "No reason not to fly" not in shown
    assert "nothing fitted since" in " ".join(run(plane, "status", "--all").out.split())
    # What holds the position on a day is what held it then, and does not lie on the bench meanwhile.
    before = run(plane, "install", "magneto-left", "tach=405", on="2026-11-01")
    assert "magneto-left holds serial A1 since 2026-10-01: it comes out." in before.err
    assert "Taken out earlier" not in before.err
    stops = json.loads(run(plane, "due", "--json").out)["stops"]
    assert ("position-empty", told) in {(stop["kind"], stop["text"]) for stop in stops}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("install", "magneto-lft"), "no position is called `magneto-lft`; did you mean `magneto-left`?"),
        (("install", "heater"), "`heater` is retired since 2024-05-01: nothing is fitted there"),
        (("install", "engine", "tach=400"), "`Serial number of what goes in, or none` has no answer: give it with"),
        (("install", "engine", "--serial", "1", "--since-new", "new"), "--since-new: expected a number such as 412.6"),
        (("install", "engine", "--serial", "1", "--made", "May"), "--made: "),
        (("install", "engine", "tach=1.0", "--serial", "1"), "nothing was written, because of"),
        (("remove", "engine"), "`Serial number of what comes out, or none` has no answer: give it with --serial"),
        (("meter", "tac"), "`tac` is no meter of this aircraft; did you mean `tach`?"),
        (("meter", "tach", "--old", "410"), "`The new tach reads` has no answer: give it with --new"),
        (("meter", "tach", "--old", "1", "--new", "0"), "nothing was written, because of"),
        (
            ("meter", "tach", "--old", "410", "--new", "0", "--unrecorded", "1.5"),
            "`How these hours are known` has no answer: give it with --how-known",
        ),
    ],
)
def test_what_cannot_be_is_said_and_changes_nothing(run: Run, plane: Path, words: tuple[str, ...], told: str) -> None:
    before = sorted(each.name for each in (plane / "records/2026").iterdir())
    outcome = run(plane, *words)
    assert outcome.code == 2
    assert told in outcome.err
    assert sorted(each.name for each in (plane / "records/2026").iterdir()) == before


def test_a_swap_that_cannot_stand_writes_neither_record(run: Run, plane: Path) -> None:
    first = ("install", "magneto-left", "tach=400.1", "--serial", "A1", "--since-new", "0", *GIVEN)
    assert run(plane, *first, on="2026-10-01").code == 0
    before = sorted(each.name for each in (plane / "records/2026").iterdir())
    swap = ("install", "magneto-left", "tach=1.0", "--serial", "B2", "--since-new", "0", *GIVEN, "--where", "bench")
    assert run(plane, *swap).code == 2
    assert sorted(each.name for each in (plane / "records/2026").iterdir()) == before


def test_a_meter_changed(run: Run, plane: Path) -> None:
    done = run(plane, "meter", "tach", "--by", "Bo Cleco", typed=("412.4", "0.0", "1.5", "", "journey log"))
    assert done.code == 0, done.err
    assert written(done.out, plane) == [
        {
            "kind": "meter-change",
            "meter": "tach",
            "old": "412.4",
            "new": "0.0",
            "unrecorded": {"hours": "1.5", "how-known": "journey log"},
            "by": {"name": "Bo Cleco", "kind": "student", "certificate": "0000002"},
        }
    ]
    assert run(plane, "hours", "tach=3.0", on="2026-11-25").code == 0
    assert run(plane, "verify").code == 0


def test_a_meter_changed_before_a_later_reading_or_to_one_that_read_more_is_asked_back(run: Run, plane: Path) -> None:
    assert run(plane, "hours", "tach=412.4", on="2026-11-20").code == 0
    for new, day, told in (("0", "2026-11-01", "more than on 2026-11-01"), ("99999", "2026-11-20", "begins at 99999")):
        words = ("meter", "tach", "--old", "412.4", "--new", new, "--unrecorded", "0", "--by", "Bo Cleco")
        asked = run(plane, *words, on=day)
        assert asked.code == 2
        assert told in asked.err
        assert "Is it right?" in asked.err
    # What either of the two can have shown that day is asked back too; on the day after it is the new one's.
    words = ("meter", "tach", "--old", "412.4", "--new", "411.0", "--unrecorded", "0", "--by", "Bo Cleco")
    assert run(plane, *words, on="2026-11-20").code == 0
    asked = run(plane, "hours", "tach=412.0", on="2026-11-20")
    assert (asked.code, "Is it the old meter's?" in asked.err) == (2, True)
    assert run(plane, "hours", "tach=412.0", "--yes", on="2026-11-20").code == 0
    assert run(plane, "hours", "tach=412.1", on="2026-11-21").code == 0


def test_a_meter_that_was_broken_for_months_is_changed_with_the_hours_of_that_time(run: Run, plane: Path) -> None:
    assert run(plane, "hours", "tach=412.4", "--yes", on="2026-09-03").code == 0
    had = logbook_of(plane).meter_history("tach").points[-1].total
    words = ("meter", "tach", "--old", "412.4", "--new", "0", "--how-known", "journey log", "--by", "Bo Cleco")
    # From 3 September to 22 November are 28 + 31 + 22 days, 1944 h.
    refused = run(plane, *words, "--unrecorded", "1944.1", on="2026-11-22")
    assert (refused.code, "1944.1 h in 81 days, more than the clock holds" in refused.err) == (2, True)
    done = run(plane, *words, "--unrecorded", "40", on="2026-11-22")
    assert done.code == 0, done.err
    assert run(plane, "hours", "tach=1.0", on="2026-11-23").code == 0
    assert run(plane, "verify").code == 0
    assert logbook_of(plane).meter_history("tach").points[-1].total == had + 41


@pytest.mark.parametrize("command", ["install", "remove", "meter"])
def test_help_has_an_example_that_works(run: Run, plane: Path, command: str) -> None:
    text = run(None, command, "--help").out
    assert re.search(rf"(?m)^  {command} \S", text)


@pytest.mark.parametrize("reading", ["{each}", "401"])
def test_parts_that_come_and_go_on_one_day_are_taken_in_their_order(
    run: Run, plane: Path, reading: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever the names of the records are: by their readings, and at one reading as they can follow each other."""
    codes = iter("zyxwvutsrqponmlk")
    monkeypatch.setattr(store, "new_code", lambda: f"k3f{next(codes)}")
    for each, serial in enumerate(("A1", "B2", "C3", "D4"), 401):
        words = ("install", "magneto-left", f"tach={reading.format(each=each)}", "--serial", serial, "--since-new", "0")
        done = run(plane, *words, *GIVEN, "--where", "bench", on="2026-10-01")
        assert done.code == 0, done.err
    assert "magneto-left holds serial D4 since 2026-10-01" in run(plane, "remove", "magneto-left").err
    assert run(plane, "verify").code == 0


@pytest.mark.parametrize("serial", ["a-1", "A -1", "A\u20111", "A\u200b-1", "\uff21-1"])
def test_a_serial_that_looks_like_another_is_no_other_part(run: Run, plane: Path, serial: str) -> None:
    """The part would begin a new life by a slip of the keyboard."""
    first = ("install", "magneto-left", "tach=400.1", "--serial", "A-1", "--since-new", "0", *GIVEN)
    assert run(plane, *first, on="2026-10-01").code == 0
    words = ("install", "engine", "tach=400.2", "--serial", serial, "--since-new", "0", *GIVEN)
    refused = run(plane, *words, on="2026-10-02")
    assert refused.code == 2
    assert "looks like `A-1` (records/2026/2026-10-01-magneto-left-fitted-" in refused.err
    assert "one part has one serial, capitals and blanks included" in refused.err
    assert len(list(plane.glob("records/2026/2026-10-02-*"))) == 0


def test_a_serial_that_comes_back_under_another_name_is_asked_back(run: Run, plane: Path) -> None:
    """As another part it would begin a new life, by its name alone; two parts may have one serial all the same."""
    by = ("--by", "Ada Bellcrank")
    words = ("install", "magneto-left", "tach=400.1", "--serial", "M-77", "--since-new", "402", *GIVEN, *by)
    assert run(plane, *words).code == 0
    out = ("remove", "magneto-left", "tach=400.1", "--where", "bench", "--reason", "rough", "--by", "Ada Bellcrank")
    assert run(plane, *out).code == 0
    other = [word if word != "Acme M-4" else "Sample Works 21" for word in words]
    told = "Serial M-77 is on record as Acme M-4"
    for typed in ((), ("no",)):
        asked = run(plane, *other, typed=typed)
        assert asked.code == 2, asked
        assert told in " ".join(asked.err.split())
    assert len([*plane.glob("records/2026/*magneto-left-fitted*")]) == 1
    assert told not in " ".join(run(plane, *words).err.split())
    assert run(plane, *out).code == 0
    assert run(plane, *other, "--yes").code == 0


def test_a_serial_that_is_nearly_one_on_record_is_asked_back(run: Run, plane: Path) -> None:
    """A zero too many, and its life would begin anew; two parts may have these all the same."""
    by = ("--by", "Ada Bellcrank")
    words = ("install", "magneto-left", "tach=400.1", "--serial", "M-77", "--since-new", "402", *GIVEN, *by)
    assert run(plane, *words).code == 0
    out = ("remove", "magneto-left", "tach=400.1", "--where", "bench", "--reason", "rough", *by)
    assert run(plane, *out).code == 0
    other = ["M-077" if word == "M-77" else word for word in words]
    asked = run(plane, *other, typed=("no",))
    assert asked.code == 2
    assert "Serial M-077 is not on record, and M-77 is" in " ".join(asked.err.split())
    for beside in ("M-77 rebuilt", "Ser. no. M-77", "Makers M-77", "M-77 ex N123"):
        asked = run(plane, *[beside if word == "M-77" else word for word in words], typed=("no",))
        assert asked.code == 2
        assert f"as {beside} it would be another part" in " ".join(asked.err.split())
    refused = run(plane, *["s/n M-77" if word == "M-77" else word for word in words])
    assert "one part has one serial" in refused.err
    assert run(plane, *other, "--yes").code == 0
    assert "by a zero or a letter like a digit" in run(plane, "verify", "--json").out


def test_parts_without_a_serial_are_none_however_that_is_written(run: Run, plane: Path) -> None:
    for day, serial in enumerate(("none", "None", "NONE"), 1):
        words = ("install", "magneto-left", f"tach=40{day}", "--serial", serial, "--since-new", "0", *GIVEN)
        done = run(plane, *words, "--where", "bench", on=f"2026-10-0{day}")
        assert done.code == 0, done.err
    assert "magneto-left holds Acme M-4 without a serial number since 2026-10-02" in done.err
    assert "Taken out earlier" not in run(plane, "install", "engine").err


def test_what_rests_on_an_entry_is_taken_back_first(run: Run, plane: Path) -> None:
    words = ("magneto-left", "tach=400.1", "--part", "Acme", "--since-new", "0", "--since-overhaul", "", "--made", "")
    more = ("--from", "", "--where", "bench", "--reason", "", "--by", "Ada Bellcrank")
    assert run(plane, "install", *words, "--serial", "A1", *more, on="2026-10-01").code == 0
    swapped = run(plane, "install", *words, "--serial", "B2", *more, on="2026-10-02")
    out, fitted = (Path(name).stem for name in swapped.out.split()[:2])
    told = run(plane, "withdraw", out, "--text", "a slip", "--by", "Ada Bellcrank")
    assert told.code == 1
    assert f"Take back first what rests on it: inspect-kit withdraw {fitted}" in told.err
    for name in (fitted, out):
        assert run(plane, "withdraw", name, "--text", "a slip", "--by", "Ada Bellcrank").code == 0
