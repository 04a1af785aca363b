"""YAML as text keeps it, and the YAML that a record may not have."""

import datetime as dt
from decimal import Decimal

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.errors import Place
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.work import Work
from inspect_kit.text import fields
from inspect_kit.text.fields import Mapping, Scalar, Sequence, read_yaml, yaml_line
from inspect_kit.text.record import read_record, write_record

HEAD = "format: 1\nkind: work\ndate: 2026-05-14\n"

# What PyYAML's own resolver makes of each, measured on 6.0.3; here every one keeps its text.
TRAPS = ["12:30", "010", "08", "NO", "off", "yes", "1_000", "2024-02-30", "1e3", "0x10", ".5", "null", "~", "=", "<<"]


@pytest.mark.parametrize("written", TRAPS)
def test_a_value_keeps_its_text(written: str) -> None:
    record, source = read_record(f"{HEAD}text: {written}\n", "r.yaml")
    assert source.problems == []
    assert isinstance(record, Work)
    assert record.text == written


def test_the_resolver_would_have_changed_them() -> None:
    assert yaml.safe_load("a: 12:30") == {"a": 750}
    assert yaml.safe_load("a: 010") == {"a": 8}
    assert yaml.safe_load("on: 1") == {True: 1}
    assert yaml.safe_load("a: 1\na: 2") == {"a": 2}


def test_on_stays_a_key() -> None:
    root, problems = read_yaml("on: 1\nNO: 2\n1: 3\n", "r.yaml")
    assert problems == []
    assert root is not None
    assert [(key.text, key.line) for key, _ in root.pairs] == [("on", 1), ("NO", 2), ("1", 3)]


def test_a_serial_number_keeps_its_zeros() -> None:
    text = "format: 1\nkind: installed\ndate: 2026-05-14\nposition: engine\nserial: 00123\npart: 0x1F\n"
    record, source = read_record(text, "r.yaml")
    assert source.problems == []
    assert isinstance(record, Installed)
    assert (record.serial, record.part) == ("00123", "0x1F")


def test_hours_are_exact() -> None:
    record, _ = read_record("format: 1\nkind: hours\ndate: 2026-05-14\nmeters: {tach: 0.1, hobbs: 412.60}\n", "r.yaml")
    assert isinstance(record, Hours)
    assert record.meters["tach"] + Decimal("0.2") == Decimal("0.3")
    assert str(record.meters["hobbs"]) == "412.60"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: &x 1\nb: *x\n", "r.yaml:1: the anchor `&x` is not allowed: write the value out"),
        ("b: *x\n", "r.yaml:1: the alias `*x` is not allowed: write the value out"),
        ("a: !!binary aGk=\n", "r.yaml:1: the tag `tag:yaml.org,2002:binary` is not allowed: write the plain value"),
        ("a: ! 1\n", "r.yaml:1: the tag `!` is not allowed: write the plain value"),
        ("a: 1\nb: 2\na: 3\n", "r.yaml:3: the key `a` stands twice, first in line 1"),
        ("a: 1\n'a': 3\n", "r.yaml:2: the key `a` stands twice, first in line 1"),
        ("a: " + "[" * 50, "r.yaml:1: is nested more than 20 deep"),
        ("a: " + "[" * 100_000, "r.yaml:1: cannot be read as YAML: exceeded maximum nesting depth"),
        ("".join(f"{' ' * depth}a:\n" for depth in range(100)), "r.yaml:21: is nested more than 20 deep"),
        ("a: 1\n---\nb: 2\n", "r.yaml:2: a second document begins here; a file holds one"),
        ("a: 1\n...\n---\nb: 2\n", "r.yaml:3: a second document begins here; a file holds one"),
        ("? [a]\n: 1\n", "r.yaml:1: a key is a word, not a list or a mapping"),
        ("", "r.yaml:1: is empty: expected keys and values"),
        ("# only a remark\n", "r.yaml:1: is empty: expected keys and values"),
        ("just text\n", "r.yaml:1: expected keys and values, such as `format: 1`"),
        ("a: 'open\n", "r.yaml:2: cannot be read as YAML: found unexpected end of stream"),
        ("a: b: c\n", "r.yaml:1: cannot be read as YAML: mapping values are not allowed in this context"),
        ("a: 1\n\tb: 2\n", "r.yaml:2: cannot be read as YAML: found a tab character that violates indentation"),
        ("a: x\x00y\n", "r.yaml:1: a control character (U+0000) stands in column 5: take it out"),
        ("a: 1\nb: \x1b[2J\n", "r.yaml:2: a control character (U+001B) stands in column 4: take it out"),
        ("\ufeffa: 1\n", "r.yaml:1: a control character (U+FEFF) stands in column 1: take it out"),
        (
            "a: x\u2028y\n",
            "r.yaml:1: a line break of another kind than the rest (U+2028) stands in column 5: take it out",
        ),
        (
            "a: 1\rb: 2\n",
            "r.yaml:1: a line break of another kind than the rest (U+000D) stands in column 5: take it out",
        ),
        ("a: \ud800\n", "r.yaml:1: a control character (U+D800) stands in column 4: take it out"),
    ],
)
def test_refused_with_its_line(text: str, message: str) -> None:
    root, problems = read_yaml(text, "r.yaml")
    assert root is None
    assert [str(problem).split("\n")[0] for problem in problems] == [message]


def test_both_parsers_tell_plain_from_quoted(monkeypatch: pytest.MonkeyPatch) -> None:
    for loader in (yaml.SafeLoader, fields.LOADER):
        monkeypatch.setattr(fields, "LOADER", loader)
        root, _ = read_yaml("a: plain\nb: 'quoted'\nc: >-\n  folded\nd:\ne: [1, x]\n", "r.yaml")
        assert root == Mapping(
            (
                (Scalar("a", 1, 0), Scalar("plain", 1, 3)),
                (Scalar("b", 2, 0), Scalar("quoted", 2, 3, "'")),
                (Scalar("c", 3, 0), Scalar("folded", 3, 3, ">")),
                (Scalar("d", 5, 0), Scalar("", 5, 2)),
                (Scalar("e", 6, 0), Sequence((Scalar("1", 6, 4), Scalar("x", 6, 7)), 6, 3)),
            ),
            1,
            0,
        )


def test_a_turned_text_is_named_and_still_read() -> None:
    record, source = read_record(f"{HEAD}text: abc \u202edef\n", "r.yaml")
    assert [str(problem) for problem in source.problems] == [
        "r.yaml:4: a character that turns the direction of writing (U+202E) stands in column 11: take it out"
    ]
    assert isinstance(record, Work)
    assert "abc" in record.text


def test_crlf_is_a_line_ending_like_any_other() -> None:
    record, source = read_record(f"{HEAD}text: changed\nmeters: {{tach: 1.5}}\n".replace("\n", "\r\n"), "r.yaml")
    assert source.problems == []
    assert isinstance(record, Work)
    assert (record.text, record.meters) == ("changed", {"tach": Decimal("1.5")})


def test_a_huge_value_is_read_and_a_huge_number_is_none() -> None:
    record, source = read_record(f"{HEAD}text: {'x' * 1_000_000}\n", "r.yaml")
    assert source.problems == []
    assert isinstance(record, Work)
    assert len(record.text) == 1_000_000
    _, source = read_record(f"format: 1\nkind: hours\ndate: 2026-05-14\nmeters: {{tach: {'9' * 100_000}}}\n", "r.yaml")
    (problem,) = source.problems
    assert problem.message == f"meters.tach: expected a number such as 412.6, not `{'9' * 40}`"


pieces = st.sampled_from(
    [
        *("by", "did", "date", "found", "text", "meters", "a", "changed", "the", "and so on", "F1", "may wait because"),
        *(": ", ":", "：", "; ", "=", " = ", " ", " ", " ", " ", ", ", "\n", "- ", " #3", "|", "'", '"', "  "),
    ]
)


@settings(max_examples=300)
@given(st.lists(pieces, min_size=1, max_size=160).map("".join))
def test_a_long_text_that_the_writer_breaks_anywhere_reads_back(text: str) -> None:
    """A line that begins like a key, made by the writer's own folding, would be doubted when the record is sealed."""
    if not text.strip() or text != text.strip():
        text = f"x{text}x"
    made = Work(name="r", date=dt.date(2026, 5, 14), text=text, paper=text.replace("\n", " "), place=Place("r.yaml", 1))
    record, source = read_record(write_record(made), "r.yaml")
    assert [str(problem) for problem in source.problems] == []
    assert isinstance(record, Work)
    assert (record.text, record.paper) == (made.text, made.paper)


@settings(max_examples=80)
@given(st.lists(st.sampled_from(",: {}[]#'\"-?|>%@`!&*~\\x1=\n\t\x85\u2028\u202eé"), max_size=9).map("".join))
def test_a_line_to_be_typed_reads_back_as_what_it_says(words: str) -> None:
    line = yaml_line("leave-out", {"3": words, "4": [words, "x"]})
    assert len(line.splitlines()) == 1
    root, problems = read_yaml(f"{line}\n", "typed.yaml")
    assert problems == []
    assert root is not None
    inner = root.get("leave-out")
    assert isinstance(inner, Mapping)
    three, four = (value for _, value in inner.pairs)
    assert isinstance(three, Scalar)
    assert isinstance(four, Sequence)
    assert [three.text, *(each.text for each in four.items if isinstance(each, Scalar))] == [words, words, "x"]
