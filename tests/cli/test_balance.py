"""`balance` on a tailwheel aeroplane with two tanks of different arms; every figure worked out by hand beside it."""

import json
from pathlib import Path

import pytest
import yaml

from inspect_kit.balance import unanswered
from inspect_kit.store import load
from tests.cli.conftest import Outcome, Run, entered


def figures(run: Run, store: Path, *words: str) -> dict:
    outcome = run(store, "balance", "--json", *words)
    assert (outcome.code, outcome.err) == (0, "")
    return json.loads(outcome.out)


def test_empty_weight_with_what_was_aboard_taken_off(run: Run, wren: Path) -> None:
    """400 x 20 + 404 x 20 + 54 x 220 - 4 x 42 = 8000 + 8080 + 11,880 - 168 = 27,792 lb-in over 854 lb."""
    empty = figures(run, wren)["empty"]
    assert (empty["weight"], empty["moment"]) == (854, 27792)
    assert empty["arm"] == pytest.approx(32.543325527, abs=1e-9)


def test_the_shape_of_the_json_and_nothing_else(run: Run, wren: Path) -> None:
    found = figures(run, wren)
    assert list(found) == ["format", "empty", "loadings"]
    assert found["format"] == 2
    assert list(found["empty"]) == ["weight", "arm", "moment"]
    assert all(list(each) == ["name", "weight", "arm", "inside"] for each in found["loadings"])


def test_a_loading_asked_for(run: Run, wren: Path) -> None:
    """854 + oil 15 at -24 + 170 at 42 + 150 at 70 + 10 gal at 24 + 5 gal at 66 + 12 at 92:
    27,792 - 360 + 7140 + 10,500 + 1440 + 1980 + 1104 = 49,596 lb-in over 1291 lb: 38.4167 in, within 38.5.
    The aft tank first: 30 lb at 66 leave 47,616 / 1261 = 37.761; the main tank then moves it aft to
    46,176 / 1201 = 38.448: inside all the way.
    """
    (asked,) = figures(run, wren, "--aboard", "170,150", "--fuel", "MAIN=10,Aft=5", "--baggage", "12")["loadings"]
    assert (asked["name"], asked["weight"], asked["inside"]) == ("as asked", 1291, True)
    assert asked["arm"] == pytest.approx(49596 / 1291, abs=1e-12)


def test_outside_only_when_the_fuel_is_nearly_gone(run: Run, wren: Path) -> None:
    """854 + 15 + 175 at 42 + 170 at 70 + 90 at 24: 27,792 - 360 + 7350 + 11,900 + 2160 = 48,842 over 1304: 37.455.
    After f lb from the main tank (48,842 - 24 f) / (1304 - f) = 38.5 where 14.5 f = 1362: f = 93.9 lb, more than
    there is: inside. With 15 lb on the shelf: 50,222 over 1319, 14.5 f = 559.5: f = 38.586 lb or 6.431 gal; then
    1280.4 lb at 38.50 in.
    """
    words = ("--aboard", "175,170", "--fuel", "main=15,aft=0")
    (inside,) = figures(run, wren, *words)["loadings"]
    assert inside["inside"] is True
    (outside,) = figures(run, wren, *words, "--baggage", "shelf=15")["loadings"]
    assert outside["arm"] == pytest.approx(50222 / 1319, abs=1e-12)
    assert outside["inside"] is False
    told = run(wren, "balance", *words, "--baggage", "15", "--strict")
    assert told.code == 1
    first = told.out.split("\n\n")[0].splitlines() + told.out.splitlines()[3:4]
    assert "!! OUTSIDE the limits: A, as asked, after 6.4 gal of fuel: 1280.4 lb at 38.50 in." in first


def test_the_order_of_the_tanks_matters(run: Run, wren: Path) -> None:
    """Main tank first, the same people leave the limits: 8 gal aft stay while the weight ahead goes.

    854 + 15 + 175 + 150 at 70 + 90 at 24 + 48 at 66: 27,792 - 360 + 7350 + 10,500 + 2160 + 3168 = 50,610 over 1332:
    37.995. Aft first: 47,442 / 1284 = 36.949, then 45,282 / 1194 = 37.925: inside. Main first:
    (50,610 - 24 f) / (1332 - f) = 38.5 where 14.5 f = 672: outside after 46.3 lb.
    """
    words = ("--aboard", "175,150", "--fuel", "full")
    (asked,) = figures(run, wren, *words)["loadings"]
    assert asked["weight"] == 1332
    assert asked["inside"] is True
    path = wren / "records/aircraft.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("burn: [aft, main]", "burn: [main, aft]"), encoding="utf-8")
    (asked,) = figures(run, wren, *words)["loadings"]
    assert asked["inside"] is False
    assert "after 7.7 gal of fuel" in run(wren, "balance", *words).out


def test_the_extremes_by_hand(run: Run, wren: Path) -> None:
    """Minimum fuel 115 hp / 12 = 9.5833 gal = 57.5 lb.

    Forward: lightest pilot 120 at 42, fuel in the main tank: 27,792 - 360 + 5040 + 57.5 x 24 = 33,852 over 1046.5.
    More fuel at 24 pulls it further: 90 lb: 34,632 over 1079: 32.096, the most forward of all.
    Aft: 48 lb at 66 and 9.5 at 24: 27,792 - 360 + 5040 + 3168 + 228 = 35,868 over 1046.5.
    Heaviest 1450 lb, forward first: 90 main, 220 front, 200 rear, 48 aft, and 23 lb of the shelf:
    27,792 - 360 + 2160 + 9240 + 14,000 + 3168 + 2116 = 58,116 over 1450: 40.08.
    """
    found = {each["name"]: each for each in figures(run, wren)["loadings"]}
    assert list(found)[2:] == [
        *("most forward, heaviest", "most forward, lightest", "most forward of all"),
        *("most aft, heaviest", "most aft, lightest", "most aft of all"),
    ]
    for name, weight, moment in (
        ("most forward, lightest", 1046.5, 33852),
        ("most forward of all", 1079, 34632),
        ("most aft, lightest", 1046.5, 35868),
        ("most forward, heaviest", 1450, 58116),
    ):
        assert found[name]["weight"] == weight
        assert found[name]["arm"] == pytest.approx(moment / weight, abs=1e-12)
    assert found["most forward, heaviest"]["inside"] is False


def test_equipment_since_the_weighing(run: Run, wren: Path) -> None:
    """Plus 8.4 at 14.6, less 2.0 at 50: 27,792 + 122.64 - 100 = 27,814.64 over 860.4; what came before was weighed."""
    thing = "kind: equipment\ndate: DAY\nitem: THING\nweight: AMOUNT lb\narm: PLACE in\nchange: WAY\n"

    def moved(day: str, item: str, amount: str, place: str, way: str) -> None:
        text = thing.replace("DAY", day).replace("THING", item).replace("AMOUNT", amount).replace("PLACE", place)
        entered(wren, f"{day}-{item}", text.replace("WAY", way))

    moved("2026-09-01", "radio", "8.4", "14.6", "in")
    moved("2026-09-02", "compass", "2.0", "50", "out")
    moved("2026-07-20", "propeller", "30", "-30", "in")
    moved("2026-07-25", "spinner", "3", "-33", "in")
    empty = figures(run, wren)["empty"]
    assert (empty["weight"], empty["moment"]) == (860.4, 27814.64)
    page = run(wren, "balance").out
    assert "Taken as already on the scales, because of the day of the weighing: 2026-07-25-spinner." in page
    assert page.index("2026-09-01-radio") < page.index("2026-09-02-compass")
    assert "2026-07-20-propeller" not in page
    # A day before them neither is there yet.
    assert json.loads(run(wren, "balance", "--json", on="2026-08-31").out)["empty"]["weight"] == 854


FITTED = "kind: installed\ndate: 2026-09-05\nposition: propeller\nserial: P7\n"


def test_a_fitting_that_says_nothing_of_weight_is_named(run: Run, wren: Path) -> None:
    assert run(wren, "verify").code == 0
    entered(wren, "2026-09-05-propeller", FITTED)
    told = run(wren, "verify")
    assert told.code == 1
    assert "records/2026/2026-09-05-propeller.yaml:1" in told.out
    assert "nothing says whether the empty weight changed" in told.out
    page = " ".join(run(wren, "balance").out.split())
    assert "1 fitting since the weighing does not say whether the empty weight changed: 2026-09-05-propeller." in page
    # Other questions are not the worse for it.
    assert run(wren, "due").code == 0


def test_a_part_that_went_back_into_its_place_changes_nothing(run: Run, wren: Path) -> None:
    out = FITTED.replace("installed", "removed")
    entered(wren, "2026-09-05-z-out", out)
    entered(wren, "2026-09-05-in", FITTED)
    assert unanswered(load(wren).logbook) == ()
    # Another serial, or one half that was weighed, is a change.
    entered(wren, "2026-09-05-in", FITTED.replace("P7", "P8"))
    assert len(unanswered(load(wren).logbook)) == 2
    entered(wren, "2026-09-05-in", FITTED)
    went = "item: propeller\nweight: 5 lb\narm: -12 in\nchange: out\ncame-with: [2026-09-05-z-out]\n"
    entered(wren, "2026-09-05-weight", f"kind: equipment\ndate: 2026-09-05\n{went}")
    assert [each.name for each in unanswered(load(wren).logbook)] == ["2026-09-05-in"]


def test_each_of_the_three_answers_is_one(run: Run, wren: Path) -> None:
    entered(wren, "2026-09-05-propeller", FITTED + "no change: same model\n")
    assert run(wren, "verify").code == 0
    entered(wren, "2026-09-05-propeller", FITTED)
    came = "kind: equipment\ndate: 2026-09-05\ncame-with: [2026-09-05-propeller]\n"
    entered(wren, "2026-09-05-weight", came + "no change: same model\n")
    assert run(wren, "verify").code == 0
    entered(wren, "2026-09-05-weight", came + "item: propeller\nweight: 5 lb\narm: -12 in\nchange: in\n")
    assert run(wren, "verify").code == 0


def test_a_new_weighing_answers_for_all_before_it(run: Run, wren: Path) -> None:
    entered(wren, "2026-09-05-propeller", FITTED)
    weighing = (wren / "records/2026/2026-07-25-weighing.yaml").read_text(encoding="utf-8")
    again = wren / "records/2026/2026-09-06-weighing.yaml"
    again.write_text(weighing.replace("2026-07-25", "2026-09-06"), encoding="utf-8")
    assert run(wren, "verify").code == 0


def test_what_it_came_with_must_be_a_record(run: Run, wren: Path) -> None:
    text = "kind: equipment\ndate: 2026-09-05\nno change: same\ncame-with: [a-magneto]\n"
    entered(wren, "2026-09-05-weight", text)
    told = run(wren, "due")
    assert told.code == 3
    assert told.err == (
        "records/2026/2026-09-05-weight.yaml:5: came-with: no record is called `a-magneto`\n"
        "    came-with: [a-magneto]\n                ~~~~~~~~^\n"
    )


def test_two_datums_are_told_first(run: Run, wren: Path) -> None:
    path = wren / "records/2026/2026-07-25-weighing.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("datum: front face", "datum: rear face"), encoding="utf-8")
    told = run(wren, "balance", "--aboard", "170", "--fuel", "full", "--strict")
    assert told.code == 1
    assert "The weighing counts arms from another datum (rear face of the firewall)" in told.out.splitlines()[3]


def test_without_a_weighing_and_without_limits(run: Run, hangar: Path) -> None:
    told = run(hangar, "balance")
    assert told.code == 0
    assert "No weighing is on record" in told.out
    assert json.loads(run(hangar, "balance", "--json").out) == {"format": 2, "empty": None, "loadings": []}
    assert run(hangar, "balance", "--strict").code == 1
    asked = run(hangar, "balance", "--aboard", "170", "--fuel", "full")
    assert asked.code == 2
    assert "aircraft.yaml says nothing under `balance`" in asked.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--aboard", "170"), "how much fuel? Give it by tank, `--fuel main=10,aft=10`, or `--fuel full`"),
        (("--fuel", "full"), "who is aboard? Give the seats in their order, such as --aboard 170,150"),
        (("--baggage", "30"), "who is aboard?"),
        (("--aboard", ",170", "--fuel", "full"), "nobody sits in `front`"),
        (("--aboard", "rear=170", "--fuel", "full"), "nobody sits in `front`"),
        (("--aboard", "170,170,170", "--fuel", "full"), "`170` is one seat more than the aircraft has (2)"),
        (("--aboard", "frnt=170", "--fuel", "full"), "no seat is called `frnt`; did you mean `front`?"),
        (("--aboard", "170", "--fuel", "left=10"), "no tank is called `left`: main, aft"),
        (("--aboard", "170,front=150", "--fuel", "full"), "seat `front` is named twice"),
        (("--aboard", "170 stone", "--fuel", "full"), "`stone` is no unit of a weight: lb or kg"),
        (("--aboard", "heavy", "--fuel", "full"), "expected a weight with its unit"),
        (("--aboard", "170", "--fuel", "10"), "which tank is meant by `10`? Say main=10 or aft=10"),
        (("--aboard", "170", "--fuel", "main=10 lb"), "`lb` is no unit of a volume: gal or l"),
        (("--aboard", "170", "--fuel", "full", "--baggage", "5,5"), "more than the aircraft has (1)"),
    ],
)
def test_what_was_left_out_counts_as_nothing_nowhere(run: Run, wren: Path, words: tuple[str, ...], told: str) -> None:
    outcome = run(wren, "balance", *words)
    assert outcome.code == 2
    assert told in outcome.err
    assert outcome.out == ""


def test_more_than_a_place_takes(run: Run, wren: Path) -> None:
    told = run(wren, "balance", "--aboard", "170", "--fuel", "main=16,aft=0", "--baggage", "31", "--strict")
    assert told.code == 1
    assert "shelf takes 30 lb" in told.out
    assert "main holds 15 gal" in told.out


def test_other_units_are_the_same_loading(run: Run, wren: Path) -> None:
    """77.1107029 kg are 170 lb exactly; 37.85411784 l are 10 gal."""
    words = ("--aboard", "77.1107029 kg", "--fuel", "main=37.85411784 l,aft=0")
    (metric,) = figures(run, wren, *words)["loadings"]
    assert metric["weight"] == 854 + 15 + 170 + 60


def test_nothing_is_ever_called_safe(run: Run, wren: Path) -> None:
    for words in ((), ("--aboard", "170", "--fuel", "full")):
        page = run(wren, "balance", *words).out.casefold()
        assert "safe" not in page
        assert "airworthy" not in page
        assert "ok" not in page.split()


@pytest.mark.parametrize("ending", ["html", "md", "txt"])
def test_it_is_drawn_on_every_paper(run: Run, wren: Path, tmp_path: Path, ending: str) -> None:
    target = tmp_path / f"balance.{ending}"
    assert run(wren, "balance", "--to", str(target)).code == 0
    text = target.read_text(encoding="utf-8")
    assert "Weight and balance, N0WR" in text
    drawn = text.index("Capital letters at take-off")
    assert ("<svg" in text[drawn:]) == (ending == "html")
    assert "centre of gravity, in from the datum" in text[drawn:]


def test_what_is_aboard_is_told_by_seat_and_tank_and_letters_at_one_place_are_named(run: Run, wren: Path) -> None:
    words = ("--aboard", "170,150", "--fuel", "main=10,aft=5", "--baggage", "12")
    told = " ".join(run(wren, "balance", *words).out.split())
    assert "aboard, lb" in told
    assert "seat front 170.0; seat rear 150.0; shelf 12.0; fuel main 60.0; fuel aft 30.0" in told
    # The sample's lightest crew is the same loading in both ways: E and G stand at one place.
    sample = run(Path(__file__).parents[2], "balance", on="2026-11-26").out
    assert "* is e and g; E and G" in sample


def test_status_has_it(run: Run, wren: Path) -> None:
    page = " ".join(run(wren, "status").out.split())
    assert "Empty weight 854.0 lb at 32.54 in, moment 27792.0 lb-in, 22.3 % of the mean chord" in page
    assert json.loads(run(wren, "status", "--json").out)["empty"]["weight"] == 854


class TestWeighing:
    """`weighing`: the record of the scales is asked, not written by hand."""

    BY = ("tach=24.0", "--by", "Wilma Fieldfare")
    SCALES = ("--scale", "left main=402 less 2 at 20", "--scale", "right main=406 lb less 2.0 lb at 20.0 in")
    TAIL = ("--scale", "tail=60 less 6 at 220", "--less", "spirit level=4 at 42", "--plus", "none")
    WORDS = ("--datum", "firewall", "--level", "longerons level", "--unusable-fuel", "none", "--oil", "drained")

    def test_given_and_asked_it_is_one_record(self, run: Run, wren: Path) -> None:
        """402 - 2 + 406 - 2 + 60 - 6 - 4 = 854 lb; (404 + 400) * 20 + 54 * 220 - 4 * 42 = 27792, / 854 = 32.5 in."""
        given = run(wren, "weighing", *self.SCALES, *self.TAIL, *self.WORDS, *self.BY, on="2026-11-20")
        assert given.code == 0, given.err
        assert "Empty weight 854.0 lb, at 32.5 in" in given.err
        # Enter takes the wheels, the arms and the words of the last one.
        typed = ("", "402", "2", "", "406", "2", "", "60", "6", "", "spirit level=4 at 42", "", "", "", "", "", "")
        asked = run(wren, "weighing", *self.BY, typed=typed, on="2026-11-21")
        assert asked.code == 0, asked.err
        assert "left main: its arm, in inches (Enter: 20 in)" in asked.err
        one, two = ((wren / each.out.split()[0]).read_text(encoding="utf-8") for each in (given, asked))
        told, again = (yaml.safe_load(each) for each in (one, two))
        assert [each["at"] for each in told["points"]] == ["left main", "right main", "tail"]
        assert told["aboard"] == [{"item": "spirit level", "weight": "4 lb", "arm": "42 in"}] == again["aboard"]
        assert [each.get("tare") for each in again["points"]] == ["2 lb", "2 lb", "6 lb"]
        assert (again["datum"], again["oil"]) == ("firewall", "drained")
        assert run(wren, "verify").code == 0
        # Names are parted by `and` too, as people say them.
        named = run(wren, "weighing", *self.BY, typed=("left main, right main and nose", *["9", "", "1"] * 2, "9"))
        assert "right main: the scale reads" in named.err

    @pytest.mark.parametrize(
        ("words", "told"),
        [
            ((), "has no answer: give it with --scale"),
            (("--scale", "left main=402"), "--scale: expected `left main=361.0 lb less 2.0 lb at 25.0 in`"),
            ((*SCALES, *TAIL), "`How it stood level, such as upper longerons level` has no answer: give it with --le"),
            ((*SCALES, *WORDS, "--less", "a level"), "--less: expected `spirit level=4.0 lb at 42.0 in`"),
        ],
    )
    def test_what_cannot_be_told(self, words: tuple[str, ...], told: str, run: Run, wren: Path) -> None:
        words = words if "--datum" in words or "--less" not in words else (*words, "--datum", "firewall")
        made = run(wren, "weighing", *words, *self.BY)
        assert (made.code, made.out, told in made.err) == (2, "", True), made.err


class TestWhatIsUnusualAndRight:
    """At a terminal no question gave the reason that alone was wanted: the answers were lost with it."""

    RADIO = ("equipment", "radio rack", "--direction", "in", "--came-with", "", "--by", "Wilma Fieldfare")
    HEAVY = (*RADIO, "--weight", "120 lb", "--arm", "14 in")

    def kept(self, root: Path) -> list[dict[str, object]]:
        found = sorted((root / "records").rglob("2026-11-2*.yaml"))
        return [yaml.safe_load(each.read_text(encoding="utf-8")) for each in found]

    def test_a_weighing_asks_why_once_all_else_is_told(self, run: Run, wren: Path) -> None:
        scales = ("", "452", "2", "", "456", "2", "", "70", "6", *[""] * 7)
        made = run(wren, "weighing", *TestWeighing.BY, typed=(*scales, "n/a", "a heavier engine"), on="2026-11-21")
        assert made.code == 0, made.err
        told = " ".join(made.err.split())
        assert "Not written yet, because of --scale: an empty weight of 968.0 lb where" in told
        assert "`n/a` says nothing: write it in words" in told
        assert ("because`" in told, told.count("If it is right, why")) == (False, 2)
        assert [each["because"] for each in self.kept(wren)] == ["a heavier engine"]
        assert run(wren, "verify").code == 0

    def test_what_is_not_unusual_is_not_asked(self, run: Run, wren: Path) -> None:
        made = run(wren, *self.RADIO, "--weight", "12 lb", "--arm", "14 in")
        assert (made.code, "is right" in made.err) == (0, False), made.err

    def test_who_goes_back_instead_corrects_the_slip(self, run: Run, wren: Path) -> None:
        typed = ("120 lb", "14 in", "<", "<", "12.0 lb", "")
        made = run(wren, *self.RADIO, typed=typed)
        assert made.code == 0, made.err
        (told,) = self.kept(wren)
        assert (told["weight"], told["arm"], "because" in told) == ("12.0 lb", "14 in", False)

    @pytest.mark.parametrize("way", ["typed", "given"])
    def test_the_option_says_the_same(self, way: str, run: Run, wren: Path) -> None:
        if way == "given":
            assert run(wren, *self.HEAVY, "--reason", "lead ballast box").code == 0
        else:
            assert run(wren, *self.HEAVY, typed=("lead ballast box",)).code == 0
        assert [each["because"] for each in self.kept(wren)] == ["lead ballast box"]

    def test_where_nobody_answers_the_refusal_names_the_option(self, run: Run, wren: Path) -> None:
        made = run(wren, *self.HEAVY)
        assert (made.code, made.out) == (2, ""), made
        told = " ".join(made.err.partition("inspect-kit: ")[2].split())
        assert told.startswith("nothing was written, because of weight: 120 lb is more than a tenth")
        assert ("If it is right, say why with --reason" in told, "`because`" in told) == (True, False)

    @pytest.mark.parametrize(
        ("first", "second", "told"),
        [
            (("in", "2.4 lb", "14 in", "21"), ("in", "2.4 lb", "14 in", "22"), "came in on 2026-11-21 already"),
            (("in", "2.4 lb", "14 in", "21"), ("out", "4.4 lb", "14 in", "22"), "4.4 lb goes out, 2.4 lb came in"),
            (("in", "2.4 lb", "14 in", "21"), ("out", "2.4 lb", "19 in", "22"), "it goes out at 19 in"),
            # Written down later, of a day before: what it makes doubtful stands already.
            (("out", "4.4 lb", "14 in", "22"), ("in", "2.4 lb", "14 in", "21"), "4.4 lb goes out, 2.4 lb came in"),
            (("in", "2.4 lb", "14 in", "22"), ("in", "2.4 lb", "14 in", "21"), "came in on 2026-11-21 already"),
            (("out", "2.4 lb", "14 in", "21"), ("out", "2.5 lb", "14 in", "22"), "went out on 2026-11-21 already"),
        ],
    )
    def test_whatever_is_unusual_of_two(
        self, first: tuple[str, ...], second: tuple[str, ...], told: str, run: Run, wren: Path
    ) -> None:
        def moved(what: tuple[str, ...], *typed: str) -> Outcome:
            way, weight, arm, day = what
            more = ("--direction", way, "--weight", weight, "--arm", arm, "--came-with", "", "--by", "Wilma Fieldfare")
            return run(wren, "equipment", "second radio", *more, typed=typed, on=f"2026-11-{day}")

        assert moved(first).code == 0
        again = moved(second, "it is another one")
        assert (again.code, told in " ".join(again.err.split())) == (0, True), again.err
        assert [each["because"] for each in self.kept(wren) if "because" in each] == ["it is another one"]
        assert run(wren, "verify").code == 0


@pytest.mark.parametrize(("out", "known"), [("wheel fairings", True), ("Wheel-fairing", True), ("spinner", False)])
def test_what_goes_out_by_a_name_that_is_known_again_came_in(out: str, known: bool, run: Run, wren: Path) -> None:
    """The plural had never come in, as was said, and balance counted it right."""
    more = ("--weight", "3.6 lb", "--arm", "14 in", "--came-with", "", "--by", "Wilma Fieldfare")
    came = run(wren, "equipment", "wheel fairing", "--direction", "in", *more, on="2026-11-21")
    assert came.code == 0, came
    why = ("--reason", "another one") if not known else ()
    gone = run(wren, "equipment", out, "--direction", "out", *more, *why, on="2026-11-22")
    assert gone.code == 0, gone
    said = f"No record says that {out} came in: it is taken for what was weighed"
    assert (said in " ".join((gone.out + gone.err).split())) is not known
