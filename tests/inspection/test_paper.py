"""What is typed from a sheet: lines as people type them, each with what it says or why it is not taken."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.inspection.paper import Typed, as_numbers, parse_line, values_of
from inspect_kit.inspection.wanted import Wanted
from inspect_kit.text.grammar import Unreadable

PSI = tuple(Wanted(label=f"cylinder {number}", measure="psi") for number in (1, 2))
LEAKS = Wanted(label="leaks", measure="words")
MARKED = ("(f)", "[F]", "f,", "-f", "f_", "f!", "\uff46")
# What is no word for what was seen.
NO_VALUES = ("F", "X", "n.", "skipped", "not looked at", "* f chips", "found metal", "Finding: chips", "fnd chips")
TORQUE = (Wanted(label="nut", measure="in-lb"),)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("32 76 75 69 77", Typed(boxes=(31,), kind="values", words="76 75 69 77")),
        ("47 f crack 8 mm", Typed(boxes=(46,), kind="f", words="crack 8 mm")),
        ("51 n no flaps", Typed(boxes=(50,), kind="n", words="no flaps")),
        ("52 d part late", Typed(boxes=(51,), kind="d", words="part late")),
        ("33 r touched up", Typed(boxes=(32,), kind="r", words="touched up")),
        ("12 o", Typed(boxes=(11,), kind="o")),
        ("12 -", Typed(boxes=(11,), kind="-")),
        ("- 63", Typed(boxes=(62,), kind="-")),
        ("- 63 70-72, 9", Typed(boxes=(62, 69, 70, 71, 8), kind="-")),
        # As a telephone begins a word, and with what people put behind a letter.
        ("9 F metal chips", Typed(boxes=(8,), kind="f", words="metal chips")),
        ("9 D: part late", Typed(boxes=(8,), kind="d", words="part late")),
        ("9 N. no screen", Typed(boxes=(8,), kind="n", words="no screen")),
        ("9 f) metal chips", Typed(boxes=(8,), kind="f", words="metal chips")),
        ("9 O", Typed(boxes=(8,), kind="o")),
        *((f"9 {mark} chips", Typed(boxes=(8,), kind="f", words="chips")) for mark in MARKED),
        ("9 F", "box 9 `f` wants words behind it"),
        # A well of words may begin with a letter that is a word.
        ("32 f", "box 32 `f` wants words behind it"),
        ("47 f ____", "box 47 `f` wants words behind it"),
        ("63", "box 63 and nothing behind it"),
        ("", "`` is no number of a box"),
        ("x", "`x` is no number of a box"),
        ("0 o", "there is no box 0: the page has 1 to 99"),
        ("100 o", "there is no box 100: the page has 1 to 99"),
        ("٣ o", "`٣` is no number of a box"),
        ("- 9-4", "`9-4` counts backwards"),
        ("-", "wants the numbers of the boxes left empty"),
        ("- x", "`x` is no number of a box"),
        ("- 4-", "`` is no number of a box"),
        ("-4", "`-4` is no number of a box"),
    ],
)
def test_a_line(line: str, said: Typed | str) -> None:
    if isinstance(said, Typed):
        assert parse_line(line, 99) == said
    else:
        with pytest.raises(Unreadable) as refused:
            parse_line(line, 99)
        assert said in refused.value.message


@pytest.mark.parametrize(
    ("words", "wells", "values"),
    [
        ("76 75", PSI, (("cylinder 1", "76"), ("cylinder 2", "75"))),
        ("76 -", PSI, (("cylinder 1", "76"),)),
        ("76 psi 75psi", PSI, (("cylinder 1", "76"), ("cylinder 2", "75"))),
        ("76 psi; 75 psi", PSI, (("cylinder 1", "76"), ("cylinder 2", "75"))),
        ("240 in-lb", TORQUE, (("nut", "240"),)),
        ("240 in-lb 9", TORQUE, "2 values for 1 well (nut)"),
        (
            "76 75 number 3 rings",
            (*PSI, LEAKS),
            (("cylinder 1", "76"), ("cylinder 2", "75"), ("leaks", "number 3 rings")),
        ),
        ("76; 75; none", (*PSI, LEAKS), (("cylinder 1", "76"), ("cylinder 2", "75"), ("leaks", "none"))),
        ("at 3; 76; 75", (LEAKS, *PSI), (("leaks", "at 3"), ("cylinder 1", "76"), ("cylinder 2", "75"))),
        ("58 cold; 75", PSI, (("cylinder 1", "58 cold"), ("cylinder 2", "75"))),
        ("76", PSI, "1 value for 2 wells (cylinder 1, cylinder 2)"),
        ("76 75 69", PSI, "3 values for 2 wells"),
        ("76 7S", PSI, "cylinder 2: `7S` is no number"),
        ("76 75,5", PSI, (("cylinder 1", "76"), ("cylinder 2", "75.5"))),
        ("76 1,750", PSI, "cylinder 2: `1,750` is no number such as 76 or 0.3: a decimal point, as in 1.750, or no"),
        ("76 ____", PSI, "cylinder 2: `-` stands for an empty well"),
        ("76; ", PSI, "cylinder 2: `-` stands for an empty well"),
        ("7 F dark", (Wanted(label="level", measure="mm"), LEAKS), "leaks: `F dark` does not say what was seen"),
        *((words, (LEAKS,), "does not say what was seen") for words in NO_VALUES),
        ("fine, dry", (LEAKS,), (("leaks", "fine, dry"),)),
        ("makers pages, public list; none new", (LEAKS,), (("leaks", "makers pages, public list; none new"),)),
        ("76; dry; none new", (PSI[0], LEAKS), (("cylinder 1", "76"), ("leaks", "dry; none new"))),
        ("ok", (), "this box has nothing to be read"),
    ],
)
def test_values(words: str, wells: tuple[Wanted, ...], values: tuple[tuple[str, str], ...] | str) -> None:
    if isinstance(values, tuple):
        assert values_of(words, wells) == values
    else:
        with pytest.raises(Unreadable) as refused:
            values_of(words, wells)
        assert values in refused.value.message


@given(st.text(max_size=30))
def test_whatever_is_typed_is_read_or_refused(line: str) -> None:
    try:
        said = parse_line(line, 20)
    except Unreadable:
        return
    assert said.boxes
    assert all(0 <= at < 20 for at in said.boxes)


@given(st.lists(st.integers(0, 60), unique=True, min_size=1))
def test_numbers_as_they_stand_on_the_paper(boxes: list[int]) -> None:
    numbers = as_numbers(sorted(boxes))
    assert parse_line(f"- {numbers}", 61).boxes == tuple(sorted(boxes))
