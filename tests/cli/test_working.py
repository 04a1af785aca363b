"""`work` without a page: in plain words, with readings, parts and findings; each fact given, asked, or refused."""

from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.model.kinds.work import Work
from tests.cli.conftest import Run
from tests.cli.test_sealing import ADA, refused

WHO = ("tach=405.9", "--by", ADA)
READ = ("--read", "cylinder 1=76", "--read", "cylinder 2=74 psi")


def written(root: Path) -> Work:
    logbook = store.load(root).logbook
    assert logbook is not None
    assert not logbook.problems
    return logbook.of_kind(Work)[-1]


class TestInWords:
    def test_a_puncture_needs_no_check(self, run: Run, hangar: Path) -> None:
        words = ("--text", "main wheel tube replaced after a puncture", "--at", "Upper Meadow", "--paper", "WO 12")
        made = run(hangar, "work", *WHO, *words, "--used", "tube 5.00-5", "--used", "1 valve cap", on="2026-11-20")
        assert made.code == 0, made.err
        record = written(hangar)
        assert record.did == ()
        assert record.parts == ("tube 5.00-5", "1 valve cap")
        assert (record.at, record.paper) == ("Upper Meadow", "WO 12")
        assert run(hangar, "verify").code == 0

    def test_only_what_comes_off_is_an_example_of_a_panel_that_came_off(self, run: Run, hangar: Path) -> None:
        setup = "panel: battery-off\nname: Battery off\nzone: cabin\nkind: setup\nmake: 5 min\nundo: 5 min\n"
        (hangar / "checklists/cabin/battery-off.md").write_text(f"---\n{setup}---\n")
        (hangar / "checklists/cabin/aboard.md").write_text("---\npanel: aboard\nname: Papers\nzone: cabin\n---\n")
        words = ("work", "tach=405.9", "--text", "washed", "--by", ADA)
        asked = run(hangar, *words, on="2026-11-20", typed=("",))
        assert asked.code == 0, asked.err
        assert "Which panels came off for it and went on again, such as floor, seats (Enter:" in asked.err
        for file in (*hangar.glob("checklists/nose/*.md"), *hangar.glob("checklists/cabin/[fs]*.md")):
            file.unlink()
        bare = run(hangar, *words, on="2026-11-21", typed=("",))
        assert "Which panels came off for it and went on again (Enter:" in bare.err

    def test_neither_check_nor_words_is_nothing(self, run: Run, hangar: Path) -> None:
        refused(run, hangar, lambda: run(hangar, "work", *WHO), "name a check, or say what was done with --text")


class TestWho:
    @pytest.mark.parametrize(
        ("by", "told"),
        [
            ("Jo Swift, mechanic (airframe and powerplant), 0000001", "`0000001` is the number of Ada Bellcrank"),
            ("Bo Cleco, mechanic, 000 0001.", "is the number of Ada Bellcrank"),
            ("Ada Bellcrank, mechanic, 0000009", "Ada Bellcrank of aircraft.yaml is repairman"),
            ("bo  cleco, mechanic", "Bo Cleco of aircraft.yaml is student, 0000002: name them alone"),
        ],
    )
    def test_nobody_takes_what_is_anothers(self, run: Run, hangar: Path, by: str, told: str) -> None:
        words = ("work", "tach=405.9", "--text", "washed", "--by")
        refused(run, hangar, lambda: run(hangar, *words, by, on="2026-11-20"), told)

    def test_who_else_looked_is_asked_where_a_check_wants_a_second_look(self, run: Run, hangar: Path) -> None:
        floor = hangar / "checklists/cabin/floor.md"
        floor.write_text(floor.read_text().replace("  - covers: c5\n", "  - covers: c5\n  - second-look: yes\n"))
        words = ("work", "elt", "pulleys", *WHO)
        asked = run(hangar, *words, on="2026-11-20", typed=("Ada Bellcrank", "Bo Cleco"))
        assert asked.code == 0, asked.err
        # By the number that Bo Cleco has in the question for the doer.
        assert "Who else looked at pulleys: 2 Bo Cleco, or NAME, KIND, NUMBER (Enter: nobody)" in asked.err
        assert "Ada Bellcrank, who did it, and another pair of eyes is asked" in asked.err
        assert [(each.check, each.second_look) for each in written(hangar).results] == [
            ("elt", ""),
            ("pulleys", "Bo Cleco"),
        ]
        both = run(hangar, "work", "pulleys", "tach=405.9", on="2026-11-21", typed=("1", "1", "2"))
        assert "Who did it: 1 Ada Bellcrank, 2 Bo Cleco, or NAME" in both.err
        assert "and another pair of eyes is asked for" in both.err
        assert "  Ada Bellcrank\n" in both.err
        assert "  Bo Cleco\n" in both.err
        assert [each.second_look for each in written(hangar).results] == ["Bo Cleco"]
        for name in ("A. Bellcrank", "Ada Belcrank"):
            refused(run, hangar, lambda name=name: run(hangar, *words, "--second-look", name), "another pair of eyes")
        refused(run, hangar, lambda: run(hangar, *words, "--second-look", "not known"), "names nobody")
        refused(run, hangar, lambda: run(hangar, *words, "--second-look", "bocleco"), "did you mean `Bo Cleco`?")
        refused(run, hangar, lambda: run(hangar, *words, "--second-look", "hours tach=42"), "nobody of aircraft")
        refused(run, hangar, lambda: run(hangar, "work", "elt", *WHO, "--second-look", "Bo Cleco"), "wants one")

    def test_a_builder_may_be_a_pilot_too(self, run: Run, hangar: Path) -> None:
        words = ("work", "tach=405.9", "--text", "flown alone, as it should be", "--flight-check", "done", "--by")
        assert run(hangar, *words, "Ada Bellcrank, private pilot, 77", on="2026-11-20").code == 0
        assert run(hangar, *words, "Jo Swift, private pilot, 0000002", on="2026-11-20").code == 2
        # And is one from then on: aircraft.yaml has room for one certificate, which had to be typed whole each time.
        again = run(hangar, *words, "Ada Bellcrank", on="2026-11-21")
        assert again.code == 0, again.err
        check = written(hangar).flight_check
        assert check is not None
        assert (check.pilot.name, check.pilot.kind, check.pilot.certificate) == ("Ada Bellcrank", "private pilot", "77")
        refused(run, hangar, lambda: run(hangar, *words, "Bo Cleco", on="2026-11-21"), "a private pilot or higher")
        people = hangar / "records/aircraft.yaml"
        said = "people:\n  - {name: Sam Low, kind: student pilot, certificate: '3'}\n"
        said += "  - {name: Paul High, kind: private pilot, certificate: '4'}\n"
        people.write_text(people.read_text().replace("people:\n", said, 1))
        for who in ("Sam Low, private pilot, 3", "Paul High, private pilot, 5", "Paul High, commercial pilot, 4"):
            told = run(hangar, *words, who, on="2026-11-20")
            assert (told.code, "name them alone" in " ".join(told.err.split())) == (2, True)


class TestReadings:
    def test_given_by_their_labels(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "work", "compression", *WHO, *READ, on="2026-11-20").code == 0
        assert [(each.label, each.value, each.measure) for each in written(hangar).readings] == [
            ("cylinder 1", "76", "psi"),
            ("cylinder 2", "74", "psi"),
        ]

    def test_a_digit_too_many_is_asked_back_where_the_limit_is_open(self, run: Run, hangar: Path) -> None:
        """760 psi keeps to `at least 60`."""
        slip = ("--read", "cylinder 1=760", "--read", "cylinder 2=74")
        asked = "cylinder 1 is 760 psi, and the limit is at least 60. Is it right?"
        refused(run, hangar, lambda: run(hangar, "work", "compression", *WHO, *slip, typed=("n",)), asked, "--yes")
        assert run(hangar, "work", "compression", *WHO, *slip, typed=("y",), on="2026-11-20").code == 0
        again = ("amend", "compression", "reads.compression.cylinder 2=740 psi", "--text", "read again", "--by", ADA)
        asked = "cylinder 2 is 740 psi, and the limit is at least 60. Is it right?"
        refused(run, hangar, lambda: run(hangar, *again, typed=("n",)), asked)

    def test_what_no_gauge_shows_is_refused(self, run: Run, hangar: Path) -> None:
        slip = ("--read", "cylinder 1=7600000000", "--read", "cylinder 2=74", "--yes")
        refused(
            run,
            hangar,
            lambda: run(hangar, "work", "compression", *WHO, *slip),
            "cylinder 1 of `compression` is 7600000000: has a digit or a point slipped?",
        )

    def test_what_was_not_given_is_asked_again_until_it_is_a_number(self, run: Run, hangar: Path) -> None:
        made = run(hangar, "work", "compression", *WHO, typed=("seventy", "76", "74"), on="2026-11-20")
        assert made.code == 0, made.err
        assert "compression: cylinder 1 in psi, at least 60" in made.err
        assert "expected a number of psi" in made.err
        assert [each.value for each in written(hangar).readings] == ["76", "74"]

    def test_what_nobody_knows_stays_empty(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "work", "compression", *WHO, on="2026-11-20").code == 0
        assert written(hangar).readings == ()

    def test_a_label_that_nothing_asks_for(self, run: Run, hangar: Path) -> None:
        wrong = lambda *more: run(hangar, "work", *more, *WHO, on="2026-11-20")  # noqa: E731
        refused(run, hangar, lambda: wrong("compression", "--read", "cylinder 7=70"), "nothing asks for `cylinder 7`")
        refused(run, hangar, lambda: wrong("stacks", "--read", "crack=8"), "none of the checks named asks for")
        refused(run, hangar, lambda: wrong("compression", "--read", "cylinder 1=lots"), "expected a number of psi")

    def test_out_of_its_limit_it_wants_a_finding(self, run: Run, hangar: Path) -> None:
        low = ("--read", "cylinder 1=58", "--read", "cylinder 2=74")
        said = "cylinder 1 is 58 psi, the limit is at least 60: what was found"
        refused(run, hangar, lambda: run(hangar, "work", "compression", *WHO, *low, on="2026-11-20"), said)
        made = run(hangar, "work", "compression", *WHO, *low, typed=("exhaust valve leaks",), on="2026-11-20")
        assert made.code == 0, made.err
        (found,) = written(hangar).findings
        assert (found.check, found.text, found.before_flight) == ("compression", "exhaust valve leaks", True)
        assert "exhaust valve leaks" in run(hangar, "due").out

    def test_the_finding_may_be_given(self, run: Run, hangar: Path) -> None:
        found = ("--found", "stacks=crack, 8 mm")
        assert run(hangar, "work", "stacks", *WHO, *found, on="2026-11-20").code == 0
        assert [each.text for each in written(hangar).findings] == ["crack, 8 mm"]
        elsewhere = lambda: run(hangar, "work", "stacks", *WHO, "--found", "oil=black", on="2026-11-20")  # noqa: E731
        refused(run, hangar, elsewhere, "`oil` is none of the checks of this entry")


class TestWhatCannotBe:
    def test_a_retired_check(self, run: Run, hangar: Path) -> None:
        path = hangar / "checklists/nose/cowl.md"
        covers = "  - covers: d8"
        text = path.read_text(encoding="utf-8").replace(covers, f"{covers}\n  - retired: 2026-10-01, welded away")
        path.write_text(text, encoding="utf-8")
        late = lambda: run(hangar, "work", "stacks", *WHO, on="2026-11-20")  # noqa: E731
        refused(run, hangar, late, "`stacks` is retired since 2026-10-01: say what was done with --text instead")
        before = run(hangar, "work", "stacks", "tach=401.0", "--by", ADA, on="2026-09-20")
        assert before.code == 0, before.err

    def test_a_date_on_a_part_that_carries_none(self, run: Run, hangar: Path) -> None:
        dated = lambda: run(hangar, "work", "oil", *WHO, "--good-until", "oil=2031-05-31")  # noqa: E731
        refused(run, hangar, dated, "`oil` carries no date of its own (`every: as marked`): leave --good-until")


class TestUsed:
    """What the checks name under `uses` is asked, so that the shelf is as the records say."""

    ASKED = "Used: 6 qt engine oil; 1 oil filter? Else none, or what it was (Enter: as planned)"

    @pytest.mark.parametrize(
        ("typed", "more", "used"),
        [
            (("",), (), ("6 qt engine oil", "1 oil filter")),
            (("yes", "5 qt engine oil"), (), ("5 qt engine oil",)),
            (("none",), (), ()),
            ((), ("--used", "as planned", "--used", "1 plug"), ("6 qt engine oil", "1 oil filter", "1 plug")),
            ((), ("--used", "none"), ()),
        ],
    )
    def test_asked_unless_given(
        self, typed: tuple[str, ...], more: tuple[str, ...], used: tuple[str, ...], run: Run, hangar: Path
    ) -> None:
        made = run(hangar, "work", "oil", *WHO, *more, typed=typed, on="2026-11-20")
        assert (made.code, self.ASKED in made.err) == (0, bool(typed)), made.err
        assert written(hangar).parts == used

    def test_nobody_took_it_as_planned(self, run: Run, hangar: Path) -> None:
        made = run(hangar, "work", "oil", *WHO, on="2026-11-20")
        assert (made.code, "was (--used)" in made.err, written(hangar).parts) == (0, True, ())

    @pytest.mark.parametrize("used", ["6 l engine oil", "6 qt engin oil", "6 qt oil", "oil"])
    def test_another_measure_or_a_slip_in_the_name_is_asked_back(self, used: str, run: Run, hangar: Path) -> None:
        slip = ("work", "oil", *WHO, "--used", used)
        refused(run, hangar, lambda: run(hangar, *slip, typed=("n",)), f"{used}, where 6 qt engine oil is planned.")

    def test_many_times_as_much_is_asked_back(self, run: Run, hangar: Path) -> None:
        slip = ("work", "oil", *WHO, "--used", "60 qt engine oil")
        asked = "60 qt engine oil, where 6 qt are planned. Is it right?"
        refused(run, hangar, lambda: run(hangar, *slip, typed=("n",)), asked)
