"""`sign` seals only what can stand, says what is true when it fails, and every command asks what its entry would do."""

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli import signing
from inspect_kit.errors import StoreUnreadable
from tests.cli.conftest import Outcome, Run, entered

ADA = "Ada Bellcrank"
Page = Callable[..., Path]


BELT = "- [ ] `belt` Belt of the left seat\n  - every: as marked\n"


@pytest.fixture
def page(run: Run, hangar: Path) -> Page:
    """page(*words) starts a page; with `filled` everything on it is ticked and written."""

    def make(*words: str, on: str = "2026-11-21", filled: bool = True) -> Path:
        started = run(hangar, "start", *words, "--by", ADA, on=on)
        assert started.code == 0, started.err
        made = hangar / started.out.strip()
        if filled:
            text = made.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: none")
            made.write_text(text.replace("____", "75"), encoding="utf-8")
        return made

    return make


def sign(run: Run, hangar: Path, *more: str, on: str = "2026-11-22", typed: str = ADA) -> Outcome:
    return run(hangar, "sign", "--as", ADA, *more, typed=(typed,), on=on)


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def bytes_of(hangar: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(hangar)): path.read_bytes()
        for path in hangar.rglob("*")
        if path.is_file() and ".inspect-kit" not in path.parts
    }


def refused(run: Run, hangar: Path, outcome: Callable[[], Outcome], *said: str) -> None:
    before = bytes_of(hangar)
    made = outcome()
    assert made.code in (1, 2, 3), made
    told = " ".join((made.out + made.err).split())
    for words in said:
        assert words in told, made
    assert bytes_of(hangar) == before


class TestOnlyWhatCanStandIsSealed:
    def test_a_reading_that_hours_would_refuse(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("condition", "tach=400.0")
        change(made, "tach: 400.0", "tach: 9999")
        said = "more than the clock holds"
        refused(run, hangar, lambda: sign(run, hangar), said)
        refused(run, hangar, lambda: run(hangar, "hours", "tach=9999", on="2026-11-22"), said)

    def test_a_page_begun_long_ago_is_asked_of(self, run: Run, hangar: Path, page: Page) -> None:
        """Ticks of 377 days before counted from the day of the signature on, and nobody was asked."""
        page("condition", "tach=400.0", on="2026-05-01")
        said = "This page was begun on 2026-05-01, 205 days ago"
        refused(run, hangar, lambda: sign(run, hangar, typed="no"), said)
        signed = run(hangar, "sign", "--as", ADA, typed=("yes", ADA), on="2026-11-22")
        assert signed.code == 0
        assert "205 days before" in signed.out

    def test_a_page_open_over_a_winter_is_not(self, run: Run, hangar: Path, page: Page) -> None:
        page("condition", "tach=400.0", on="2026-05-27")
        assert sign(run, hangar).code == 0

    def test_such_a_reading_is_not_even_started(self, run: Run, hangar: Path) -> None:
        said = "more than the clock holds"
        refused(run, hangar, lambda: run(hangar, "start", "condition", "tach=9999", on="2026-11-21"), said)
        said = "lower than 400.0"
        refused(run, hangar, lambda: run(hangar, "start", "condition", "tach=39.9", on="2026-11-21"), said)

    @pytest.mark.parametrize(
        ("begun", "by_hand", "reads", "told"),
        [
            ("2026-11-10", "", ("tach=0.2",), ""),
            ("2026-11-10", "0.2", (), ""),
            ("2026-11-10", "", (), "has 420.0, of the old one: say what it reads now"),
            ("2026-11-20", "", (), "has 420.0, of the old one: say what it reads now"),
            ("2026-11-10", "0.2", ("tach=0.1",), "tach 0.1 is below 0.2, which the page has"),
        ],
    )
    def test_a_meter_that_was_changed_while_the_page_was_open(
        self, run: Run, hangar: Path, page: Page, begun: str, by_hand: str, reads: tuple[str, ...], told: str
    ) -> None:
        """Found dead at the inspection: the new one reads less, and the old one is read no more."""
        made = page("condition", "tach=420.0", on=begun)
        new = ("meter", "tach", "--old", "420", "--new", "0", "--unrecorded", "0", "--by", ADA)
        assert run(hangar, *new, on="2026-11-20").code == 0
        if by_hand:
            change(made, "tach: 420.0", f"tach: {by_hand}")
            assert run(hangar, "verify").code == 0
        if told:
            refused(run, hangar, lambda: sign(run, hangar, *reads), told)
            return
        assert sign(run, hangar, *reads).code == 0
        assert run(hangar, "verify").code == 0

    def test_on_the_day_of_a_change_the_page_still_reads_the_old_meter(
        self, run: Run, hangar: Path, page: Page
    ) -> None:
        page("condition", "tach=420.0", on="2026-11-20")
        new = ("meter", "tach", "--old", "420", "--new", "0", "--unrecorded", "0", "--by", ADA)
        assert run(hangar, *new, on="2026-11-20").code == 0
        assert sign(run, hangar, on="2026-11-20").code == 0
        assert run(hangar, "verify").code == 0

    @pytest.mark.parametrize(("reads", "total"), [("419.2", "676.0"), ("419", "675.8")])
    def test_on_the_day_of_a_change_what_is_less_than_the_page_has_is_of_the_new_meter(
        self, run: Run, hangar: Path, page: Page, reads: str, total: str
    ) -> None:
        """The new one reads what the old one had too: 419.2 was asked for once more, and no answer would do."""
        page("condition", "tach=420.0", on="2026-11-20")
        new = ("meter", "tach", "--old", "420.3", "--new", "419", "--unrecorded", "0", "--by", ADA)
        assert run(hangar, *new, on="2026-11-20").code == 0
        assert sign(run, hangar, f"tach={reads}", on="2026-11-20").code == 0
        assert run(hangar, "verify").code == 0
        (sealed,) = (each.read_text() for each in hangar.glob("records/2026/2026-11-20-condition-*.yaml"))
        assert f"tach: {total}\n" in sealed

    def test_a_day_before_a_lower_reading(self, run: Run, hangar: Path, page: Page) -> None:
        """Signed for a day on which the meter already read more than the page says, or later read less."""
        page("condition", "tach=420.0", on="2026-11-10")
        assert run(hangar, "hours", "tach=425.0", on="2026-11-20").code == 0
        refused(run, hangar, lambda: sign(run, hangar, on="2026-11-21"), "a total of 675.5, and 680.5 was recorded")
        assert sign(run, hangar, on="2026-11-11").code == 0

    def test_a_page_that_reads_more_than_a_later_record(self, run: Run, hangar: Path, page: Page) -> None:
        assert run(hangar, "hours", "tach=405.0", on="2026-11-20").code == 0
        said = "tach reads 405.0 on 2026-11-20, lower than 410.0 on 2026-11-10"
        started = lambda: run(hangar, "start", "condition", "tach=410.0", on="2026-11-10")  # noqa: E731
        refused(run, hangar, started, said)

    def test_cleared_before_it_was_found(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("condition", "tach=400.0")
        crack = "[x] `stacks` Exhaust stacks: cracks"
        change(made, crack, f"{crack}\n  - found: F1 crack\n    - cleared: 2026-11-20 welded; by: {ADA}")
        said = "cleared: 2026-11-20 is before 2026-11-21, when the job was begun"
        refused(run, hangar, lambda: sign(run, hangar), said)

    def test_a_finding_from_before_cleared_before_it_was_found(self, run: Run, hangar: Path, page: Page) -> None:
        late = ("--fix", "at next condition inspection", "--reason", "short")
        assert run(hangar, "finding", "cowl", "crack", *late, on="2026-11-05").code == 0
        made = page("condition", "tach=400.0")
        text = made.read_text(encoding="utf-8")
        line = next(line for line in text.split("\n") if "#F1" in line)
        change(made, line, f"{line}\n  - cleared: 2026-11-04 welded; by: {ADA}")
        refused(run, hangar, lambda: sign(run, hangar), "cleared: 2026-11-04 is before 2026-11-05, when it was found")

    def test_a_day_before_the_certificate(self, run: Run, hangar: Path, page: Page) -> None:
        (hangar / "records/2026/2026-09-01-past.yaml").unlink()
        page("condition", "tach=0.0", on="2020-04-01")
        said = "2020-04-30 is before the certificate of the aircraft, 2020-05-01"
        refused(run, hangar, lambda: sign(run, hangar, on="2020-04-30"), said)
        assert sign(run, hangar, on="2020-05-02").code == 0

    def test_a_finding_put_off_to_an_inspection_that_nobody_makes(self, run: Run, hangar: Path, page: Page) -> None:
        page("condition", "tach=400.0", filled=False)
        words = ("--fix", "at next annual inspection", "--reason", "a slip")
        said = "no inspection is called `annual`"
        refused(run, hangar, lambda: run(hangar, "finding", "stacks", "crack", *words, on="2026-11-21"), said)
        refused(run, hangar, lambda: run(hangar, "finding", "elt", "weak", *words, on="2026-11-21"), said)


    def test_a_reading_with_a_digit_too_many_by_an_editor(self, run: Run, hangar: Path, page: Page) -> None:
        """`walk` asks it back; a page that was filled in by an editor was sealed unasked."""
        made = page("condition", "--only", "tach=400.5")
        change(made, "cylinder 1: 75 psi", "cylinder 1: 7500 psi")
        refused(run, hangar, lambda: sign(run, hangar, typed="no"), "nothing was sealed: correct the reading in")

    @pytest.mark.parametrize("bars", ["", "  - bars: flight\n"])
    def test_a_date_of_a_part_that_is_over(self, run: Run, hangar: Path, page: Page, bars: str) -> None:
        """The usual slip is the year: right after the statement it was a reason not to fly."""
        change(hangar / "checklists/cabin/seats.md", "refit: 3 min\n---\n", f"refit: 3 min\n---\n{BELT}{bars}")
        made = page("condition", "belt", "tach=400.5")
        change(made, "good until: 75", "good until: 2026-11-01")
        if bars:
            told = "belt: was good until 2026-11-01, and bars flight when that is over"
        else:
            told = "nothing was sealed: correct the date in records/open/"
        refused(run, hangar, lambda: sign(run, hangar, typed="no"), told)
        words = ("work", "belt", "tach=400.5", "--by", ADA, "--good-until", "belt=2026-11-01")
        question = "`belt` is good until 2026-11-01, which was over on 2026-11-22. Is it right?"
        refused(run, hangar, lambda: run(hangar, *words, on="2026-11-22"), question)

    def test_nothing_is_fitted_where_something_has_to_be(self, run: Run, hangar: Path, page: Page) -> None:
        """A magneto that was taken out while the page was open: the statement said no word of it."""
        change(hangar / "records/aircraft.yaml", "time-in-service", "positions: {magneto-left: {}}\ntime-in-service")
        fitted = "kind: installed\ndate: 2026-09-02\nmeters: {tach: 400.1}\nposition: magneto-left\nserial: M-1\n"
        entered(hangar, "2026-09-02-in", fitted)
        made = page("condition", "tach=400.5")
        entered(hangar, "2026-11-21-out", "kind: removed\ndate: 2026-11-21\nposition: magneto-left\nserial: M-1\n")
        refused(run, hangar, lambda: sign(run, hangar), "nothing is fitted in magneto-left", "install POSITION")
        (hangar / "records/2026/2026-11-21-out.yaml").unlink()
        signed = sign(run, hangar, "--ink", "aircraft log p. 44")
        assert signed.code == 0, (signed, made)

    def test_a_reason_that_the_inspection_does_not_touch_is_said(self, run: Run, hangar: Path, page: Page) -> None:
        """A life that has passed is no matter of its boxes: whoever signs reads it before the name is typed."""
        worn = "- [ ] `hose` Hose renewed\n  - every: 12 months\n  - bars: flight\n"
        change(hangar / "checklists/cabin/seats.md", "refit: 3 min\n---\n", f"refit: 3 min\n---\n{worn}")
        change(hangar / "records/2026/2026-09-01-past.yaml", "  elt:", "  hose: {date: 2025-10-01}\n  elt:")
        page("condition", "--only", "tach=400.5")
        signed = sign(run, hangar, typed="no")
        told = " ".join((signed.out + signed.err).split())
        assert "!! Hose renewed (hose), which bars flight: 52 days past due (2026-10-01): a reason" in told

    def test_a_reason_that_the_pages_own_reading_brings_about_is_said(self, run: Run, hangar: Path, page: Page) -> None:
        """The reasons were reckoned from the records before it: `due` told it the moment after the statement."""
        worn = "- [ ] `hose` Hose renewed\n  - every: 40 h\n  - bars: flight\n"
        change(hangar / "checklists/cabin/seats.md", "refit: 3 min\n---\n", f"refit: 3 min\n---\n{worn}")
        done = "  hose: {date: 2026-08-02, tach: 635.5}\n  elt:"
        change(hangar / "records/2026/2026-09-01-past.yaml", "  elt:", done)
        undecided = "kind: change\ndate: 2026-09-20\nwhat: landing light\nanswer: not decided\nby: Ada Bellcrank\n"
        entered(hangar, "2026-09-20-light", undecided)
        page("condition", "--only", "tach=420.0")
        signed = sign(run, hangar, "tach=421.0", typed="no")
        told = " ".join((signed.out + signed.err).split())
        assert "!! Hose renewed (hose), which bars flight: 1.0 h past due: a reason on record not to fly" in told
        assert "!! 2026-09-20-light, not decided whether minor or major: passengers are barred" in told

    def test_parts_without_their_semicolon_and_a_digit_too_many(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("oil", "tach=400.0", filled=False)
        text = made.read_text(encoding="utf-8").replace("[ ]", "[x]")
        made.write_text(text.replace("used: ____", "used: 6 qt engine oil 1 oil filter"), encoding="utf-8")
        refused(run, hangar, lambda: sign(run, hangar), "engine oil and oil filter in one")
        made.write_text(text.replace("used: ____", "used: 60 qt engine oil; 1 oil filter"), encoding="utf-8")
        said = "60 qt engine oil at `oil`, where 6 qt are planned. Is it right?"
        refused(run, hangar, lambda: sign(run, hangar, typed="n"), said)
        assert "Sealed: " in run(hangar, "sign", "--as", ADA, typed=("y", ADA), on="2026-11-22").out


class TestOldProblems:
    def test_elsewhere_they_are_named_and_keep_nobody_from_writing(self, run: Run, hangar: Path, page: Page) -> None:
        page("condition", "tach=400.0")
        (hangar / "records/2026/2026-09-02-by-nobody.yaml").write_text(
            "format: 1\nkind: work\ndate: 2026-09-02\ntext: looked\nby: Nobody\n", encoding="utf-8"
        )
        for words in (("hours", "tach=400.0"), ("work", "oil", "tach=400.0"), ("finding", "cowl", "a dent")):
            outcome = run(hangar, *words, on="2026-11-22")
            # Written, and exit 3 says that the store has a problem.
            assert outcome.code == 3, outcome
            assert "nobody of aircraft.yaml is called `Nobody`" in outcome.err
            assert outcome.out.strip().endswith(".yaml") or "F1 on" in outcome.out
        assert run(hangar, "finding", "F1", "--cleared", "beaten out", "--by", ADA, on="2026-11-22").code == 3
        signed = sign(run, hangar)
        assert "Sealed: " in signed.out, signed

    @pytest.mark.parametrize(
        ("name", "text", "said"),
        [
            ("checklists/nose/cowl.md", "", "unknown key"),
            ("records/2026/2026-09-02-half.yaml", "kind: work", "did` or `text` is missing"),
            ("records/2026/2026-09-02-low.yaml", "kind: hours\nmeters: {tach: 3}", "lower than 400.0"),
        ],
    )
    def test_nothing_is_signed_while_one_touches_what_it_seals(
        self, run: Run, hangar: Path, page: Page, name: str, text: str, said: str
    ) -> None:
        page("condition", "tach=400.0")
        path = hangar / name
        if text:
            path.write_text(f"format: 1\ndate: 2026-09-02\n{text}\n", encoding="utf-8")
        else:
            change(path, "covers: d8", "cvers: d8")
        refused(run, hangar, lambda: sign(run, hangar), "nothing is signed while what it would seal rests on", said)

    def test_a_statement_with_a_blank_or_a_word_that_nothing_fills_in(self, run: Run, hangar: Path, page: Page) -> None:
        page("condition", "tach=400.0")
        aircraft = hangar / "records/aircraft.yaml"
        whole = aircraft.read_text(encoding="utf-8")
        for word, said in (("____", "the statement has a blank"), ("{dat}", "nothing fills in `{dat}`")):
            aircraft.write_text(whole.replace("{date}", word), encoding="utf-8")
            refused(run, hangar, lambda: sign(run, hangar), "nothing is signed while", said)

    def test_the_problem_of_another_page_does_not_touch_it(self, run: Run, hangar: Path, page: Page) -> None:
        other = page("oil", "tach=400.0")
        made = page("condition", "tach=400.0")
        change(other, "`oil`", "`oyl`")
        assert "Sealed: " in sign(run, hangar, str(made)).out


class TestHalfWay:
    def test_sealed_and_the_page_could_not_be_moved(
        self, run: Run, hangar: Path, page: Page, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        made = page("condition", "tach=400.0")

        def full(writer: object, name: str, data: bytes, *, like: str = "") -> None:
            if name.endswith(".md") and not name.startswith(".inspect-kit"):
                raise StoreUnreadable(f"{name} was not written: no space left on device")
            create(writer, name, data, like=like)  # type: ignore[arg-type]

        create = store.transaction.create  # type: ignore[attr-defined]
        with monkeypatch.context() as patch:
            patch.setattr(store.transaction, "create", full)  # type: ignore[attr-defined]
            outcome = sign(run, hangar, "--ink", "log p. 3")
        assert outcome.code == 3
        assert "sealed: records/2026/" in outcome.err
        assert "the page could not be moved beside it yet" in outcome.err
        assert "no space left on device. The next command does that" in outcome.err
        assert "Nothing was written" not in outcome.err
        assert "nothing was changed" not in outcome.err
        # What it promises: the next command finishes it, and nothing is lost.
        assert run(hangar, "hours", "tach=400.0", on="2026-11-23").code == 0
        assert not made.exists()
        assert run(hangar, "verify").code == 0
        stops = json.loads(run(hangar, "due", "--json").out)["stops"]
        assert "sealed, signature not recorded" in stops[0]["text"]

    def test_sealed_and_the_signature_could_not_be_written(
        self, run: Run, hangar: Path, page: Page, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        page("condition", "tach=400.0")

        def refuse(*_: object, **__: object) -> str:
            raise StoreUnreadable("records/2026/x.yaml was not written: no space left on device")

        monkeypatch.setattr(signing, "record_signature", refuse)
        outcome = sign(run, hangar, "--ink", "log p. 3")
        assert outcome.code == 3
        assert "sealed: records/2026/" in outcome.err
        assert "its signature was not recorded: records/2026/x.yaml was not written: no space left" in outcome.err
        assert "Written before that: records/2026/" in outcome.err

    def test_a_command_that_wrote_nothing_says_so(
        self, run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def refuse(*_: object, **__: object) -> None:
            raise StoreUnreadable("x was not written: no space left on device")

        monkeypatch.setattr(store, "create_all", refuse)
        outcome = run(hangar, "hours", "tach=401.0", on="2026-11-23")
        assert (outcome.code, "Nothing was written." in outcome.err) == (3, True)

    def test_not_signed_means_that_not_a_byte_was_changed(self, run: Run, hangar: Path, page: Page) -> None:
        """A finding that a pen wrote without an id gets one when the page is sealed, not before."""
        made = page("condition", "tach=400.0")
        crack = "[x] `stacks` Exhaust stacks: cracks"
        change(made, crack, f"{crack}\n  - found: crack\n    - cleared: 2026-11-21 welded; by: {ADA}")
        before = bytes_of(hangar)
        stopped = sign(run, hangar, typed="no")
        assert (stopped.code, bytes_of(hangar) == before) == (1, True)
        assert sign(run, hangar).code == 0
        (sealed,) = hangar.glob("records/2026/*condition*.md")
        assert "found: F1 crack" in sealed.read_text(encoding="utf-8")


class TestWhatWasShownIsWhatIsSealed:
    @pytest.mark.parametrize(
        ("name", "old", "new"),
        [
            ("records/aircraft.yaml", "and found in a condition", "and found in a good condition"),
            ("checklists/nose/cowl.md", "Exhaust stacks: cracks", "Exhaust stacks"),
            ("records/2026/2026-09-01-past.yaml", "total: 655.5", "total: 656.0"),
        ],
    )
    def test_a_change_while_the_name_was_typed_is_a_refusal(
        self,
        run: Run,
        hangar: Path,
        page: Page,
        monkeypatch: pytest.MonkeyPatch,
        name: str,
        old: str,
        new: str,
    ) -> None:
        made = page("condition", "tach=400.0")
        prompt = signing.click.prompt

        def meanwhile(*words: object, **options: object) -> object:
            change(hangar / name, old, new)
            return prompt(*words, **options)  # type: ignore[arg-type]

        monkeypatch.setattr(signing.click, "prompt", meanwhile)
        outcome = sign(run, hangar)
        assert outcome.code == 1, outcome
        assert f"while the statement was read this was changed: {name}. Look again, then sign" in outcome.err
        assert made.exists()
        assert list(hangar.glob("records/2026/*condition*")) == []

    def test_a_record_that_came_meanwhile_and_a_photograph(
        self, run: Run, hangar: Path, page: Page, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        made = page("condition", "tach=400.0")
        prompt = signing.click.prompt
        photographs = made.with_suffix("")

        def meanwhile(*words: object, **options: object) -> object:
            photographs.mkdir()
            (photographs / "crack.jpg").write_bytes(b"JPEG")
            return prompt(*words, **options)  # type: ignore[arg-type]

        monkeypatch.setattr(signing.click, "prompt", meanwhile)
        outcome = sign(run, hangar)
        assert outcome.code == 1, outcome
        assert "what would be sealed is no longer what was shown" in outcome.err
        assert made.exists()


    def test_a_page_that_was_signed_meanwhile(
        self, run: Run, hangar: Path, page: Page, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """By another one who waited for it: a sentence, no fault of the program."""
        made = page("condition", "tach=400.0")
        prompt = signing.click.prompt

        def meanwhile(*words: object, **options: object) -> object:
            made.unlink(missing_ok=True)
            return prompt(*words, **options)  # type: ignore[arg-type]

        monkeypatch.setattr(signing.click, "prompt", meanwhile)
        outcome = sign(run, hangar)
        assert (outcome.code, "it was signed or moved meanwhile" in outcome.err) == (1, True), outcome


class TestAPageOnWhichNothingWasDone:
    def test_it_is_closed_with_the_reason_and_its_findings_stand(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("oil", "tach=400.0", filled=False)
        assert run(hangar, "finding", "oil", "drain plug seized", on="2026-11-21").code == 0
        closed = sign(run, hangar, "--closed", "--reason", "no oil in the hangar")
        assert closed.code == 0, closed
        assert "nothing was done: no oil in the hangar" in " ".join(closed.out.split())
        assert not made.exists()
        stops = json.loads(run(hangar, "due", "--json").out)["stops"]
        assert any(stop["kind"] == "finding" and "drain plug seized" in stop["text"] for stop in stops)
        items = {item["check"]: item for item in json.loads(run(hangar, "due", "--json").out)["items"]}
        assert items["oil"]["last"]["date"] == "2026-08-02"
        assert run(hangar, "verify").code == 0
        (record,) = hangar.glob("records/2026/*-not-done-*.yaml")
        assert "answer: not done" in record.read_text(encoding="utf-8")

    def test_it_is_no_list_of_discrepancies(self, run: Run, hangar: Path, page: Page) -> None:
        """Sealed as one its finding stood twice, and clearing it on the page left the other open."""
        page("oil", "tach=400.0")
        assert run(hangar, "finding", "oil", "drain plug seized", on="2026-11-21").code == 0
        told = " ".join(sign(run, hangar).out.split())
        assert "If the work ends with it open, `sign --closed` keeps what was found." in told
        assert "--not-passed" not in told
        refused(run, hangar, lambda: sign(run, hangar, "--not-passed"), "or end it with --closed")

    def test_its_reason_is_asked_and_belongs_to_it(self, run: Run, hangar: Path, page: Page) -> None:
        page("oil", "tach=400.0", filled=False)
        alone = run(hangar, "sign", "--as", ADA, "--closed", on="2026-11-22")
        assert (alone.code, "`Why is it closed` has no answer" in alone.err) == (2, True), alone
        refused(run, hangar, lambda: sign(run, hangar, "--reason", "rain"), "--reason says why a page is closed")
        # As it was called before.
        refused(run, hangar, lambda: sign(run, hangar, "--close", "rain", typed="no"), "nothing was done: rain")
        assert run(hangar, "sign", "--as", ADA, "--closed", typed=("snow", ADA), on="2026-11-22").code == 0
        (record,) = hangar.glob("records/2026/*-not-done-*.yaml")
        assert "snow" in record.read_text(encoding="utf-8")

    def test_what_was_done_on_it_stays_done(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("oil", "pulleys", "tach=400.0", "--only", filled=False)
        for line in ("remove `cowl`", "refit `cowl`", "`oil`"):
            change(made, f"[ ] {line}", f"[x] {line}")
        change(made, "used: ____", "used: as planned")
        assert sign(run, hangar, "--closed", "--reason", "rain").code == 0
        items = {item["check"]: item for item in json.loads(run(hangar, "due", "--json").out)["items"]}
        assert items["oil"]["last"]["date"] == "2026-11-22"
        report = run(hangar, "report", next(hangar.glob("records/2026/*-not-done-*.yaml")).stem).out
        assert "pulleys" in report.lower()
        assert "rain" in report

    def test_a_panel_that_is_off_has_to_go_back_on_first(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("oil", "tach=400.0", filled=False)
        change(made, "[ ] remove `cowl`", "[x] remove `cowl`")
        refused(run, hangar, lambda: sign(run, hangar, "--closed", "--reason", "rain"), "is not back on")

    def test_an_inspection_begun_by_mistake_is_closed_as_work(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("condition", "tach=400.0", filled=False)
        change(made, "[ ] `stacks`", "[x] `stacks`")
        why = ("--closed", "--reason", "too cold")
        unseen = "does not say how `stacks` was seen, which is ticked behind it: say how, or take that tick away"
        refused(run, hangar, lambda: sign(run, hangar, *why), unseen)
        change(made, "[x] `stacks`", "[ ] `stacks`")
        closed = sign(run, hangar, *why)
        assert closed.code == 0, closed
        assert "I certify" not in closed.out
        assert due_date(run, hangar, "condition") == "2026-12-31"
        assert "Condition inspection begun on 2026-11-21: nothing was done: too cold" in " ".join(
            run(hangar, "report", next(hangar.glob("records/2026/*-not-done-*.yaml")).stem).out.split()
        )


class TestWhatIsTickedOnAPageThatDoesNotPass:
    """It counts from that day on, as on a page that passes, and all that is asked there is asked; not what is open."""

    CRACK = "  - found: F1 crack 8 mm\n    - fix: before flight\n"
    STACKS, PULLEYS = "[x] `stacks` Exhaust stacks: cracks\n", "[x] `pulleys` Control pulleys and cables\n"

    @pytest.fixture
    def made(self, run: Run, hangar: Path, page: Page) -> Path:
        floor = hangar / "checklists/cabin/floor.md"
        change(floor, "  - covers: c5\n", "  - covers: c5\n  - second-look: yes\n")
        change(floor, "  - covers: j\n", "  - covers: j\n  - who: others: repair station\n")
        made = page("condition", "tach=400.0", "--helper", "Pip Ashtally")
        change(made, "paper: 75", "paper: work order 12")
        change(made, "second look by: 75", "second look by: Pip Ashtally")
        change(made, "[x] `oil` Change the oil\n", f"[x] `oil` Change the oil\n{self.CRACK}")
        return made

    @pytest.mark.parametrize(
        ("old", "new", "told"),
        [
            (STACKS, f"{STACKS}  - by: Bo Cleco\n", "is a check of the inspector and is done by Bo Cleco"),
            (STACKS, f"{STACKS}  - by: Pip Ashtally\n", "is a check of the inspector and is done by Pip Ashtally"),
            (STACKS, f"{STACKS}  - by: Karl\n", "is done by `Karl` is neither among the people"),
            ("inspector: Ada Bellcrank", "inspector: Bo Cleco", "Bo Cleco may not do the checks of the inspector"),
            (STACKS, f"{STACKS}  - note: not looked at, no mirror\n", "under a ticked box: say `not done`"),
            (STACKS, f"{STACKS}  - note: ____\n", "`note` is begun and says nothing"),
            (STACKS, f"{STACKS}  - recheck: 5 h\n", "says when to look again, and not at what"),
            (STACKS, f"{STACKS}  - not applicable: next year\n", "does not say why it is not on the aircraft"),
            ("look by: Pip Ashtally", "look by: ____", "the second look is missing"),
            ("look by: Pip Ashtally", "look by: PA", "`PA` is neither among the people"),
            ("look by: Pip Ashtally", f"look by: {ADA}", f"the second look is by {ADA}, who did it"),
            ("cylinder 2: 75", "cylinder 2: ____", "the reading of cylinder 2 is empty"),
            ("paper: work order 12", "paper: ____", "the reference of their paper is missing"),
            ("used: none", "used: ____", "what was used is not said"),
            (CRACK, f"{CRACK}  - found: F2 dent\n    - cleared: 2026-11-21 not yet\n", "does not say that it was corr"),
            (CRACK, f"{CRACK}  - found: F2 dent\n    - cleared: 2026-11-29 filed\n", "F2: is cleared on 2026-11-29"),
        ],
    )
    def test_it_stands_as_on_one_that_passes(
        self, run: Run, hangar: Path, made: Path, old: str, new: str, told: str
    ) -> None:
        change(made, old, new)
        refused(run, hangar, lambda: sign(run, hangar, "--not-passed"), told)
        if "F2" not in new and "not applicable" not in new:
            # What is not ticked counts for nothing, and is asked nothing.
            made.write_text(made.read_text(encoding="utf-8").replace("[x]", "[ ]"), encoding="utf-8")
            assert sign(run, hangar, "--not-passed").code == 0

    def test_in_another_order_than_it_can_have_been_done(self, run: Run, hangar: Path, made: Path) -> None:
        change(made, f"- {self.STACKS}", "")
        text = made.read_text(encoding="utf-8")
        made.write_text(f"{text}\n- {self.STACKS}", encoding="utf-8")
        refused(run, hangar, lambda: sign(run, hangar, "--not-passed"), "stacks: stands where `cowl` is not off")

    def test_what_is_whole_is_sealed(self, run: Run, hangar: Path, made: Path) -> None:
        assert sign(run, hangar, "--not-passed").code == 0


class TestAnInspectionThatIsGivenUp:
    """It is closed as work, whatever is ticked: no statement, and the inspection is due as it was."""

    STACKS = "[x] `stacks` Exhaust stacks: cracks\n"
    CRACK = "  - found: F1 crack 8 mm\n    - fix: before flight\n"
    WHY = ("--closed", "--reason", "laid up")

    def test_with_nothing_found(self, run: Run, hangar: Path, page: Page) -> None:
        """`--closed` sent to `--not-passed`, which had no list to give."""
        made = page("condition", "tach=400.0")
        ends = "there is no list to give; `sign --closed --reason WHY` ends a page as it stands"
        refused(run, hangar, lambda: sign(run, hangar, "--not-passed"), ends)
        closed = sign(run, hangar, *self.WHY)
        assert closed.code == 0, closed
        assert "I certify" not in closed.out
        assert not made.exists()
        assert due_date(run, hangar, "condition") == "2026-12-31"
        (record,) = hangar.glob("records/2026/*-not-done-*.yaml")
        assert "kind: work" in record.read_text(encoding="utf-8")
        report = " ".join(run(hangar, "report", record.stem).out.split())
        assert "Condition inspection begun on 2026-11-21: " in report
        assert "; closed: laid up" in report
        assert run(hangar, "start", "condition", "tach=400.0", "--by", ADA, on="2026-11-23").code == 0

    def test_with_what_was_found_and_cleared(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("condition", "tach=400.0")
        change(made, self.STACKS, f"{self.STACKS}{self.CRACK}    - cleared: 2026-11-21 stack replaced; by: {ADA}\n")
        assert sign(run, hangar, *self.WHY).code == 0
        assert json.loads(run(hangar, "due", "--json").out)["stops"] == []

    def test_of_the_checks_half_done_what_is_ticked_is_asked(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("condition", "tach=400.0")
        change(made, "cylinder 1: 75", "cylinder 1: ____")
        refused(run, hangar, lambda: sign(run, hangar, *self.WHY), "the reading of cylinder 1 is empty")

    def test_with_a_finding_open_its_list_is_sealed_first(self, run: Run, hangar: Path, page: Page) -> None:
        """Laid up or sold with it: the finding stays a reason not to fly, and is cleared where it stands then."""
        made = page("condition", "tach=400.0", on="2026-11-14")
        change(made, self.STACKS, self.STACKS + self.CRACK)
        refused(run, hangar, lambda: sign(run, hangar, *self.WHY), "is sealed with `--not-passed` first, then")
        assert sign(run, hangar, "--not-passed", on="2026-11-15").code == 0
        closed = sign(run, hangar, *self.WHY, on="2026-11-22")
        assert closed.code == 0, closed
        assert not made.exists()
        assert run(hangar, "verify").code == 0
        answer = json.loads(run(hangar, "due", "--json").out)
        assert [stop["kind"] for stop in answer["stops"]] == ["inspection-not-passed", "finding"]
        assert due_date(run, hangar, "condition") == "2026-12-31"
        oil = next(item for item in answer["items"] if item["check"] == "oil")
        assert oil["last"]["date"] == "2026-11-15"
        again = run(hangar, "start", "condition", "tach=400.0", "--by", ADA, on="2026-11-25")
        assert again.code == 0, again.err
        (hangar / again.out.strip()).unlink()
        assert run(hangar, "finding", "F1", "--cleared", "stack replaced", "--by", ADA).code == 0
        kinds = [stop["kind"] for stop in json.loads(run(hangar, "due", "--json").out)["stops"]]
        assert kinds == ["inspection-not-passed"]

    def test_one_of_long_ago_is_asked_of(self, run: Run, hangar: Path, page: Page) -> None:
        """What it ticks counts from the day on which it is closed, an inspection's or not."""
        made = page("condition", "tach=400.0", on="2026-05-01")
        said = "take the ticks away in records/open"
        for way in (self.WHY, ()):
            refused(run, hangar, lambda way=way: sign(run, hangar, *way, typed="no"), "205 days ago", said)
        text = made.read_text(encoding="utf-8").replace("[x]", "[ ]")
        made.write_text(text.replace(": 75 psi", ": ____ psi"), encoding="utf-8")
        assert sign(run, hangar, *self.WHY).code == 0


def due_date(run: Run, hangar: Path, name: str) -> object:
    items = json.loads(run(hangar, "due", "--json").out)["items"]
    return next(item["due"]["date"] for item in items if item["check"] == name)


class TestOnePageIsSignedOnce:
    """A page that stands in records/open/ again would seal an inspection that nobody made."""

    @pytest.mark.parametrize("changed", [False, True])
    def test_under_another_name_or_changed_since(self, run: Run, hangar: Path, page: Page, changed: bool) -> None:
        made = page("condition", "tach=400.0")
        assert sign(run, hangar).code == 0
        (sealed,) = hangar.glob("records/2026/*condition*.md")
        text = sealed.read_text(encoding="utf-8")
        if changed:
            made.write_text(text.replace("75 psi", "76 psi"), encoding="utf-8")
        else:
            made.with_name("another.md").write_text(text, encoding="utf-8")
        told = f"this page was signed already as records/2026/{sealed.stem}.yaml"
        refused(run, hangar, lambda: sign(run, hangar, on="2026-11-25"), told)

    def test_signed_in_two_clones_it_counts_once_and_says_so(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("condition", "tach=400.0", on="2026-10-31")
        open_page = made.read_bytes()
        assert sign(run, hangar, "--ink", "log p. 3", on="2026-10-31").code == 0
        kept = {path: path.read_bytes() for path in hangar.glob("records/2026/2026-10-31-*")}
        first = next(path for path in kept if "condition" in path.name and path.suffix == ".yaml")
        for path in kept:
            path.unlink()
        made.write_bytes(open_page)
        assert sign(run, hangar, "--ink", "log p. 4", on="2026-11-02").code == 0
        for path, data in kept.items():
            path.write_bytes(data)
        checked = run(hangar, "verify")
        assert checked.code == 1
        assert f"seals the same page as records/2026/{first.name}: of one page the first counts" in checked.err
        assert due_date(run, hangar, "condition") == "2027-10-31"


class TestAnotherAircraft:
    @pytest.mark.parametrize(
        ("key", "ours", "theirs"),
        [("registration", "N0XX", "N0YY"), ("serial", '"7"', '"8"'), ("make", "Sparrow", "Finch")],
    )
    def test_its_record_is_a_problem_and_never_counts(
        self, run: Run, hangar: Path, page: Page, key: str, ours: str, theirs: str
    ) -> None:
        page("condition", "tach=400.0")
        sign(run, hangar, "--ink", "log p. 3")
        assert due_date(run, hangar, "condition") == "2027-11-30"
        path = hangar / "records/aircraft.yaml"
        change(path, f"{key}: {ours}", f"{key}: {theirs}")
        outcome = run(hangar, "due")
        assert outcome.code == 3
        assert "is of N0XX, Sparrow serial 7, and this aircraft is" in outcome.err
        assert "it does not count" in outcome.err
        assert due_date(run, hangar, "condition") == "2026-12-31"
        # The same aircraft under another name says so, in the very line that is advised.
        was = f"was: [{ours}]".replace('"', "'")
        assert f"under `aircraft`: `{was}`" in outcome.err
        change(path, "certificate-date", f"{was}, certificate-date")
        assert run(hangar, "due").code == 0
        assert due_date(run, hangar, "condition") == "2027-11-30"

    def test_of_another_name_and_make_both_are_advised_beside_former_ones(
        self, run: Run, hangar: Path, page: Page
    ) -> None:
        page("condition", "tach=400.0")
        sign(run, hangar, "--ink", "log p. 3")
        path = hangar / "records/aircraft.yaml"
        change(path, "registration: N0XX, make: Sparrow", "registration: N0YY, make: Finch, was: [N0ZZ]")
        assert "under `aircraft`: `was: [N0ZZ, N0XX, Sparrow]`" in run(hangar, "due").err
        change(path, "was: [N0ZZ]", "was: [N0ZZ, N0XX, Sparrow]")
        assert run(hangar, "due").code == 0

    def test_sealed_work_says_of_which_aircraft_it_is(self, run: Run, hangar: Path, page: Page) -> None:
        page("oil", "tach=400.0")
        assert sign(run, hangar).code == 0
        change(hangar / "records/aircraft.yaml", "registration: N0XX", "registration: N0YY")
        assert "is of N0XX" in run(hangar, "due").err


class TestSealsSayWhatTheyProtect:
    def test_due_and_report_of_a_record_that_is_not_what_was_sealed(self, run: Run, hangar: Path, page: Page) -> None:
        page("condition", "tach=400.0")
        sign(run, hangar, "--ink", "log p. 3")
        (record,) = hangar.glob("records/2026/*condition*.yaml")
        change(record, "75 psi", "79 psi")
        answer = json.loads(run(hangar, "due", "--json").out)
        assert "seal-broken" in [stop["kind"] for stop in answer["stops"]]
        assert answer["not_counted"][0]["record"] == record.stem
        assert due_date(run, hangar, "condition") == "2026-12-31"
        shown = run(hangar, "due").out
        assert "Not counted, because the seal of the record does not hold" in shown
        entry = run(hangar, "report", "--entry")
        assert (entry.code, "THE SEAL DOES NOT HOLD" in entry.out, "NOT TO BE COPIED" in entry.out) == (1, True, True)
        report = run(hangar, "report")
        assert report.code == 1
        first = next(line for line in report.out.split("\n")[2:] if line.strip())
        assert first.startswith("!! THE SEAL DOES NOT HOLD")
        assert run(hangar, "signature", record.stem, "--ink", "p. 9").code == 1

    def test_a_record_sealed_anew_is_said_by_report_and_not_counted(self, run: Run, hangar: Path, page: Page) -> None:
        page("condition", "tach=400.0")
        sign(run, hangar, "--ink", "log p. 3")
        (record,) = hangar.glob("records/2026/*condition*.yaml")
        seal = store.read_seal(record.read_bytes())
        assert seal is not None
        body = record.read_bytes().split(b"seal:\n")[0].replace(b"75 psi", b"79 psi")
        anew = store.seals.seal_record(  # type: ignore[attr-defined]
            body, record=seal.record, page=seal.page, worksheet=record.with_suffix(".md").read_bytes(), after=()
        )
        record.write_bytes(anew)
        assert due_date(run, hangar, "condition") == "2026-12-31"
        report = run(hangar, "report")
        assert (report.code, "it is sealed anew" in " ".join(report.out.split())) == (1, True)

    def test_verify_says_how_many_records_no_seal_protects_and_since_when(
        self, run: Run, hangar: Path, page: Page
    ) -> None:
        page("condition", "tach=400.0")
        sign(run, hangar, "--ink", "log p. 3")
        assert run(hangar, "hours", "tach=401.0", on="2026-11-24").code == 0
        told = " ".join(run(hangar, "verify").out.split())
        assert "Records that no seal protects 3, since 2026-09-01; 1 of them later than the last seal, of" in told
        assert "An entry without a seal can be changed or taken away unnoticed" in told


SLIP = """\
format: 1
kind: amendment
date: 2026-11-23
of: {of}
instead: {{meters: {{tach: 405.9}}}}
text: The tach read 405.9; 495.9 was a slip of the pen.
by: Ada Bellcrank
"""


class TestAWrongReadingThatWasSigned:
    """Tach 495.9 signed instead of 405.9: the issue's own case, by commands alone but for the amendment itself."""

    @pytest.fixture
    def sealed(self, run: Run, hangar: Path, page: Page) -> Path:
        page("condition", "tach=495.9", "--yes")
        # Asked once more: what the page says may have been written by an editor since.
        asked = run(hangar, "sign", "--as", ADA, "--ink", "log p. 3", typed=("no",), on="2026-11-22")
        assert asked.code == 2
        assert "tach 495.9 is 95.9 h more than 400.0" in asked.err
        signed = run(hangar, "sign", "--as", ADA, "--ink", "log p. 3", typed=("yes", ADA), on="2026-11-22")
        assert signed.code == 0
        (record,) = hangar.glob("records/2026/*condition*.yaml")
        return record

    def test_it_blocks_entries_only_until_an_amendment_is_written(self, run: Run, hangar: Path, sealed: Path) -> None:
        said = "lower than 495.9 on 2026-11-22"
        hours = lambda: run(hangar, "hours", "tach=410.0", on="2026-11-24")  # noqa: E731
        refused(run, hangar, hours, said, "corrected by an `amendment`")
        before = sealed.read_bytes()
        amendment = hangar / "records/2026/2026-11-23-slip.yaml"
        amendment.write_text(SLIP.format(of=sealed.stem), encoding="utf-8")
        assert hours().code == 0
        # Not signed: what was recorded counts as well, where it makes something due sooner.
        answer = json.loads(run(hangar, "due", "--json").out)
        assert answer["pending_amendments"][0]["amendment"] == "2026-11-23-slip"
        assert "Amendments that wait for a signature" in run(hangar, "due").out
        words = ("signature", "2026-11-23-slip", "--ink", "p. 1", "--as", "Bo Cleco")
        refused(run, hangar, lambda: run(hangar, *words), "holds")
        assert run(hangar, "signature", "2026-11-23-slip", "--ink", "log p. 4", on="2026-11-24").code == 0
        answer = json.loads(run(hangar, "due", "--json").out)
        assert answer["pending_amendments"] == []
        assert answer["meters"]["tach"]["total"] == 665.5
        assert answer["stops"] == []
        assert sealed.read_bytes() == before
        assert run(hangar, "verify").code == 0

    def test_it_stands_beside_the_old_wherever_that_is_quoted(self, run: Run, hangar: Path, sealed: Path) -> None:
        (hangar / "records/2026/2026-11-23-slip.yaml").write_text(SLIP.format(of=sealed.stem), encoding="utf-8")
        told = "tach 405.9 instead of 495.9 (2026-11-23-slip, not signed yet)"
        for words in (("due",), ("due", "condition", "--json"), ("history", "stacks", "--json"), ("report",)):
            assert told in " ".join(run(hangar, *words).out.split()), words
        # In a table of many columns the words are broken over lines.
        assert "405.9 instead" in run(hangar, "status").out
        assert "Amended: Tach 405.9 instead of 495.9" in " ".join(run(hangar, "report", "--entry").out.split())
        report = " ".join(run(hangar, "report").out.split())
        assert "Total time in service 751.4 h" in report
        assert "inspected on 2026-11-22 and found" in report

    def test_an_amendment_that_makes_no_sense_either_is_refused_by_the_next_entry(
        self, run: Run, hangar: Path, sealed: Path
    ) -> None:
        (hangar / "records/2026/2026-11-23-slip.yaml").write_text(
            SLIP.format(of=sealed.stem).replace("405.9}", "45.9}"), encoding="utf-8"
        )
        assert "tach reads 45.9 on 2026-11-22, lower than 400.0" in run(hangar, "due").err


def test_what_a_sealed_record_says_wrongly_is_a_note_and_no_problem(run: Run, hangar: Path, page: Page) -> None:
    """Sealed by a program that did not ask: cleared a day before the job was begun, by somebody since forgotten."""
    page("condition", "tach=400.0")
    assert sign(run, hangar, "--ink", "log p. 3").code == 0
    (record,) = hangar.glob("records/2026/*condition*.yaml")
    seal = store.read_seal(record.read_bytes())
    assert seal is not None
    finding = "findings:\n  F1: {check: stacks, found: crack, fix: before flight, cleared: 2026-11-19 welded}\n"
    body = record.read_text(encoding="utf-8").split("seal:\n")[0] + finding
    sealed = store.seals.seal_record(  # type: ignore[attr-defined]
        body.encode(), record=seal.record, page=seal.page, worksheet=record.with_suffix(".md").read_bytes(), after=()
    )
    record.write_bytes(sealed)
    for path in (hangar / ".inspect-kit/seals", *hangar.glob("records/2026/*signature*")):
        path.unlink()
    due = run(hangar, "due")
    assert (due.code, due.err, "INCOMPLETE" in due.out) == (0, "", False)
    verify = run(hangar, "verify")
    assert verify.code == 0
    told = " ".join(verify.out.split())
    assert "Every file was read, every seal is whole." in told
    assert "Notes" in told
    assert "cleared: 2026-11-19 is before 2026-11-21" in told


class TestSignatures:
    def test_in_ink_and_by_a_key_is_refused_before_the_seal(self, run: Run, hangar: Path, page: Page) -> None:
        """It was sealed, and then its signature could not be written down."""
        page("condition", "tach=402.0")
        told = "one of the two: nothing was sealed"
        refused(run, hangar, lambda: sign(run, hangar, "--ink", "log p. 3", "--ssh-key", "key"), told)

    @pytest.mark.parametrize(
        ("key", "told"),
        [("none", "none is no file with an SSH key"), ("plane", "Ada Bellcrank has no public key in aircraft.yaml")],
    )
    def test_a_key_that_is_none_is_refused_before_anything_is_typed(
        self, run: Run, hangar: Path, page: Page, key: str, told: str
    ) -> None:
        """The statement was read and the name typed first, and then asked once more: no name would have helped."""
        page("condition", "tach=402.0")
        own = hangar.parent / "plane.key"
        own.write_text("", encoding="utf-8")
        words = ("--ssh-key", str(own if key == "plane" else hangar.parent / key))
        made = run(hangar, "sign", "--as", ADA, *words, typed=(), on="2026-11-22")
        assert (made.code != 0, told in made.err, "Type the name" in made.out + made.err) == (True, True, False)
        assert "To be signed" not in made.out

    def test_who_may_not_sign_is_told_so_and_not_to_write_a_key(self, run: Run, hangar: Path, page: Page) -> None:
        """A student was told to write a key, which would not have helped: a picture showed it."""
        page("condition", "tach=402.0")
        own = hangar.parent / "plane.key"
        own.write_text("", encoding="utf-8")
        made = run(hangar, "sign", "--as", "Bo Cleco", "--ssh-key", str(own), on="2026-11-22")
        assert made.code == 1
        told = " ".join((made.out + made.err).split())
        assert "public key" not in told
        assert "Bo Cleco" in told

    @pytest.mark.parametrize(
        "ink", ["-", "\u2013", "not yet", "to follow", "aircraft log p. __", "airframe log, page 4?", "aircraft log"]
    )
    def test_ink_that_leads_nowhere(self, run: Run, hangar: Path, page: Page, ink: str) -> None:
        """A reference that is none made the inspection count."""
        page("condition", "tach=402.0")
        refused(run, hangar, lambda: sign(run, hangar, "--ink", ink), "leads nowhere: say which logbook and page")
        assert sign(run, hangar).code == 0
        (record,) = hangar.glob("records/2026/*condition*.yaml")
        words = ("signature", record.stem, "--ink", ink, "--as", ADA)
        refused(run, hangar, lambda: run(hangar, *words, on="2026-11-24"), "leads nowhere")
        entered(hangar, "2026-11-24-ink", f"kind: signature\ndate: 2026-11-24\nof: {record.stem}\nink: '{ink}'\n")
        outcome = run(hangar, "due", "condition")
        assert outcome.code == 3
        assert "leads nowhere" in outcome.err
        assert due_date(run, hangar, "condition") == "2026-12-31"

    @pytest.mark.parametrize(("old", "new"), [("'0000001'", "'0000009'"), ("kind: repairman", "kind: student")])
    def test_a_signature_under_another_number_or_kind(
        self, run: Run, hangar: Path, page: Page, old: str, new: str
    ) -> None:
        page("condition", "tach=400.0")
        assert sign(run, hangar, "--ink", "log p. 3").code == 0
        (signature,) = hangar.glob("records/2026/*signature*.yaml")
        change(signature, old, new)
        assert due_date(run, hangar, "condition") == "2026-12-31"
        checked = run(hangar, "verify")
        assert (checked.code, "is no signature of" in checked.err) == (1, True)

    def test_who_has_another_certificate_today_signs_what_was_sealed(
        self, run: Run, hangar: Path, page: Page
    ) -> None:
        page("condition", "tach=400.0")
        assert sign(run, hangar).code == 0
        change(hangar / "records/aircraft.yaml", 'certificate: "0000001"', 'certificate: "0000077"')
        assert run(hangar, "signature", "--ink", "log p. 3", "--as", ADA).code == 0
        assert due_date(run, hangar, "condition") == "2027-11-30"

    def test_only_the_person_of_the_statement_signs_it(self, run: Run, hangar: Path, page: Page) -> None:
        page("condition", "tach=400.0")
        assert sign(run, hangar).code == 0
        words = ("signature", "--ink", "log p. 3", "--as")
        refused(run, hangar, lambda: run(hangar, *words, "Bo Cleco"), "not signed: it is by Bo Cleco")
        refused(run, hangar, lambda: run(hangar, *words, "zz"), "not signed: it is by zz")
        assert run(hangar, *words, ADA).code == 0

    def test_a_signature_written_by_hand_that_is_none_is_named_and_counts_for_nothing(
        self, run: Run, hangar: Path, page: Page
    ) -> None:
        page("condition", "tach=400.0")
        assert sign(run, hangar).code == 0
        (record,) = hangar.glob("records/2026/*condition*.yaml")
        (hangar / "records/2026/2026-11-23-sig.yaml").write_text(
            f"format: 1\nkind: signature\ndate: 2026-11-23\nof: {record.stem}\nssh: signed\nby: {ADA}\n",
            encoding="utf-8",
        )
        verify = run(hangar, "verify")
        assert verify.code == 1
        assert f"is no signature of {record.stem}: SSH signature of {ADA}" in " ".join(verify.err.split())
        stops = json.loads(run(hangar, "due", "--json").out)["stops"]
        assert [stop["kind"] for stop in stops] == ["signature"]
        assert "its signature is none" in stops[0]["text"]
        assert due_date(run, hangar, "condition") == "2026-12-31"


class TestReadAgainSinceItWasBegun:
    """An inspection of two weekends, sealed as not passed on the first, with engine runs between them."""

    @pytest.fixture
    def between(self, run: Run, hangar: Path, page: Page) -> Path:
        made = page("condition", "tach=400.0", on="2026-11-14")
        assert run(hangar, "finding", "compression", "a valve leaks", on="2026-11-15").code == 0
        assert sign(run, hangar, "--not-passed", on="2026-11-15").code == 0
        cleared = run(hangar, "finding", "F1", "--cleared", "valve lapped, 74 psi", "--by", ADA, on="2026-11-20")
        assert cleared.code == 0, cleared
        assert run(hangar, "work", "--text", "ran it warm", "tach=400.3", "--by", ADA, on="2026-11-20").code == 0
        return made

    def test_the_old_reading_is_refused_with_what_to_type(self, run: Run, hangar: Path, between: Path) -> None:
        words = "and 655.8 was recorded before: sign with what it reads now, tach=READING"
        refused(run, hangar, lambda: sign(run, hangar, on="2026-11-24"), words)
        assert between.exists()

    def test_a_reading_given_to_sign_is_that_of_the_record(self, run: Run, hangar: Path, between: Path) -> None:
        signed = sign(run, hangar, "tach=400.4", on="2026-11-24")
        assert signed.code == 0, signed
        assert not between.exists()
        answer = json.loads(run(hangar, "due", "--json", on="2026-11-24").out)
        assert answer["meters"]["tach"]["reads"] == 400.4
        assert run(hangar, "verify", on="2026-11-24").code == 0

    def test_history_shows_both_days(self, run: Run, hangar: Path, page: Page) -> None:
        """What was ticked by the first weekend was done by then, as `due` counts it; the rest on the second."""
        made = page("condition", "tach=400.0", on="2026-11-14")
        change(made, "[x] `elt`", "[ ] `elt`")
        assert run(hangar, "finding", "pulleys", "a guard is bent", on="2026-11-15").code == 0
        assert sign(run, hangar, "--not-passed", on="2026-11-15").code == 0
        assert run(hangar, "finding", "F1", "--cleared", "straightened", "--by", ADA, on="2026-11-20").code == 0
        change(made, "[ ] `elt`", "[x] `elt`")
        assert sign(run, hangar, "tach=400.4", on="2026-11-24").code == 0
        told = {
            name: json.loads(run(hangar, "history", name, "--json", on="2026-11-24").out)["events"]
            for name in ("stacks", "elt", "cowl")
        }
        done = {
            name: [(each["date"], each["what"]) for each in events if each["what"].startswith("done: ")]
            for name, events in told.items()
        }
        assert done["stacks"] == [("2026-11-15", "done: Exhaust stacks, by Ada Bellcrank, on a page begun 2026-11-14")]
        assert [date for date, _ in done["elt"]] == ["2026-11-24"]
        assert {date for date, what in done["cowl"] if "stacks" in what} == {"2026-11-15"}
        items = {each["check"]: each for each in json.loads(run(hangar, "due", "--json", on="2026-11-24").out)["items"]}
        assert items["elt"]["last"]["date"] == "2026-11-24"
        (again,) = [each["what"] for each in told["stacks"] if each["date"] == "2026-11-24"]
        assert again == "not done again, as it stood on the page when that was signed on 2026-11-15"
        # A screen has it too.
        assert "on a page begun 2026-11-14" in " ".join(run(hangar, "history", "stacks", on="2026-11-24").out.split())

    def test_a_reading_taken_once_is_put_right_in_both(self, run: Run, hangar: Path, between: Path) -> None:
        """Two values of the one measurement, ten apart in a week, were a trend that never was."""
        assert sign(run, hangar, "tach=400.4", on="2026-11-24").code == 0
        (passed,) = hangar.glob("records/2026/2026-11-24-condition-*.yaml")
        put = ("--reason", "the sheet says 65", "--by", ADA, "--yes")
        made = run(hangar, "amend", passed.stem, "cylinder 1=65", *put, on="2026-11-24")
        assert made.code == 0, made.err
        assert "2026-11-15-condition-not-passed" in made.out
        assert "which has the same reading of the same page: reads.compression.cylinder 1=65" in made.out
        told = json.loads(run(hangar, "history", "compression", "--json", on="2026-11-24").out)["events"]
        assert [each["date"] for each in told if "65" in each["what"]].count("2026-11-15") >= 1
        for amendment in hangar.glob("records/2026/2026-11-24-amendment-*.yaml"):
            signed = run(hangar, "signature", amendment.stem, "--ink", "log p. 4", "--as", ADA, on="2026-11-24")
            assert signed.code == 0, signed.err
        trends = json.loads(run(hangar, "trend", "compression", "--json", on="2026-11-24").out)["trends"]
        (values,) = [each["values"] for each in trends if each["label"] == "cylinder 1"]
        assert [(each["date"], each["value"]) for each in values] == [("2026-11-15", 65)]
        assert run(hangar, "verify", on="2026-11-24").code == 0

    def test_history_of_an_inspection_is_each_of_them(self, run: Run, hangar: Path, between: Path) -> None:
        assert sign(run, hangar, "tach=400.4", "--ink", "log p. 3", on="2026-11-24").code == 0
        told = json.loads(run(hangar, "history", "condition", "--json", on="2026-11-24").out)
        assert (told["kind"], told["name"]) == ("inspection", "condition inspection")
        days = [(each["date"], each["what"].partition(" by ")[0]) for each in told["events"]]
        past = "brought forward: last done; aircraft log p. 31"
        assert days == [
            ("2025-12-13", past),
            ("2026-11-15", "not passed, sealed"),
            ("2026-11-24", "passed, signed in ink"),
        ]
        assert "log p. 3; 1 finding; on a page begun 2026-11-14" in told["events"][-1]["what"]
        assert "Inspection: condition inspection." in run(hangar, "history", "condition", on="2026-11-24").out

    def test_a_reading_written_into_the_page_is_no_problem(self, run: Run, hangar: Path, between: Path) -> None:
        change(between, "tach: 400.0", "tach: 400.3")
        assert "lower than" not in run(hangar, "due", on="2026-11-24").err
        assert sign(run, hangar, on="2026-11-24").code == 0

    def test_what_cannot_be_is_refused(self, run: Run, hangar: Path, between: Path) -> None:
        refused(run, hangar, lambda: sign(run, hangar, "tach=400.2", on="2026-11-24"), "was recorded before")
        refused(run, hangar, lambda: sign(run, hangar, "tack=400.4", on="2026-11-24"), "`tack` is no meter")
        refused(run, hangar, lambda: sign(run, hangar, "one", "two", on="2026-11-24"), "one page is signed at a time")
        refused(run, hangar, lambda: sign(run, hangar, "tach=4004", on="2026-11-24", typed="no"), "nothing was sealed")


class TestWhatWasSealedNotPassedStands:
    """A list of discrepancies is cleared by what came after it and says so, never by leaving it out."""

    CRACK = "  - found: F1 crack 8 mm\n    - fix: before flight\n"

    @pytest.fixture
    def sealed(self, run: Run, hangar: Path, page: Page) -> Path:
        made = page("condition", "tach=400.0", on="2026-11-14")
        stacks, cold = "[x] `stacks` Exhaust stacks: cracks\n", "cylinder 1: 75 psi"
        change(made, stacks, stacks + self.CRACK)
        change(made, cold, cold.replace("75", "45"))
        box = next(line for line in made.read_text(encoding="utf-8").split("\n") if "`compression`" in line)
        change(made, box, f"{box}\n  - found: F2 a valve leaks")
        assert sign(run, hangar, "--not-passed", on="2026-11-15").code == 0
        return made

    def test_a_page_is_not_signed_without_it(self, run: Run, hangar: Path, sealed: Path) -> None:
        change(sealed, "F2 a valve leaks", f"F2 a valve leaks\n    - cleared: 2026-11-16 lapped; by: {ADA}")
        whole = sealed.read_text(encoding="utf-8")
        gone, wait = "F1: was sealed in records/2026/2026-11-15-condition-not-passed", "    - may wait because: small\n"
        waits = f"    - fix: at next condition inspection\n{wait}"
        edits = {
            "taken out": (self.CRACK, ""),
            "other words": (self.CRACK, f"  - found: F1 scratch\n{waits}"),
            "another number": (self.CRACK, f"  - found: F3 crack 8 mm\n{waits}"),
        }
        for old, new in edits.values():
            change(sealed, old, new)
            refused(run, hangar, lambda: sign(run, hangar, on="2026-11-24"), gone)
            refused(run, hangar, lambda: sign(run, hangar, "--closed", "--reason", "by mistake", on="2026-11-24"), gone)
            refused(run, hangar, lambda: sign(run, hangar, "--not-passed", on="2026-11-24"), gone)
            stops = json.loads(run(hangar, "due", "--json", on="2026-11-24").out)["stops"]
            assert any("crack 8 mm (2026-11-15-condition-not-passed" in stop["text"] for stop in stops)
            sealed.write_text(whole, encoding="utf-8")
        # Under another check it is another finding.
        change(sealed, self.CRACK, "")
        box = next(line for line in sealed.read_text(encoding="utf-8").split("\n") if "`elt`" in line)
        change(sealed, box, f"{box}\n{self.CRACK}    - cleared: 2026-11-16 fixed; by: {ADA}")
        refused(run, hangar, lambda: sign(run, hangar, on="2026-11-24"), gone)
        sealed.write_text(whole, encoding="utf-8")
        change(sealed, self.CRACK, f"{self.CRACK}    - cleared: 2026-11-16 stack replaced; by: {ADA}\n")
        cleared = sealed.read_text(encoding="utf-8")
        change(sealed, "45", "75")
        told = "as 45 psi, and is not on the page: write it as it was"
        refused(run, hangar, lambda: sign(run, hangar, on="2026-11-24"), told)
        sealed.write_text(cleared, encoding="utf-8")
        change(sealed, "cylinder 1: 45 psi (at least 60)", "cylinder 1: 45 psi (at least 60)\n    - again: 75")
        signed = sign(run, hangar, "--ink", "log p. 3", on="2026-11-24")
        assert signed.code == 0, signed
        assert json.loads(run(hangar, "due", "--json", on="2026-11-24").out)["stops"] == []

    def test_another_clone_that_passed_the_page_cleared_nothing(self, run: Run, hangar: Path, page: Page) -> None:
        made = page("condition", "tach=400.0", on="2026-11-14")
        before = made.read_text(encoding="utf-8")
        change(made, "`stacks` Exhaust stacks: cracks\n", f"`stacks` Exhaust stacks: cracks\n{self.CRACK}")
        assert sign(run, hangar, "--not-passed", on="2026-11-15").code == 0
        kept = {path: path.read_bytes() for path in hangar.glob("records/2026/2026-11-15-*")}
        for path in kept:
            path.unlink()
        made.write_text(before, encoding="utf-8")
        assert sign(run, hangar, "--ink", "log p. 4", on="2026-11-16").code == 0
        assert not made.exists()
        for path, data in kept.items():
            path.write_bytes(data)
        (stop,) = json.loads(run(hangar, "due", "--json", on="2026-11-24").out)["stops"]
        assert stop["text"].startswith("to fix before flight: crack 8 mm (2026-11-15-condition-not-passed")
        reference = stop["text"].rpartition("(")[2].rstrip(")")
        cleared = run(hangar, "finding", reference, "--cleared", "stack replaced", "--by", ADA, on="2026-11-24")
        assert cleared.code == 0, cleared
        assert json.loads(run(hangar, "due", "--json", on="2026-11-24").out)["stops"] == []


@pytest.mark.parametrize(
    ("old", "new"),
    [(b"job: ", b"\tjob: "), (b"tach: 400.0", b"tach: 400.0\xe4"), (b"# ", b"<<<<<<< HEAD\n# ")],
)
def test_an_open_page_that_cannot_be_read_is_open(run: Run, hangar: Path, page: Page, old: bytes, new: bytes) -> None:
    made = page("condition", "tach=400.0")
    assert old in made.read_bytes()
    made.write_bytes(made.read_bytes().replace(old, new, 1))
    due = run(hangar, "due", "--json", on="2026-11-22")
    file = f"records/open/{made.name}"
    assert due.code == 3
    assert [(stop["kind"], stop["text"]) for stop in json.loads(due.out)["stops"]] == [
        ("open-worksheet", f"open worksheet that cannot be read: {file}")
    ]
    said = f"the open page {file} cannot be read"
    refused(run, hangar, lambda: sign(run, hangar), said)
    refused(run, hangar, lambda: sign(run, hangar, made.stem), said)
    refused(run, hangar, lambda: run(hangar, "walk", "--lines", on="2026-11-22"), said)
    refused(run, hangar, lambda: run(hangar, "start", "condition", "tach=400.0", "--by", ADA, on="2026-11-22"), said)


def test_a_reading_that_is_given_does_not_hide_another_meter_of_the_page(run: Run, hangar: Path, page: Page) -> None:
    """An editor changed the hobbs; `sign tach=...` reads the tach alone."""
    aircraft = hangar / "records/aircraft.yaml"
    one, two = "meters: {tach: {unit: h}", "meters: {tach: {unit: h}, hobbs: {unit: h}"
    aircraft.write_text(aircraft.read_text().replace(one, two))
    assert run(hangar, "hours", "hobbs=500.0", on="2026-11-18").code == 0
    path = page("condition", "tach=405.9", "hobbs=501.0")
    path.write_text(path.read_text().replace("501.0", "551.0"))
    asked = run(hangar, "sign", "tach=406.0", "--as", ADA, "--ink", "log p. 3", typed=("no",), on="2026-11-22")
    assert asked.code == 2, asked.err
    assert "hobbs 551.0 is" in asked.err


def test_a_finding_from_before_is_put_off_by_the_page_that_passed(run: Run, hangar: Path, page: Page) -> None:
    """Sealed as not passed the page stays open: what it puts off again stands where it was found until it is signed."""
    limit = ("--fix", "at next condition inspection", "--reason", "stable for years", "--by", ADA)
    assert run(hangar, "finding", "compression", "a valve leaks", *limit, on="2026-11-13").code == 0
    made = page("condition", "tach=400.0", on="2026-11-14")
    put_off = "  - fix: at next condition inspection\n  - may wait because: still the same\n"
    text = re.sub(r"(- \[x\] `\S+#F1` .*\n)", rf"\1{put_off}", made.read_text(encoding="utf-8"))
    assert put_off in text
    made.write_text(text, encoding="utf-8")
    assert run(hangar, "finding", "compression", "oil on the plug", on="2026-11-15").code == 0
    failed = sign(run, hangar, "--not-passed", on="2026-11-15")
    assert failed.code == 0, failed
    (sealed,) = hangar.glob("records/2026/*not-passed*.yaml")
    assert "a valve leaks" not in sealed.read_text(encoding="utf-8")
    own = f"{made.stem}#F1"
    assert run(hangar, "finding", own, "--cleared", "plug tightened", "--by", ADA, on="2026-11-16").code == 0
    passed = sign(run, hangar, "--ink", "log p. 3", on="2026-11-16")
    assert passed.code == 0, passed
    (record,) = hangar.glob("records/2026/2026-11-16-condition*.yaml")
    told = record.read_text(encoding="utf-8")
    assert told.count("a valve leaks") == 1
    assert "2026-11-16 put off again as F2 of this record" in told
    assert run(hangar, "verify", on="2026-11-16").code == 0


class TestASealedRecordThatIsGone:
    """`due` and `status` say it as a reason, named by which: what it found may stand in nothing else."""

    @pytest.fixture
    def gone(self, run: Run, hangar: Path, page: Page) -> str:
        page("condition", "tach=400.0")
        assert sign(run, hangar, "--ink", "log p. 3").code == 0
        assert run(hangar, "hours", "tach=400.5", on="2026-11-23").code == 0
        (record,) = hangar.glob("records/2026/*condition*.yaml")
        for path in (record, record.with_suffix(".md"), *hangar.glob("records/2026/*signature*")):
            path.unlink()
        return f"records/2026/{record.name}"

    def stops(self, run: Run, hangar: Path) -> list[tuple[str, str]]:
        answer = run(hangar, "due", "--json", on="2026-11-24")
        return [(stop["kind"], stop["text"]) for stop in json.loads(answer.out)["stops"]]

    def test_it_is_a_reason_named_by_what_came_after_it(self, run: Run, hangar: Path, gone: str) -> None:
        (hours,) = hangar.glob("records/2026/2026-11-23-hours-*.yaml")
        named = f"named by records/2026/{hours.name} of 2026-11-23"
        assert ("record-gone", f"a sealed record is gone or changed: {gone}, {named}") in self.stops(run, hangar)
        assert "No reason not to fly" not in run(hangar, "due", on="2026-11-24").out
        assert "No reason not to fly" not in run(hangar, "status", on="2026-11-24").out
        # A fresh clone has no register, and only the seal to name it by.
        (hangar / ".inspect-kit/seals").unlink()
        ((_, text),) = [stop for stop in self.stops(run, hangar) if stop[0] == "record-gone"]
        assert text.startswith("a sealed record is gone or changed: with the seal ")

    def test_it_is_one_where_only_the_folder_held_it_or_only_its_page_is_left(
        self, run: Run, hangar: Path, gone: str
    ) -> None:
        (hours,) = hangar.glob("records/2026/2026-11-23-hours-*.yaml")
        hours.unlink()
        told = ("record-gone", f"a sealed record is gone: {gone}, which this folder held")
        page = hangar / gone.replace(".yaml", ".md")
        for left in (False, True):
            if left:
                page.write_text("kept\n", encoding="utf-8")
            assert [each for each in self.stops(run, hangar) if each[0] == "record-gone"] == [told]
        (hangar / ".inspect-kit/seals").unlink()
        alone = f"that of the worksheet {gone.replace('.yaml', '.md')}, unless it was never sealed"
        told = ("record-gone", f"a sealed record is gone: {alone}: then move it into records/open/")
        assert told in self.stops(run, hangar)

    def test_it_is_missed_however_after_is_written(self, run: Run, hangar: Path, gone: str) -> None:
        (hours,) = hangar.glob("records/2026/2026-11-23-hours-*.yaml")
        block = hours.read_text(encoding="utf-8")
        before, _, digest = block.partition("after:\n  - ")
        digest = digest.strip()
        (hangar / ".inspect-kit/seals").unlink()
        for form in AFTER:
            hours.write_text(before + form.format(digest), encoding="utf-8")
            assert "record-gone" in [kind for kind, _ in self.stops(run, hangar)], form


# As an editor or a formatter may write what the tool wrote as a block.
AFTER = (
    *("after: [{}]\n", 'after: ["{}"]\n', "after: {}\n", "after: '{}'\n", "after:\n  [\n    {},\n  ]\n"),
    *('after:\n  - "{}"\n', "after:\n- '{}'\n", "after:\n  - {} # the annual\n", '"after":\n  - {}\n'),
    *("after :\n  - {}\n", "after:\n\n  - {}\n", "after: # newest\n  - {}\n", "after: # newest\n  {}\n"),
)


def test_what_was_to_be_looked_at_again_while_the_page_was_open_is_asked(run: Run, hangar: Path, page: Page) -> None:
    """A tick has no day but that of the signature: whether it came after the record nobody else can say."""
    page("condition", "tach=400.0", on="2026-11-14")
    look = ("--text", "hairline", "--recheck", "stacks=0.5 h", "--by", ADA)
    assert run(hangar, "work", "stacks", "tach=400.5", *look, on="2026-11-15").code == 0
    ink = ("sign", "tach=400.9", "--as", ADA, "--ink", "log p. 3")
    asked = run(hangar, *ink, typed=("no", ADA), on="2026-11-16")
    assert asked.code == 2
    assert "`stacks` is to be looked at again by 2026-11-15-stacks-" in asked.out + asked.err
    assert "Was it done, as it is ticked, after that?" in asked.out + asked.err
    signed = run(hangar, *ink, typed=("yes", ADA), on="2026-11-16")
    assert "Sealed: " in signed.out, signed


def test_what_was_to_be_looked_at_again_since_a_page_was_signed_stays_so(run: Run, hangar: Path, page: Page) -> None:
    """What stood on it at the first signature counts from that day, whatever is answered at the second."""
    page("condition", "tach=400.0", on="2026-11-14")
    ink = ("--as", ADA, "--ink", "log p. 3")
    assert run(hangar, "finding", "compression", "a valve leaks", on="2026-11-14").code == 0
    assert sign(run, hangar, "--not-passed", on="2026-11-14").code == 0
    look = ("--text", "hairline", "--recheck", "stacks=0.5 h", "--by", ADA)
    assert run(hangar, "work", "stacks", "tach=400.5", *look, on="2026-11-15").code == 0
    assert run(hangar, "finding", "F1", "--cleared", "lapped", "--by", ADA, on="2026-11-16").code == 0
    signed = run(hangar, "sign", "tach=400.9", *ink, typed=("yes", ADA), on="2026-11-16")
    assert "was signed for on 2026-11-14: it stays so until `work stacks` says" in signed.out + signed.err
    assert "Look again: hairline" in run(hangar, "due", "--all", on="2026-11-16").out


def test_a_page_begun_by_somebody_on_no_list_says_how_to_get_out(run: Run, hangar: Path) -> None:
    """It could not be signed, nor closed, and nothing said what to do."""
    swift = ("--by", "R. Swift, mechanic, 1234567")
    assert run(hangar, "work", "stacks", "tach=401.0", *swift, on="2026-11-20").code == 0
    begun = run(hangar, "start", "condition", "tach=401.0", "--by", "R. Swift", on="2026-11-21")
    assert "or name them with kind and number under `people`" in begun.err
    close = ("--closed", "--reason", "only a trial")
    told = sign(run, hangar, *close)
    assert told.code == 1
    assert 'with `inspect-kit helper "R. Swift"` to the page' in " ".join(told.out.split())
    assert run(hangar, "helper", "R. Swift", on="2026-11-22").code == 0
    assert sign(run, hangar, *close).code == 0


class TestTheLineOfWhatIsMissing:
    """What a reading given to `sign` moves in a page that is not written moves no line that is told."""

    @pytest.mark.parametrize(
        ("block", "more"),
        [
            ("meters: {tach: 400.0}\n", ()),
            ("meters: {tach: 400.0}\n", ("tach=400.4",)),
            ("meters:\n  tach: 400.0\n", ("tach=400.4",)),
            ("meters:\n  tach: 400.0\n  # the new one\n", ("tach=400.4",)),
            ("meters:\n  tach: 400.0\n", ("--closed", "--reason", "begun by mistake")),
        ],
    )
    def test_is_that_of_the_page(
        self, run: Run, hangar: Path, page: Page, block: str, more: tuple[str, ...]
    ) -> None:
        made = page("condition", "tach=400.0")
        text = made.read_text(encoding="utf-8").replace("[x] `elt`", "[ ] `elt`").replace("[x] refit", "[ ] refit")
        begin = text.index("meters:")
        text = text[:begin] + block + text[text.index("inspector:", begin) :]
        made.write_text(text, encoding="utf-8")
        told = sign(run, hangar, "--all", *more, on="2026-11-22")
        assert told.code == 1, told
        lines = text.splitlines()
        found = re.findall(r"(?m)(?:^|:)(\d+):?\s+(\w[\w-]*): (?:refit )?is not ticked", told.out)
        assert more[:1] == ("--closed",) or {about for _, about in found} >= {"elt"}
        for number, about in found:
            assert f"`{about}`" in lines[int(number) - 1], (number, about, told.out)


def test_line_ends_that_git_turned_are_told_as_that_and_nothing_else(
    run: Run, hangar: Path, page: Page, tmp_path: Path
) -> None:
    """A record that follows a seal was told to follow one that is gone, and a signature to be none."""
    for job, tach in (("condition", "tach=404.0"), ("oil", "tach=404.0")):
        page(job, tach)
        assert sign(run, hangar, "--ink", f"log p. {tach[-3:]}").code == 0
    sealed = next(hangar.glob("records/2026/*condition*.yaml")).stem
    amended = run(hangar, "amend", sealed, "--reason", "by daylight", "--by", ADA)
    assert amended.code == 0, amended.err
    name = Path(amended.out.split()[0]).stem
    assert run(hangar, "signature", name, "--ink", "log p. 5").code == 0
    assert run(hangar, "work", "oil", "tach=404.0", "--text", "Oil", "--by", ADA).code == 0
    photograph = tmp_path / "note.txt"
    photograph.write_bytes(b"as found\n")
    assert run(hangar, "attach", sealed, str(photograph), "--text", "A note", "--by", ADA).code == 0
    assert run(hangar, "verify").code == 0
    before = run(hangar, "due", "--json")
    for path in [each for each in hangar.rglob("*") if each.is_file() and ".inspect-kit" not in each.parts]:
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    after = run(hangar, "due", "--json")
    assert (after.code, json.loads(after.out)) == (0, json.loads(before.out)), after.err
    checked = run(hangar, "verify")
    assert checked.code == 1
    told = checked.err.splitlines()
    # Two records and two pages that are sealed, and the note.
    assert len(told) == 5
    assert all("its line endings were changed from LF to CRLF, and nothing else" in each for each in told), told


@pytest.mark.parametrize(
    ("attributes", "git", "sealed", "noted"),
    [
        (None, True, True, True),
        ("*.jpg binary\n# records/** -text\n", True, True, True),
        ("records/** -text\nchecklists/** -text\n", True, True, False),
        ("* -text\n", True, True, False),
        ("*.yaml -text\n", True, True, True),
        ("*.yaml -text\n/records/**/*.md binary\n", True, True, False),
        (None, False, True, False),
        (None, True, False, False),
    ],
)
def test_a_store_in_git_that_nothing_keeps_from_turned_line_ends_is_noted(
    run: Run, hangar: Path, page: Page, attributes: str | None, git: bool, sealed: bool, noted: bool
) -> None:
    """`new` writes what keeps them; who made a store by hand was told nothing until no seal held in a clone."""
    page("oil", "tach=403.0")
    if sealed:
        assert sign(run, hangar, "--ink", "log p. 3").code == 0
    if git:
        (hangar / ".git").mkdir()
    if attributes is not None:
        (hangar / ".gitattributes").write_text(attributes)
    told = run(hangar, "verify")
    assert told.code == 0, told.err
    assert ("keeps git from turning line ends" in " ".join(told.out.split())) is noted


def test_what_is_put_off_again_is_shown_by_the_name_that_the_page_has(run: Run, hangar: Path, page: Page) -> None:
    assert run(hangar, "finding", "stacks", "a scratch", "--by", ADA, on="2026-11-20").code == 0
    (record,) = hangar.glob("records/2026/*-finding-*.yaml")
    page("stacks", "--only", "tach=400.0")
    off = ("--fix", "by 2027-01-31", "--reason", "shallow, watched at each flight")
    assert run(hangar, "finding", f"{record.stem}#F1", *off, on="2026-11-21").code == 0
    signed = sign(run, hangar)
    assert signed.code == 0, signed.out
    told = f"{record.stem}#F1: a scratch; fix: by 2027-01-31; may wait because: shallow, watched at each flight"
    assert told in " ".join(signed.out.split())


LIMITS = {
    "by 1410 h": "by tach 2154.5 (total 1410 h)",
    "by 665.5 h": "by tach 1410.0 (total 665.5 h)",
    "by 2027-01-31": "by 2027-01-31",
    "at next condition inspection": "at the next condition inspection",
}


@pytest.mark.parametrize(("fix", "shown"), LIMITS.items())
def test_the_limit_of_what_is_put_off_stands_above_the_signature(
    run: Run, hangar: Path, page: Page, fix: str, shown: str
) -> None:
    """A used tachometer is fitted: eight hours from what it reads would be a thousand, as `finding --fix` asks back."""
    used = ("--old", "400", "--new", "1400", "--unrecorded", "0", "--by", ADA, "--yes")
    assert run(hangar, "meter", "tach", *used, on="2026-11-20").code == 0
    made = page("stacks", "--only", "tach=1402.0")
    found = f"  - found: F1 crack, 8 mm\n    - fix: {fix}\n    - may wait because: cosmetic, no fibres broken\n"
    made.write_text(re.sub(r"(- \[x\] `stacks` .*\n)", rf"\1{found}", made.read_text(encoding="utf-8")))
    asked = "1410 h is a total, at which tach will read 2154.5; that tach reads 1410 is `by 665.5 h`. Is it right?"
    meant = fix == "by 1410 h"
    if meant:
        told = f"nothing was sealed: correct `fix: {fix}` in records/open/"
        refused(run, hangar, lambda: sign(run, hangar, typed="no"), asked, told)
    signed = run(hangar, "sign", "--as", ADA, typed=("y", ADA) if meant else (ADA,), on="2026-11-22")
    assert signed.code == 0, signed
    told = " ".join((signed.out + signed.err).split())
    assert told.count(asked) == meant
    assert f"F1: crack, 8 mm; fix: {shown}; may wait because: cosmetic, no fibres broken" in told


def test_a_limit_that_was_sealed_is_not_asked_about_again(run: Run, hangar: Path, page: Page) -> None:
    used = ("--old", "400", "--new", "1400", "--unrecorded", "0", "--by", ADA, "--yes")
    assert run(hangar, "meter", "tach", *used, on="2026-11-20").code == 0
    made = page("condition", "tach=1402.0")
    found = "  - found: F1 crack, 8 mm\n    - fix: by 1410 h\n    - may wait because: cosmetic, no fibres broken\n"
    made.write_text(re.sub(r"(- \[x\] `stacks` .*\n)", rf"\1{found}", made.read_text(encoding="utf-8")))
    early = run(hangar, "sign", "--as", ADA, "--not-passed", typed=("y", ADA), on="2026-11-22")
    assert early.code == 0, early
    again = sign(run, hangar, on="2026-11-23")
    assert again.code == 0, again
    assert "is a total" in early.out + early.err
    assert "is a total" not in again.out + again.err


def test_a_name_is_asked_of_a_signature_only_where_another_would_help(run: Run, hangar: Path, page: Page) -> None:
    page("condition", "tach=400.0")
    assert sign(run, hangar).code == 0
    (record,) = hangar.glob("records/2026/*-condition-*.yaml")
    other = run(hangar, "signature", record.stem, "--ink", "log p. 3", "--as", "Bo Cleco")
    assert (other.code, "it is by Bo Cleco" in other.err, "--as NAME" in other.err) == (1, True, False)
    work = run(hangar, "work", "--text", "tyre changed", "tach=400.0", "--by", ADA, on="2026-11-23")
    none = run(hangar, "signature", Path(work.out.split()[0]).stem, "--ink", "log p. 3")
    assert (none.code, "is not sealed" in none.err, "--as NAME" in none.err) == (1, True, False)


def test_what_is_handed_over_with_a_broken_seal_says_so(run: Run, hangar: Path, page: Page, tmp_path: Path) -> None:
    page("condition", "tach=400.0")
    assert sign(run, hangar, "--ink", "log p. 3").code == 0
    whole = run(hangar, "handover", "--to", str(tmp_path / "whole"))
    assert (whole.code, "seal" in whole.err) == (0, False)
    (record,) = hangar.glob("records/2026/*-condition-*.md")
    record.write_text(record.read_text(encoding="utf-8").replace("75 psi", "76 psi"), encoding="utf-8")
    for name, words in (("broken", ()), ("since", ("--since", "2026-11-25"))):
        told = run(hangar, "handover", "--to", str(tmp_path / name), *words)
        assert told.code == 1
        assert "A seal is broken, or a sealed record is gone: `inspect-kit verify` says which." in told.err
        assert (tmp_path / name / "index.html").exists()


def test_who_signs_later_is_told_what_stands_since(run: Run, hangar: Path, page: Page) -> None:
    """Sealed, then a crack is found: `sign` says so before the name is typed, and `signature` said nothing."""
    page("condition", "tach=400.0")
    assert sign(run, hangar).code == 0
    (record,) = hangar.glob("records/2026/*-condition-*.yaml")
    assert run(hangar, "finding", "stacks", "crack 8 mm", "--by", ADA, on="2026-11-23").code == 0
    signed = run(hangar, "signature", record.stem, "--ink", "log p. 3", on="2026-11-24")
    assert signed.code == 0, signed.err
    assert "!! to fix before flight: crack 8 mm" in signed.err
    assert "a reason on record not to fly, and this signature leaves it so" in signed.err


def test_who_signs_later_is_told_nothing_where_nothing_stands(run: Run, hangar: Path, page: Page) -> None:
    page("condition", "tach=400.0")
    assert sign(run, hangar).code == 0
    (record,) = hangar.glob("records/2026/*-condition-*.yaml")
    signed = run(hangar, "signature", record.stem, "--ink", "log p. 3", on="2026-11-24")
    assert signed.err.splitlines() == [f"It signs {record.stem}."]


def test_what_was_sealed_as_open_was_not_cleared_before_that(run: Run, hangar: Path, page: Page) -> None:
    """The page that passed said that it was made good the day before it was sealed as a discrepancy."""
    made = page("condition", "tach=400.0")
    change(made, "Exhaust stacks: cracks\n", "Exhaust stacks: cracks\n  - found: F1 crack 8 mm\n")
    assert sign(run, hangar, "--not-passed").code == 0
    cleared = "F1 crack 8 mm\n    - cleared: 2026-11-21 stack replaced; by: Ada Bellcrank\n"
    change(made, "F1 crack 8 mm\n", cleared)
    told = "F1: was sealed as open in records/2026/2026-11-22-condition-not-passed-"
    why = "is cleared on 2026-11-21: write the day"
    refused(run, hangar, lambda: sign(run, hangar, "--ink", "log p. 4"), told, why)
    change(made, "cleared: 2026-11-21", "cleared: 2026-11-22")
    assert "Sealed: " in sign(run, hangar, "--ink", "log p. 4").out
