"""Bad input, through the whole program: right, or told with file and line; no traceback, no hang, no growth."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit import store
from inspect_kit.audit import audit
from tests.store.asking import acting, ask
from tests.store.corpus import ROWS, Row, checks
from tests.store.hostile import Judge, cached_readers, memory_limited, run, time_limit
from tests.store.scratch import make_store, settled

INPUTS = 150


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_the_corpus(tmp_path: Path, row: Row) -> None:
    _, name, data, line, words = row
    root = make_store(tmp_path / "store")
    (root / name).parent.mkdir(parents=True, exist_ok=True)
    (root / name).write_bytes(data)
    with time_limit():
        loaded = store.load(root)
        problems = [*loaded.problems, *(audit(loaded.logbook, None) if loaded.logbook else ())]
        answer = ask(root, "due", "--json")
    if not line and not words:
        assert problems == []
        assert answer.code == 0
        return
    found = [each for each in problems if words in each.message and (not line or each.place.line == line)]
    assert found, problems
    assert any(name in str(each) for each in found)
    assert answer.code == 3
    assert name in answer.err
    assert acting(answer.err) == []
    if answer.out:
        assert json.loads(answer.out)["problems"] != []


def test_mutations_of_the_samples_own_files(tmp_path: Path) -> None:
    """Twenty thousand and more run in `python -m tests.bench fuzz`."""

    def judge() -> None:
        faults, counts = run(tmp_path, INPUTS, seed=20261128, whole_each=100, largest=50_000)
        assert faults == []
        assert counts["inputs"] == INPUTS

    memory_limited(judge)


names = st.sampled_from(["records/2026/x.yaml", "records/open/x.md", "checklists/nose/x.md", "records/aircraft.yaml"])
words = st.sampled_from(
    [
        *("format: 1", "kind: work", "date: 2026-05-14", "---", "- [ ] `a` x", "- [x] `oil-change`", "  - every: 50 h"),
        *("did:", "text: |", "  x", "meters: {tach: 1}", "panel: a", "name: b", "zone: c", "job: condition", "```"),
        *(": ", "\t", "{", "seal:", "  sha256: " + "0" * 64),
    ]
)
lines = st.lists(st.one_of(words, st.text(max_size=12)), max_size=12).map("\n".join)
hostile_bytes = st.one_of(st.binary(max_size=300), lines.map(lambda text: text.encode("utf-8", "surrogatepass")))


@pytest.fixture(scope="module")
def judge(tmp_path_factory: pytest.TempPathFactory) -> Judge:
    return Judge(tmp_path_factory.mktemp("any"))


@settings(max_examples=60, deadline=None)
@given(name=names, data=hostile_bytes)
def test_any_bytes_at_all(judge: Judge, name: str, data: bytes) -> None:
    with cached_readers():
        assert judge.faults(name, data) == []


def test_a_thousand_checks_in_a_file(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    text = checks(b"".join(b"- [ ] `c%d` Check\n  - every: %d h\n" % (number, number) for number in range(1, 1001)))
    (root / "checklists/tail").mkdir()
    (root / "checklists/tail/many.md").write_bytes(text)
    with time_limit():
        answer = ask(root, "due", "--json")
    assert answer.code == 0
    assert len([item for item in json.loads(answer.out)["items"] if item["check"].startswith("c")]) >= 1000


def test_thousands_of_problems_are_told_in_good_time(tmp_path: Path) -> None:
    """A checklist pasted over and over: every check but the first is a problem, and each one is told once."""
    root = make_store(tmp_path / "store")
    (root / "checklists/tail").mkdir()
    (root / "checklists/tail/many.md").write_bytes(checks(b"- [ ] `a1` Check\n  - every: 50 h\n" * 12_000))
    with time_limit(20):
        answer = ask(root, "due", "--json")
    assert answer.code == 3
    assert len(json.loads(answer.out)["problems"]) == 11_999
    assert answer.err.count("the id `a1`") == 11_999


def test_many_files_are_read_in_good_time(tmp_path: Path) -> None:
    """Decades of records: three thousand."""
    root = make_store(tmp_path / "store")
    for number in range(3000):
        day = f"20{10 + number // 300:02d}-{number % 300 // 28 + 1:02d}-{number % 28 + 1:02d}"
        (root / f"records/2026/{day}-{number}.yaml").write_text(f"format: 1\nkind: work\ndate: {day}\ntext: x\n")
    with time_limit(20):
        assert len(settled(root)) == 3004
        loaded = store.load(root)
    assert loaded.logbook is not None
    assert len(loaded.logbook.records) == 3001


HEADS = (b"- [x] `oil-change` ", b"- [ ] `", b"- [", b"  - every: ", b"  - reads: ", b"- found: ", b"---\n", b"text: ")
PIECES = (b"a", b" ", b"-", b"`", b"[ ] ", b"a-", b"x, ", b"; ", b"1 to ", b"by: ", b": ", b"    - x: y\n", b"\t", b"(")


@pytest.mark.parametrize("name", ["records/open/x.md", "checklists/x.md", "records/2026/x.yaml"])
def test_long_lines_take_no_more_than_their_share(judge: Judge, name: str) -> None:
    """A pattern that backs up would need the square of the length, or more: minutes for thirty thousand characters."""
    for number, piece in enumerate(PIECES):
        for head in HEADS[number % 2 :: 2]:
            with time_limit(5):
                assert judge.faults(name, head + piece * (30_000 // len(piece))) == []
