"""What files were read as, kept and taken again: the same to the letter, and done without where anything is odd."""

import datetime as dt
import hashlib
import json
import os
import stat
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.due import due
from inspect_kit.errors import Place, Problem
from inspect_kit.model.finding import NOT_DONE, Result
from inspect_kit.model.interval import Limit
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.page_record import PageRecord
from inspect_kit.store import kept, kept_problems, load, pages_of_records
from inspect_kit.store.packed import NotKept, Packer, Pieces, Unpacker
from inspect_kit.store.parsing import parse
from tests.store.scratch import HOURS_TEXT, make_store

ROOT = Path(__file__).parents[2]
# The sample, every store that a test keeps, and what cannot be read: each file once.
FILES = [
    path
    for folder in (ROOT / "checklists", ROOT / "records", ROOT / "tests/stores", ROOT / "inspect_kit/starter")
    for path in sorted(folder.rglob("*"))
    if path.suffix in (".md", ".yaml")
]


def again(value: object, file: str) -> object:
    return all_again([value], [file])[0]


def all_again(values: list[object], files: list[str]) -> list[object]:
    packer = Packer()
    packed = json.loads(json.dumps(packer.pack(values, files)))
    return Unpacker(packer.classes, Pieces(Pieces.packed(packer.pieces))).unpack(packed, files)


def name_of(path: Path) -> str:
    """The name by which a store knows such a file."""
    parts = path.parts
    at = max(index for index, part in enumerate(parts) if part in ("checklists", "records"))
    return "/".join(parts[at:])


def test_every_file_at_hand_comes_back_to_the_letter() -> None:
    """Alone, and all together. `repr` tells the kind of each value and how each decimal is written; lines are compared
    beside it."""
    assert len(FILES) > 600
    names = list(map(name_of, FILES))
    every: list[object] = [
        parse(name, path.read_bytes()).facts() for name, path in zip(names, FILES, strict=True)
    ]
    alone = [again(facts, name) for facts, name in zip(every, names, strict=True)]
    for found in (alone, all_again(every, names)):
        for facts, same in zip(every, found, strict=True):
            assert repr(same) == repr(facts)
            assert lines(same) == lines(facts)


def lines(facts: object) -> object:
    """Where the keys of what is in a file stand, which no comparison and no `repr` tells."""
    assert isinstance(facts, dict)
    own = {field: dict(value.lines) for field, value in facts.items() if hasattr(value, "lines")}
    return own, [dict(check.lines) for check in facts.get("checks", ())]


@given(st.binary(max_size=300), st.sampled_from(["records/2026/x.yaml", "checklists/a/b.md", "records/open/p.md"]))
def test_what_cannot_be_read_comes_back_with_its_problems(data: bytes, name: str) -> None:
    read = parse(name, data)
    assert again(read.problems, name) == read.problems


@pytest.mark.parametrize("value", [1.5, object(), {"a": {1, 2}}, ROOT])
def test_what_has_no_form_is_not_kept(value: object) -> None:
    with pytest.raises(NotKept):
        Packer().pack([value], ["f"])


def test_only_nouns_are_made() -> None:
    for name in ("os:system", "subprocess:Popen", "inspect_kit.store.lock:Writer", "inspect_kit.modelled:X"):
        with pytest.raises(Unpacker.FAULTS):
            Unpacker([name], Pieces("")).unpack([0, 0], ["f"])


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return make_store(tmp_path / "plane")


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "cache/inspect-kit"


def state(root: Path, cache: Path | None) -> str:
    loaded = load(root, cache=cache)
    return repr((loaded.logbook, loaded.problems, loaded.broken))


def parsed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the files that are read anew from now on."""
    names: list[str] = []

    def told(name: str, data: bytes) -> object:
        names.append(name)
        return parse(name, data)

    monkeypatch.setattr("inspect_kit.store.parsing.parse", told)
    return names


def test_only_what_changed_is_read_anew(store: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cold = state(store, None)
    names = parsed(monkeypatch)
    assert state(store, cache) == cold
    assert names
    names.clear()
    assert state(store, cache) == cold
    assert names == []
    new = store / "records/2026/2026-11-29-hours-zzzz.yaml"
    new.parent.mkdir(exist_ok=True)
    new.write_bytes(HOURS_TEXT)
    assert state(store, cache) == state(store, None)
    assert set(names) >= {"records/2026/2026-11-29-hours-zzzz.yaml"}
    names.clear()
    # The same bytes under another name are another file, and so are other bytes of the same length and time.
    status = new.stat()
    new.write_bytes(HOURS_TEXT.replace(b"2026-11-20", b"2026-11-21"))
    os.utime(new, ns=(status.st_atime_ns, status.st_mtime_ns))
    assert state(store, cache) == state(store, None)


def test_it_is_private_and_written_whole(store: Path, cache: Path) -> None:
    load(store, cache=cache)
    assert stat.S_IMODE(cache.stat().st_mode) == 0o700
    files = [*cache.iterdir()]
    assert {path.suffix for path in files} == {kept.ENDING}
    assert {stat.S_IMODE(path.stat().st_mode) for path in files} == {0o600}
    assert not any(path.suffix == kept.ENDING for path in store.rglob("*"))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda path: path.write_bytes(b""),
        lambda path: path.write_bytes(path.read_bytes()[:-40]),
        lambda path: path.write_bytes(path.read_bytes().replace(b"2026", b"2027")),
        lambda path: path.chmod(0o644),
        lambda path: (path.unlink(), path.mkdir()),
        lambda path: (path.rename(path.with_suffix(".moved")), path.symlink_to(path.with_suffix(".moved"))),
        lambda path: (path.unlink(), os.mkfifo(path)),
    ],
    ids=["empty", "cut", "changed", "others may read", "a folder", "a link", "a pipe"],
)
def test_one_that_is_odd_is_done_without(store: Path, cache: Path, spoil: object) -> None:
    cold = state(store, None)
    load(store, cache=cache)
    for path in [*cache.iterdir()]:
        spoil(path)  # type: ignore[operator]
    assert state(store, cache) == cold
    assert state(store, cache) == cold


def test_one_whose_facts_are_odd_is_done_without(store: Path, cache: Path) -> None:
    """The digest of the file holds, and what stands in it is nothing that this program wrote."""
    cold = state(store, None)
    for odd in (
        ["s"],
        ["s", 7],
        ["m", [1], ["s", "nothing"], ["s", 1]],
        ["m", [1], ["s", "record"], ["s"]],
        ["m", [1], ["s", "record"], [99, 0]],
        ["m", [1], ["s", "record"], [0, 1]],
        ["m", [1], ["s", "record"], [0, 1, ["s"]]],
        ["m", [1], ["s", "record"], ["d", "x"]],
        ["m", [1], ["s", "record"], ["t", [2], ["s", 1]]],
        ["m", [1], ["s", "record"], ["g", [3], ["s", 1]]],
        ["m", [1], ["s", "record"], ["x", 1]],
        ["x"],
        [],
        7,
    ):
        load(store, cache=cache)
        for path in cache.iterdir():
            _, made_by, *blocks = path.read_bytes().split(b"\n")
            (digest, *_), (name, *_), classes, _ = json.loads(blocks[0].partition(b"\t")[0])
            body = made_by + b"\n" + json.dumps([[digest], [name], classes, odd]).encode()
            path.write_bytes(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)
        assert state(store, cache) == cold


def test_one_that_has_no_form_keeps_no_other_from_being_kept(cache: Path, store: Path) -> None:
    held = kept.Kept(cache, store)
    for number in range(9):
        facts = parse("records/2026/x.yaml", b"kind: [")
        if number == 4:
            facts = replace(facts, problems=(object(),))  # type: ignore[arg-type]
        held.keep(f"records/2026/{number}.yaml", b"", facts)
    held.write()
    again = kept.Kept(cache, store)
    found = [again.read(f"records/2026/{number}.yaml", b"") is not None for number in range(9)]
    assert found == [number != 4 for number in range(9)]


def test_many_files_are_kept_in_blocks_and_only_what_changed_is_packed_anew(cache: Path, store: Path) -> None:
    def go(numbers: range) -> tuple[int, list[str]]:
        held = kept.Kept(cache, store)
        known = 0
        for number in numbers:
            name = f"records/2026/{number}.yaml"
            read = held.read(name, b"kind: [")
            known += read is not None
            if read is None:
                held.keep(name, b"kind: [", parse(name, b"kind: ["))
            else:
                assert read == parse(name, b"kind: [")
        held.write()
        (path,) = cache.iterdir()
        return known, path.read_text().split("\n")[2:]

    _, first = go(range(2 * kept.BLOCK))
    assert len(first) == 2
    known, more = go(range(2 * kept.BLOCK + 3))
    assert known == 2 * kept.BLOCK
    assert more[:2] == first
    assert len(more) == 3
    # One is gone from the first block: the second stays as it is.
    known, fewer = go(range(1, 2 * kept.BLOCK + 3))
    assert known == 2 * kept.BLOCK + 2
    assert first[1] in fewer
    assert first[0] not in fewer
    assert go(range(1, 2 * kept.BLOCK + 3)) == (2 * kept.BLOCK + 2, fewer)


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="Windows keeps LOCALAPPDATA private by itself")
def test_a_folder_that_others_may_write_in_is_not_used(store: Path, cache: Path) -> None:
    cache.mkdir(parents=True)
    cache.chmod(0o777)
    load(store, cache=cache)
    assert [*cache.iterdir()] == []


def test_none_inside_a_store_or_through_a_link_into_one(store: Path, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(store)
    for cache in (store / "cache", store / "records/cache", link / "cache"):
        load(store, cache=cache)
        assert not cache.exists()


def test_other_code_begins_anew(store: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    load(store, cache=cache)
    names = parsed(monkeypatch)
    monkeypatch.setattr(sys, "version", "another Python")
    load(store, cache=cache)
    assert names


def test_the_code_that_counts_is_all_that_reading_reaches() -> None:
    """What reading imports of this house lies in the rooms whose source is in the key."""
    code = (
        "import sys, inspect_kit.store.parsing, inspect_kit.audit.every, inspect_kit.due.changes; "
        "import inspect_kit.due.fitting, inspect_kit.due.past_limits; "
        "print(*(name for name in sys.modules if name.startswith('inspect_kit.')))"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT).stdout
    rooms = {name.split(".")[1] for name in told.split()}
    assert rooms <= {each.removesuffix(".py") for each in kept.REACHED}


def test_it_stays_small(store: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    load(store, cache=cache)
    own = {path.name for path in cache.iterdir()}
    size = sum(path.stat().st_size for path in cache.iterdir())
    monkeypatch.setattr(kept, "LARGEST", size + 1000)
    other = make_store(store.parent / "other")
    load(other, cache=cache)
    assert sum(path.stat().st_size for path in cache.iterdir()) <= size + 1000
    assert {path.name for path in cache.iterdir()} - own, "what was written last stays"
    monkeypatch.setattr(kept, "LARGEST", 10)
    load(store, cache=cache)


def test_one_that_cannot_be_written_says_nothing(
    store: Path, cache: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cache.parent.mkdir()
    cache.write_text("a file")
    load(store, cache=cache)
    assert capsys.readouterr() == ("", "")


def test_decimals_come_back_as_they_are_written() -> None:
    place = Place("records/x.yaml", 3)
    record = Hours(name="x", date=dt.date(2026, 1, 2), place=place, meters={"tach": Decimal("1.50")})
    assert str(again(record, "records/x.yaml").meters["tach"]) == "1.50"  # type: ignore[attr-defined]
    problem = Problem(Place("elsewhere.md", 2), "is odd", "line", 1, 2, True)
    assert again(problem, "records/x.yaml") == problem


def test_where_keys_stand_is_read_only_when_somebody_asks() -> None:
    lines = {("date", ""): 3, ("meters", "tach"): 4}
    record = Hours(name="x", date=dt.date(2026, 1, 2), place=Place("records/x.yaml", 1), lines=lines)
    found = again(record, "records/x.yaml")
    assert "_lines" not in vars(found.lines)  # type: ignore[attr-defined]
    assert found.lines == lines  # type: ignore[attr-defined]
    assert "_lines" in vars(found.lines)  # type: ignore[attr-defined]


def test_results_are_made_only_when_more_is_asked_than_that_all_was_done() -> None:
    """Which checks a record did without another word is known before; of one that says more, it is not."""
    names = list(map(name_of, FILES))
    every: list[object] = [parse(name, path.read_bytes()).facts() for name, path in zip(names, FILES, strict=True)]
    many = 0
    for facts, same in zip(every, all_again(every, names), strict=True):
        record, found = facts.get("record"), same.get("record")  # type: ignore[attr-defined]
        if isinstance(record, PageRecord) and record.results:
            assert found.only_done == record.only_done
            assert "results" not in vars(found)
            assert found.results == record.results
            assert "results" in vars(found)
            many += 1
    assert many > 5


def test_what_is_due_is_found_without_making_results_that_say_no_more(tmp_path: Path) -> None:
    """An eighth of the time of 10,000 records was a question about words that such a result cannot say."""
    cache = tmp_path / "cache"
    load(ROOT, cache=cache)
    logbook = load(ROOT, cache=cache).logbook
    assert logbook is not None
    due(logbook, dt.date(2026, 11, 26))
    plain = [each for each in logbook.of_kind(PageRecord) if each.only_done]
    assert len(plain) > 2
    assert not [each.name for each in plain if "results" in vars(each)]


@pytest.mark.parametrize(
    "more",
    [
        {"answer": NOT_DONE, "reason": "no time"},
        {"good_until": dt.date(2027, 1, 1)},
        {"disturbed": ("cowl",)},
        {"repaired": ("left",)},
        {"recheck": (Limit(number=Decimal(5), unit="h"),)},
        {},
        {"reason": "asked", "took": 5, "by": "Bo", "second_look": "Cy", "paper": "7", "notes": ("wet",)},
    ],
)
def test_of_each_result_it_is_known_whether_it_says_more(more: dict[str, Any]) -> None:
    place = Place("records/x.yaml", 3)
    plain = Result(check="a", place=place)
    both = (plain, Result(check="b", place=place, **more))
    records = [Work(name="x", date=dt.date(2026, 1, 2), place=place, results=each) for each in (both, (plain,))]
    says_more = bool(more) and "took" not in more
    for found in (records, all_again([*records], ["records/x.yaml"] * 2)):
        assert [each.only_done for each in found] == [None if says_more else ("a", "b"), ("a",)]  # type: ignore[attr-defined]


def test_sealed_pages_are_read_once_and_come_back_to_the_letter(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Planning learns from what past work took: eight pages of the sample, which took twice as long as the due list."""
    loaded = load(ROOT)
    plain = pages_of_records(loaded)
    assert len(plain) >= 8
    assert repr(pages_of_records(loaded, cache)) == repr(plain)
    # What such a file is to all other commands stands beside it, and neither is taken for the other.
    assert repr(load(ROOT, cache=cache).read) == repr(loaded.read)

    def refuse(name: str, data: bytes) -> object:
        raise AssertionError(name)

    monkeypatch.setattr("inspect_kit.store.parsing.parse_page", refuse)
    assert repr(pages_of_records(loaded, cache)) == repr(plain)


def test_problems_of_all_files_are_found_anew_when_anything_changed(store: Path, cache: Path) -> None:
    """By another day, another file, a file renamed, one that cannot be taken: each asks again, and once only."""
    asked: list[str] = []

    def told(words: str, day: dt.date = dt.date(2026, 11, 20)) -> tuple[Problem, ...]:
        def find() -> tuple[Problem, ...]:
            asked.append(words)
            return (Problem(Place("records/aircraft.yaml", 3), words),)

        return kept_problems(load(store, cache=cache), day, find)

    def twice(words: str, **given: dt.date) -> None:
        asked.clear()
        assert told(words, **given) == told("never asked", **given)
        assert asked == [words]

    twice("first")
    twice("another day", day=dt.date(2026, 11, 21))
    twice("and back")
    new = store / "records/2026/2026-11-29-hours-zzzz.yaml"
    new.parent.mkdir(exist_ok=True)
    new.write_bytes(HOURS_TEXT)
    twice("another file")
    new.rename(new.with_name("2026-11-29-hours-zzzy.yaml"))
    twice("renamed")
    (store / "checklists/loose.markdown").write_text("")
    twice("one that is refused")
    asked.clear()
    kept_problems(load(store), dt.date(2026, 11, 20), lambda: asked.append("without") or ())  # type: ignore[func-returns-value]
    kept_problems(load(store), dt.date(2026, 11, 20), lambda: asked.append("without") or ())  # type: ignore[func-returns-value]
    assert asked == ["without", "without"]


def test_a_signature_judged_otherwise_counts_too(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As when this computer got a program that checks keys, or lost it."""
    asked: list[str] = []
    for _ in range(2):
        kept_problems(load(ROOT, cache=cache), dt.date(2026, 11, 20), lambda: asked.append("as it was") or ())  # type: ignore[func-returns-value]
    monkeypatch.setattr("inspect_kit.store.loading.judge", lambda *_: None)
    kept_problems(load(ROOT, cache=cache), dt.date(2026, 11, 20), lambda: asked.append("not judged") or ())  # type: ignore[func-returns-value]
    assert asked == ["as it was", "not judged"]
