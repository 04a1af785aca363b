"""Words looked for in the texts of a store: what has all of them, what comes first, and on which line."""

from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.text.searching import NAME, PARTS, VALUE, WORDS, plain_words, search

COWL = """\
---
panel: cowl
name: Upper cowling
zone: nose
---
# Upper cowling

Hangs on two pins.

- [ ] `stacks` Exhaust stacks: cracks
  - every: 50 h
- [ ] `muff` Éxhaust muff
  - after: stacks
"""
AIRCRAFT = """\
format: 1
positions:
  magneto-left: {on: engine}
people:
  - {name: Zoë Rivet, kind: pilot}
"""
OLD = "format: 1\nkind: removed\ndate: 2019-05-01\nposition: magneto-left\nserial: A-4711\n"
NEW = "format: 1\nkind: installed\ndate: 2024-05-01\nposition: magneto-left\nserial: B-12\ntext: instead of A-4711\n"
FILES = {
    "checklists/nose/cowl.md": COWL,
    "records/aircraft.yaml": AIRCRAFT,
    "records/2019/2019-05-01-magneto-k3f9.yaml": OLD,
    "records/2024/2024-05-01-magneto-p7wq.yaml": NEW,
}


def places(*words: str) -> list[str]:
    return [f"{hit.place.file.rsplit('/', 1)[-1]}:{hit.place.line} {hit.rank}" for hit in search(FILES, words)]


def test_an_id_comes_before_what_only_names_it() -> None:
    assert places("stacks") == [f"cowl.md:10 {NAME}", f"cowl.md:13 {VALUE}"]


def test_all_words_in_any_order_without_capitals_and_accents() -> None:
    assert places("MUFF", "exhaust") == places("exhaust", "muff") == [f"cowl.md:12 {NAME}"]
    assert places("pins", "two") == [f"cowl.md:8 {WORDS}"]
    assert places("zoe rivet") == places("Zoë", "RIVET") == [f"aircraft.yaml:5 {NAME}"]
    assert places("stacks", "pilot") == []


def test_a_serial_comes_first_where_the_part_is_called_so_then_where_words_name_it() -> None:
    assert places("a-4711") == [f"2019-05-01-magneto-k3f9.yaml:5 {NAME}", f"2024-05-01-magneto-p7wq.yaml:6 {WORDS}"]


def test_what_has_the_words_in_its_name_comes_before_what_only_says_them() -> None:
    """`find oil` began with stains, "before any washing, oil, fuel", and had sixty flights before the oil change."""
    boxes = "- [ ] `stains` Stains: before washing, oil, fuel\n- [ ] `oil-change` Oil change: warm\n"
    files = {
        "checklists/nose/a.md": f"# A\n{boxes}",
        "records/2026/2026-01-01-hours-k3f9.yaml": "format: 1\nkind: hours\nadded: {oil: 1 qt}\n",
        "records/2025/2025-01-01-oil-change-p7wq.yaml": "format: 1\nkind: work\ndid: [oil-change]\n",
        "records/2024/2024-01-01-stock-p7wq.yaml": "format: 1\nitem: oil\n",
    }
    found = [each.place.file.rpartition("-")[2] + f" {each.rank}" for each in search(files, ["oil"])]
    assert found[:2] == [f"p7wq.yaml {NAME}", f"checklists/nose/a.md {NAME}"]
    assert [each.title for each in search(files, ["oil"])][1:3] == ["oil-change", "2025-01-01-oil-change-p7wq"]
    assert {each.title: each.rank for each in search(files, ["oil"])}["stains"] == VALUE


def test_the_newest_first_and_what_has_no_date_is_of_today() -> None:
    assert places("magneto-left") == [
        f"aircraft.yaml:3 {NAME}",
        f"2024-05-01-magneto-p7wq.yaml:4 {NAME}",
        f"2019-05-01-magneto-k3f9.yaml:4 {NAME}",
    ]


def test_parts_of_words_come_last() -> None:
    assert places("crack") == [f"cowl.md:10 {PARTS}"]
    # Of a serial that is short every other line has the parts.
    assert places("b-47") == places("in-12") == []
    assert places("b-12") == [f"2024-05-01-magneto-p7wq.yaml:5 {NAME}"]


def test_a_record_by_its_own_name() -> None:
    assert [each.partition(" ")[2] for each in places("2019-05-01-magneto-k3f9")] == [NAME]


def test_nothing_asked_is_nothing_found() -> None:
    assert search(FILES, ()) == search(FILES, (" ", "--")) == ()


@given(st.sampled_from(list(FILES)), st.data())
def test_every_word_of_every_line_is_found_on_a_line_that_has_it(file: str, data: st.DataObject) -> None:
    lines = [line for line in FILES[file].split("\n") if plain_words(line)]
    word = data.draw(st.sampled_from(plain_words(data.draw(st.sampled_from(lines))).split()))
    found = [hit for hit in search(FILES, (word,)) if hit.place.file == file]
    assert found
    for hit in found:
        said = FILES[file].split("\n")[(hit.place.line or 0) - 1]
        assert word in plain_words(said)
