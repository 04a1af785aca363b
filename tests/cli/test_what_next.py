"""Whatever is refused says what to do next, and problems are told once."""

from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli.desk import without
from inspect_kit.text.grammar import CODE_ALPHABET
from tests.cli.conftest import Run, entered

ADA = "Ada Bellcrank"


@pytest.fixture
def page(run: Run, hangar: Path) -> str:
    """An open page of an oil change."""
    return Path(run(hangar, "start", "oil", "--only", "tach=405.6", "--by", ADA).out.strip()).stem


class TestNames:
    def test_a_name_suggests_the_nearest_person_wherever_a_person_is_named(self, run: Run, hangar: Path) -> None:
        for words in (
            ("work", "stacks", "--by", "Ada Belcrank"),
            ("finding", "cowl", "a dent", "--by", "Ada Bellcrnk"),
            ("amend", "past", "--text", "a word", "--by", "Ada Belcrank"),
            ("work", "stacks", "--by", "Bellcr"),
        ):
            refused = run(hangar, *words)
            assert refused.code == 2, words
            assert f"did you mean `{ADA}`?" in refused.err, words
        assert not list(hangar.glob("records/2026/2026-11-*"))

    def test_whole_words_of_a_name_will_do(self, run: Run, hangar: Path) -> None:
        """As of an id; where two have the word, or it is but a number, it is refused."""
        made = run(hangar, "work", "stacks", "tach=401.0", "--by", "bellcrank", on="2026-09-20")
        assert made.code == 0, made.err
        assert f"name: {ADA}\n" in (hangar / made.out.splitlines()[0]).read_text(encoding="utf-8")
        opened = run(hangar, "start", "oil", "--only", "tach=405.6", "--by", "Bellcrank").out.strip()
        assert f"inspector: {ADA}\n" in (hangar / opened).read_text(encoding="utf-8")
        aircraft = hangar / "records/aircraft.yaml"
        aircraft.write_text(aircraft.read_text().replace("Bo Cleco", "Bo Bellcrank"))
        for word, told in (("Bellcrank", "nobody of aircraft.yaml is called"), ("1", "a word of the name will do")):
            refused = run(hangar, "work", "stacks", "--by", word)
            assert (refused.code, told in refused.err) == (2, True), refused.err

    def test_of_the_signer_too(self, run: Run, hangar: Path, page: str) -> None:
        told = run(hangar, "sign", "--as", "Ada Belcrank")
        assert told.code == 1
        assert "called `Ada Belcrank`; did you mean `Ada Bellcrank`?" in " ".join(told.out.split())

    def test_whoever_is_on_no_list_is_told_with_kind_and_number(self, run: Run, hangar: Path) -> None:
        alone = run(hangar, "work", "stacks", "--by", "R. Swift")
        assert alone.code == 2
        assert 'say who it was, --by "R. Swift, mechanic (airframe and powerplant), 1234567"' in alone.err
        whole = run(hangar, "work", "stacks", "tach=401.0", "--by", "R. Swift, mechanic, 1234567", on="2026-09-20")
        assert whole.code == 0, whole
        text = (hangar / whole.out.splitlines()[0]).read_text(encoding="utf-8")
        assert "by:\n  name: R. Swift\n  kind: mechanic\n  certificate: '1234567'\n" in text

    def test_whoever_was_told_whole_once_is_offered_by_a_key_and_known_by_name(self, run: Run, hangar: Path) -> None:
        swift = "R. Swift, mechanic, 1234567"
        assert run(hangar, "work", "stacks", "tach=401.0", "--by", swift, on="2026-09-20").code == 0
        asked = run(hangar, "work", "stacks", "tach=402.0", typed=("3",), on="2026-09-21")
        assert "Who did it: 1 Ada Bellcrank, 2 Bo Cleco, 3 R. Swift, or NAME, KIND, NUMBER" in asked.err
        named = run(hangar, "work", "stacks", "tach=403.0", "--by", "r. swift", on="2026-09-22")
        for done in (asked, named):
            text = (hangar / done.out.splitlines()[0]).read_text(encoding="utf-8")
            assert "by:\n  name: R. Swift\n  kind: mechanic\n  certificate: '1234567'\n" in text
        assert "R. Swift" not in (hangar / "records/aircraft.yaml").read_text(encoding="utf-8")
        assert run(hangar, "verify").code == 0

    def test_two_of_one_name_are_told_apart_by_their_numbers(self, run: Run, hangar: Path) -> None:
        for day, number in (("20", "1234567"), ("21", "7654321")):
            swift = f"R. Swift, mechanic, {number}"
            assert run(hangar, "work", "stacks", "tach=401.0", "--by", swift, on=f"2026-09-{day}").code == 0
        alone = run(hangar, "work", "stacks", "tach=402.0", "--by", "R. Swift", on="2026-09-22")
        assert alone.code == 2
        both = "may be `R. Swift, mechanic, 7654321` or `R. Swift, mechanic, 1234567`: give the whole of it"
        assert both in " ".join(alone.err.split())
        asked = run(hangar, "work", "stacks", "tach=402.0", typed=("3",), on="2026-09-22")
        assert "3 R. Swift, mechanic, 1234567, 4 R. Swift, mechanic, 7654321, or NAME" in " ".join(asked.err.split())
        assert "certificate: '1234567'" in (hangar / asked.out.splitlines()[0]).read_text(encoding="utf-8")

    def test_a_number_stays_the_same_persons_and_shows_the_name(self, run: Run, hangar: Path) -> None:
        """Whoever did something last was first: a 3 typed twice was two people."""
        for day, name in (("20", "R. Swift"), ("21", "J. Kite")):
            who = f"{name}, mechanic, 12345{day}"
            assert run(hangar, "work", "stacks", "tach=401.0", "--by", who, on=f"2026-09-{day}").code == 0
        for day in ("22", "23"):
            asked = run(hangar, "work", "stacks", "tach=402.0", typed=("3",), on=f"2026-09-{day}")
            assert "3 R. Swift, 4 J. Kite, or NAME" in asked.err
            assert "  R. Swift, mechanic, 1234520\n" in asked.err
            assert "name: R. Swift" in (hangar / asked.out.splitlines()[0]).read_text(encoding="utf-8")

    def test_who_did_it_is_asked_by_number_and_asked_again(self, run: Run, hangar: Path) -> None:
        done = run(hangar, "work", "stacks", "tach=401.0", typed=("Belcrank", "2"), on="2026-09-20")
        assert done.code == 0
        assert "did you mean `Ada Bellcrank`?" in done.err
        assert "name: Bo Cleco" in (hangar / done.out.splitlines()[0]).read_text(encoding="utf-8")

    def test_yesterday(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "hours", "tach=401.0", on="yesterday").code == 0
        assert list(hangar.glob("records/2026/2026-11-24-hours-*.yaml"))


class TestVanished:
    def test_an_id_that_vanished_suggests_was_and_is_told_once(self, run: Run, hangar: Path) -> None:
        for day in range(1, 6):
            entered(hangar, f"2026-10-0{day}-oil", f"kind: work\ndate: 2026-10-0{day}\ndid: [stacks]\nby: {ADA}\n")
        cowl = hangar / "checklists/nose/cowl.md"
        cowl.write_text(cowl.read_text(encoding="utf-8").replace("`stacks`", "`stack`"), encoding="utf-8")
        told = run(hangar, "verify")
        assert told.code == 3
        named = [line for line in told.err.splitlines() if "no check is called `stacks`" in line]
        assert len(named) == 1
        assert (
            "did you mean `stack`? If that is its new id, write `was: stacks` there (so do 4 other lines)" in named[0]
        )
        # As it says:
        text = cowl.read_text(encoding="utf-8").replace("cracks\n", "cracks\n  - was: stacks\n", 1)
        cowl.write_text(text, encoding="utf-8")
        assert run(hangar, "verify").code == 0

    def test_two_that_vanished_are_two(self, run: Run, hangar: Path) -> None:
        for name in ("oild", "sttacks"):
            entered(hangar, f"2026-10-01-{name}", f"kind: work\ndate: 2026-10-01\ndid: [{name}]\nby: {ADA}\n")
        told = run(hangar, "verify").err
        assert told.count("no check is called") == 2
        assert "other line" not in told


class TestRecords:
    def test_a_part_of_a_name_is_enough_where_one_record_has_it(self, run: Run, hangar: Path) -> None:
        entered(hangar, "2026-10-01-left-tyre-k3f9", f"kind: work\ndate: 2026-10-01\ntext: a tyre\nby: {ADA}\n")
        assert run(hangar, "report", "left-tyre").code == 0
        entered(hangar, "2026-10-02-left-tyre-k3fb", f"kind: work\ndate: 2026-10-02\ntext: a tyre\nby: {ADA}\n")
        told = run(hangar, "report", "left-tyre")
        assert told.code == 2
        assert told.err.splitlines() == [
            "inspect-kit: `left-tyre` may be one of 2 records; name one, its last part is enough:",
            "  2026-10-02-left-tyre-k3fb  a tyre",
            "  2026-10-01-left-tyre-k3f9  a tyre",
        ]
        assert run(hangar, "report", "2026-10-01-left-tyre").code == 0

    def test_what_is_not_there_says_how_to_find_it(self, run: Run, hangar: Path) -> None:
        assert "`inspect-kit find WORDS` looks for one" in run(hangar, "report", "zzz").err
        assert "no inspection is on record yet" in run(hangar, "report").err

    def test_no_finding_is_asked_about_that_is_not_there(self, run: Run, hangar: Path) -> None:
        told = run(hangar, "finding", "F9", "--cleared", "welded", typed=("1",))
        assert told.code == 2
        assert "Who did it" not in told.err

    def test_no_word_is_made_by_chance_in_a_name(self) -> None:
        assert not {*"aeiouy"} & {*CODE_ALPHABET}
        assert {*store.new_code()} <= {*CODE_ALPHABET}


class TestInProgress:
    def test_a_page_in_progress_is_reported_and_says_that_it_is_none(
        self, run: Run, hangar: Path, page: str, tmp_path: Path
    ) -> None:
        assert run(hangar, "finding", "oil", "a drop at the drain", "--by", ADA).code == 0
        for words in ((), (page,), (f"records/open/{page}.md",)):
            told = run(hangar, "report", *words)
            assert told.code == 0
            said = " ".join(told.out.split())
            assert "IN PROGRESS, NOT SIGNED: nothing here counts as done, and no statement is made." in said
            assert "a drop at the drain" in said
            assert "0 of 3 boxes" in said
            assert "I certify" not in said
        assert run(hangar, "report", "--to", str(tmp_path / "page.html")).code == 0
        assert "IN PROGRESS" in (tmp_path / "page.html").read_text(encoding="utf-8")

    def test_an_open_page_is_named_by_a_part_of_its_name(self, run: Run, hangar: Path, page: str) -> None:
        assert run(hangar, "sign", "oil", "--as", ADA).code == 1
        assert f"no open page is called `zzz` (open: {page})" in run(hangar, "sign", "zzz", "--as", ADA).err


class TestWhatWasTyped:
    def test_an_option_of_all_commands_stands_before_the_command(self, run: Run, hangar: Path) -> None:
        for option, value in (("--on", " DATE"), ("--store", " DIR"), ("--no-pager", "")):
            told = run(hangar, "work", "stacks", option, "yesterday")
            assert told.code == 2
            assert f"{option} stands before the command: inspect-kit {option}{value} work ..." in told.err
            assert "Did you mean" not in told.err

    @pytest.mark.parametrize("dash", ["\u2013", "\u2014", "\u2212", "\u2013-"])
    def test_a_dash_that_is_no_hyphen_is_named(self, run: Run, hangar: Path, dash: str) -> None:
        told = run(hangar, "work", f"{dash}text", "washed")
        assert told.code == 2
        assert "begins with a dash that is no hyphen: write --text" in told.err
        assert run(hangar, "work", "tach=405.9", "--text", f"{dash} washed", "--by", ADA).code == 0

    def test_a_name_that_is_nowhere_says_where_to_look(self, run: Run, hangar: Path) -> None:
        for command in ("due", "history"):
            assert "`inspect-kit find nonsense` looks everywhere" in run(hangar, command, "nonsense").err
            told = run(hangar, command, "2026-09-01-past").err
            assert "it is a record, shown by `inspect-kit report 2026-09-01-past`" in told

    def test_an_id_that_vanished_suggests_was(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "work", "stacks", "tach=405.9", "--by", ADA).code == 0
        path = hangar / "checklists/nose/cowl.md"
        path.write_text(path.read_text().replace("`stacks`", "`pipes-and-joints`"), encoding="utf-8")
        told = run(hangar, "verify").err
        assert (
            "no check is called `stacks`; if it is called otherwise now, write `was: stacks` under its new id" in told
        )
        path.write_text(
            path.read_text()
            .replace("`pipes-and-joints` E", "`pipes-and-joints` E")
            .replace("  - covers: d8\n", "  - was: stacks\n  - covers: d8\n", 1),
            encoding="utf-8",
        )
        assert run(hangar, "verify").code == 0


class TestMeters:
    def test_a_reading_below_the_one_before_names_both_ways_out(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "hours", "tach=405.9", on="2026-11-20").code == 0
        told = run(hangar, "hours", "tach=45.9")
        assert told.code == 2
        said = " ".join(told.err.split())
        record = next(hangar.glob("records/2026/2026-11-20-hours-*")).stem
        assert "If tach was changed: inspect-kit meter tach." in said
        assert f"If the earlier one is wrong: inspect-kit amend {record} tach=READING." in said

    def test_a_reading_above_a_later_one_names_the_one_that_is_on_record(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "hours", "tach=405.9", on="2026-11-20").code == 0
        record = next(hangar.glob("records/2026/2026-11-20-hours-*")).stem
        for typed in (("hours", "tach=407.0"), ("work", "tach=407.0", "--text", "washed", "--by", "Ada Blyth")):
            told = run(hangar, *typed, on="2026-11-19")
            said = " ".join(told.err.split())
            assert (told.code, "lower than 407.0 on 2026-11-19 in what was to be written" in said) == (2, True), said
            assert "If tach was changed in between: inspect-kit --on DATE meter tach." in said
            assert f"If the later one is wrong: inspect-kit amend {record} tach=READING." in said

    def test_a_record_that_is_not_written_is_named_in_no_problem(self) -> None:
        file = "records/2026/2026-11-19-weighed-k3f9.yaml"
        for named in (file, f"{file}:3", "`2026-11-19-weighed-k3f9`", "2026-11-19-weighed-k3f9"):
            assert without(f"88 lb by {named}", [file]) == "88 lb by what was to be written"
        assert without("a crack, and `crack`", ["records/2026/x/crack.jpg"]) == "a crack, and what was to be written"

    def test_an_amount_has_its_measure(self, run: Run, hangar: Path) -> None:
        told = run(hangar, "hours", "tach=405.9", "--added", "oil=1")
        assert told.code == 2
        assert '1 of what measure? Such as --added "oil=1 qt"' in told.err
        assert not list(hangar.glob("records/2026/*hours*"))


class TestGivenBeforeAsked:
    @pytest.mark.parametrize(
        "words",
        [
            ("work", "compression"),
            ("work", "--text", "washed"),
            ("amend", "past"),
            ("withdraw", "past"),
            ("attach", "past", "notes.txt"),
            ("install", "engine"),
            ("meter", "tach"),
        ],
    )
    def test_a_wrong_name_is_refused_before_anything_is_asked(
        self, run: Run, hangar: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
    ) -> None:
        aircraft = hangar / "records/aircraft.yaml"
        aircraft.write_text(aircraft.read_text() + "positions: {engine: {}}\n", encoding="utf-8")
        (hangar / "notes.txt").write_text("as it was\n", encoding="utf-8")
        monkeypatch.chdir(hangar)
        told = run(hangar, *words, "--by", "Ada Belcrank", typed=("76",) * 9)
        assert told.code == 2
        assert told.err.startswith("inspect-kit: nobody of aircraft.yaml is called `Ada Belcrank`; did you"), told.err

    def test_at_the_question_no_option_is_told(self, run: Run, hangar: Path) -> None:
        told = run(hangar, "work", "stacks", "tach=405.9", typed=("R. Swift", "1"))
        assert "say who it was, R. Swift, mechanic (airframe and powerplant), 1234567" in " ".join(told.err.split())
        assert "--by" not in told.err


class TestTheNextCommand:
    def test_of_several_records_each_says_what_it_says(self, run: Run, hangar: Path) -> None:
        for reads, oil in (("405.6", "1 qt"), ("405.9", "2 qt")):
            assert run(hangar, "hours", f"tach={reads}", "--added", f"oil={oil}").code == 0
        told = run(hangar, "withdraw", "hours").err
        assert "name one, its last part is enough" in told
        lines = [line for line in told.splitlines() if line.startswith("  2026-")]
        assert len(lines) == 2
        assert {line.partition("tach ")[2][:5] for line in lines} == {"405.6", "405.9"}
        code = lines[0].split()[0].rpartition("-")[2]
        assert run(hangar, "withdraw", code, "--text", "twice", "--by", ADA).code == 0

    def test_start_names_the_only_inspector_and_what_is_next(self, run: Run, hangar: Path) -> None:
        aircraft = hangar / "records/aircraft.yaml"
        text = aircraft.read_text(encoding="utf-8")
        made = run(hangar, "start", "oil", "--only", "tach=405.6")
        assert "inspector: ____" in (hangar / made.out.strip()).read_text(encoding="utf-8")
        (hangar / made.out.strip()).unlink()
        lines = [line for line in text.splitlines(keepends=True) if "Bo Cleco" not in line]
        aircraft.write_text("".join(lines), encoding="utf-8")
        made = run(hangar, "start", "oil", "--only", "tach=405.6")
        assert made.code == 0, made.err
        assert f"inspector: {ADA}" in (hangar / made.out.strip()).read_text(encoding="utf-8")
        assert "Next: inspect-kit walk, or on paper: inspect-kit sheet --to ../sheet.html" in made.err


class TestBroughtForward:
    def test_what_was_brought_forward_wrongly_is_taken_back_and_written_anew(self, run: Run, hangar: Path) -> None:
        path = hangar / "records/2026/2026-09-01-past.yaml"
        path.write_text(path.read_text() + "  stacks: {date: 2026-08-30, tach: 652.0}\n", encoding="utf-8")
        said = run(hangar, "amend", "past", "last.stacks=2026-05-14").err
        assert "last.stacks: expected keys and values" in said
        assert "last.CHECK.date=" in said
        assert "Why" not in said, "nothing is asked for what cannot be"
        words = ("amend", "past", "--not-done", "stacks", "--text", "it was in May", "--by", ADA)
        done = run(hangar, *words)
        assert done.code == 0, done.err
        assert "stacks was not done" in done.out
        assert "2026-08-30" not in run(hangar, "due", "stacks").out
        assert run(hangar, "amend", "past", "--not-done", "compression", "--text", "never", "--by", ADA).code == 2
