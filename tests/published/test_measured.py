"""What is reckoned from readings, against published figures: from a checklist and `work` to the record.

Each names its source; "from memory" where the text was not at hand when this was written. Answers worked by hand.
"""

from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.model.finding import Reading
from inspect_kit.model.kinds.work import Work
from tests.cli.conftest import Run, calm, hangar, run  # noqa: F401 - fixtures

FOUND = ("--found", "measured=out of its limit")


def measured(run: Run, root: Path, keys: str, *read: str, found: bool = False) -> dict[str, Reading]:  # noqa: F811
    """The readings of the record that `work` writes of a check with these keys."""
    floor = root / "checklists/cabin/floor.md"
    lines = "".join(f"  - {line.strip()}\n" for line in keys.strip().splitlines())
    floor.write_text(floor.read_text() + f"- [ ] `measured` Measured\n  - every: 50 h\n{lines}")
    words = [word for each in read for word in ("--read", each)]
    told = run(root, "work", "measured", "--by", "Ada Bellcrank", *words, *(FOUND if found else ()), on="2026-11-20")
    assert told.code == 0, told.err
    logbook = store.load(root).logbook
    assert logbook is not None
    assert not logbook.problems
    return {each.label: each for each in logbook.of_kind(Work)[-1].readings}


COMPRESSION = "reads: cylinder 1, psi, at least 60"


def test_compression_60_of_80_passes_and_59_does_not(run: Run, hangar: Path) -> None:  # noqa: F811
    """AC 43.13-1B, 8-14: with 80 psi a loss *in excess of* 25 % makes a cylinder suspect: 80 x 0.75 = 60."""
    assert not measured(run, hangar, COMPRESSION, "cylinder 1=60")["cylinder 1"].out_of_limits
    told = run(hangar, "work", "measured", "--by", "Ada Bellcrank", "--read", "cylinder 1=59", on="2026-11-21")
    assert (told.code, "cylinder 1 is 59 psi, the limit is at least 60" in told.err) == (2, True)


def test_a_torque_wrench_with_an_adapter(run: Run, hangar: Path) -> None:  # noqa: F811
    """US Army general aircraft manual, as quoted in the handbook: 300 in-lb, wrench 10 in, adapter 4 in: set 214.

    T = 214 x (10 + 4) / 10 = 299.6. Run-on torque is added to the wanted one (AC 43.13-1B, chapter 7): with 12 in-lb
    of drag and no adapter a setting of 312 leaves 300.
    """
    keys = """
    reads: setting, in-lb
    reads: drag, in-lb
    reckons: bolt, in-lb, 290 to 310 = torque of setting, drag, 10 in, 4 in
    reckons: bolt without adapter, in-lb = torque of setting, drag, 10 in, 0 in
    """
    found = measured(run, hangar, keys, "setting=214", "drag=0")
    assert (found["bolt"].value, found["bolt"].reckoned) == ("299.6", "214 in-lb x (10 + 4) / 10 - 0 in-lb of drag")
    again = ("--read", "setting=312", "--read", "drag=12", "--found", "measured=tightened too far")
    assert run(hangar, "work", "measured", "--by", "Ada Bellcrank", *again, on="2026-11-21").code == 0
    record = store.load(hangar).logbook.of_kind(Work)[-1]  # type: ignore[union-attr]
    assert {each.label: each.value for each in record.readings}["bolt without adapter"] == "300"


def test_a_deflection_by_its_chord(run: Run, hangar: Path) -> None:  # noqa: F811
    """d = 2 R sin(angle / 2): at a radius of 12 in 30 degrees are 24 x sin 15 = 24 x 0.258819 = 6.21166 in."""
    keys = "reads: up, in\nreckons: elevator up, deg, 29 to 31 = chord of up, 12 in"
    found = measured(run, hangar, keys, "up=6.21166")["elevator up"]
    assert (found.value, found.reckoned) == ("30", "2 x arcsin(6.21166 in / (2 x 12 in))")


def test_a_battery_by_the_ampere_hours_it_gave(run: Run, hangar: Path) -> None:  # noqa: F811
    """Makers' documents, as quoted in the handbook: 38 Ah delivered of 42 rated are 90 %; 38 / 42 = 0.90476."""
    keys = "reads: load, A\nreads: time, h\nreckons: capacity, %, at least 80 = capacity of load, time, 42 Ah"
    found = measured(run, hangar, keys, "load=4", "time=9.5")["capacity"]
    assert (found.value, found.measure, found.reckoned) == ("90.48", "%", "4 A x 9.5 h = 38 Ah; 38 / 42 Ah")


@pytest.mark.parametrize(
    ("least", "seconds", "passes"), [("22.5", "160.0", True), ("22.5", "160.1", False), ("18.75", "192.0", True)]
)
def test_fuel_flow_by_timing(run: Run, hangar: Path, least: str, seconds: str, passes: bool) -> None:  # noqa: F811
    """Former 14 CFR 23.955: 150 % of a take-off consumption of 15.0 gal/h by gravity is 22.5 gal/h, 1 gal in 160.0 s;
    125 % with a pump is 18.75 gal/h, 1 gal in 192.0 s. 3600 / 160.1 = 22.486."""
    keys = f"reads: fuel, gal\nreads: time, s\nreckons: flow, gal/h, at least {least} = flow of fuel, time"
    found = measured(run, hangar, keys, "fuel=1", f"time={seconds}", found=not passes)["flow"]
    assert found.out_of_limits is not passes
    assert found.reckoned == f"1 gal x 3600 / {seconds} s"


@pytest.mark.parametrize(
    ("bearing", "radial", "error", "ground", "air"),
    [
        ("94", "90", "4", True, True),
        ("95", "90", "5", False, True),
        ("357", "1", "-4", True, True),
        ("7", "1", "6", False, True),
        ("8", "1", "7", False, False),
    ],
)
def test_the_error_of_a_vor_receiver(
    run: Run,  # noqa: F811
    hangar: Path,  # noqa: F811
    bearing: str,
    radial: str,
    error: str,
    ground: bool,
    air: bool,
) -> None:
    """14 CFR 91.171(b): at most plus or minus 4 degrees on the ground, 6 degrees airborne; round north as well."""
    keys = """
    reads: bearing, deg
    reads: radial, deg
    reckons: on the ground, deg, -4 to 4 = deviation of bearing, radial
    reckons: airborne, deg, -6 to 6 = deviation of bearing, radial
    """
    found = measured(run, hangar, keys, f"bearing={bearing}", f"radial={radial}", found=not ground)
    assert found["on the ground"].value == error
    assert (not found["on the ground"].out_of_limits, not found["airborne"].out_of_limits) == (ground, air)


def test_a_compass_swing(run: Run, hangar: Path) -> None:  # noqa: F811
    """A worked example, as quoted in the handbook: N 359/3, E 91/85, S 178/170, W 267/265 (magnetic/compass) give
    deviations of -4, 6, 8 and 2, B = (6 - 2) / 2 = 2 and C = (-4 - 8) / 2 = -6."""
    read = {"N": ("359", "3"), "E": ("91", "85"), "S": ("178", "170"), "W": ("267", "265")}
    keys = "".join(f"reads: {at} magnetic, deg\nreads: {at} compass, deg\n" for at in read)
    keys += "".join(f"reckons: {at}, deg, -10 to 10 = deviation of {at} magnetic, {at} compass\n" for at in read)
    keys += "reckons: B, deg = coefficient of E magnetic, E compass, W magnetic, W compass\n"
    keys += "reckons: C, deg = coefficient of N magnetic, N compass, S magnetic, S compass\n"
    said = [f"{at} magnetic={both[0]}" for at, both in read.items()] + [
        f"{at} compass={both[1]}" for at, both in read.items()
    ]
    found = measured(run, hangar, keys, *said)
    assert [found[at].value for at in "NESWBC"] == ["-4", "6", "8", "2", "2", "-6"]
    assert found["C"].reckoned == "(-4 - 8) / 2"

