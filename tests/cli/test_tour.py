"""The tour goes through: the README's first command runs the whole job, and no answer is other than it must be."""

from tests.cli.conftest import Run


def test_the_tour_goes_through(run: Run) -> None:
    told = run(None, "tour")
    assert told.code == 0
    # What the plan takes in of its own is said beside it; nothing else is.
    assert all(line.startswith("Owed by this work itself, and taken in: ") for line in told.err.splitlines())
    assert "That was the whole job." in told.out
    assert "compression, cylinder 3" in told.out
    assert "This loading stays inside the limits" in told.out
