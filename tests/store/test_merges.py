"""Two people, one aircraft: what git makes of records and pages written in several clones at once."""

import shutil
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from inspect_kit.store.verification import CURE_ADDED
from tests.store.asking import ask
from tests.store.clones import Clone, answers, clones, random_history
from tests.store.scratch import PAGE, complaints, settled

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")

BASE = b"- [ ] `oil-change` Change the oil\n\n- [ ] `baffles` Baffles: cracks\n\n- [ ] `spinner` Spinner\n"
FRONT = b"---\njob: condition\naircraft: N0TS\nbegun: 2026-11-21\nmeters: {tach: 611.2}\n---\n\n"


@pytest.mark.parametrize("seed", range(8))
def test_any_history_merges_cleanly_to_the_same_answers(tmp_path: Path, seed: int) -> None:
    """Two hundred and more of these run in `python -m tests.bench store`."""
    assert random_history(tmp_path, seed) >= 6


def with_open_page(folder: Path) -> tuple[Clone, Clone]:
    """Two clones that both have the same unfinished page, committed."""
    one, two = clones(folder, 0, number=2)
    for each in (one, two):
        (each.root / PAGE).write_bytes(FRONT + BASE)
    one.commit("a page in progress")
    two.git("checkout", "-q", "--", ".")
    assert two.merge(one).clean
    return one, two


def edit(clone: Clone, old: bytes, new: bytes, name: str = PAGE) -> None:
    path = clone.root / name
    assert old in path.read_bytes()
    path.write_bytes(path.read_bytes().replace(old, new))
    clone.commit("worked on the page")


def test_neighbours_ticked_in_two_clones_merge_line_by_line(tmp_path: Path) -> None:
    one, two = with_open_page(tmp_path)
    edit(one, b"[ ] `oil-change`", b"[x] `oil-change`")
    edit(two, b"[ ] `baffles`", b"[x] `baffles`")
    edit(two, b"[ ] `spinner` Spinner\n", b"[x] `spinner` Spinner\n  - note: repainted\n")
    assert one.merge(two).clean
    assert two.merge(one).clean
    merged = (one.root / PAGE).read_bytes()
    assert merged == (two.root / PAGE).read_bytes()
    assert merged.count(b"[x]") == 3
    assert b"  - note: repainted\n" in merged
    loaded = store.load(one.root)
    assert loaded.problems == ()


def test_the_same_check_answered_twice_is_named_by_file_and_line(tmp_path: Path) -> None:
    one, two = with_open_page(tmp_path)
    edit(one, b"Baffles: cracks\n", b"Baffles: cracks\n  - note: left one cracked\n")
    edit(two, b"Baffles: cracks\n", b"Baffles: cracks\n  - note: right one cracked\n")
    assert one.merge(two).undecided == (PAGE,)
    text = (one.root / PAGE).read_text()
    expected = [f"{PAGE}:{n}" for n, line in enumerate(text.split("\n"), 1) if line[:7] in ("<" * 7, "=" * 7, ">" * 7)]
    assert len(expected) == 3
    lines = complaints(one.root)
    assert [line.split(": ")[0] for line in lines] == expected
    assert all("a conflict was left in this file by git" in line for line in lines)
    assert b"left one cracked" in (one.root / PAGE).read_bytes()
    assert b"right one cracked" in (one.root / PAGE).read_bytes()


def test_two_findings_of_one_name_from_two_clones_are_named_and_kept(tmp_path: Path) -> None:
    """Each clone calls its first finding F1; git merges both, and nobody guesses which is meant."""
    one, two = with_open_page(tmp_path)
    edit(one, b"Change the oil\n", b"Change the oil\n  - found: F1 plug worn\n")
    edit(two, b"Spinner\n", b"Spinner\n  - found: F1 crack\n")
    assert one.merge(two).clean
    page = (one.root / PAGE).read_bytes()
    assert any("the finding F1 stands twice on this page" in line for line in complaints(one.root))
    for words in (("walk",), ("sign", "--as", "Sample Builder")):
        assert ask(one.root, *words, stdin="s\n").code == 3
    assert (one.root / PAGE).read_bytes() == page


def test_a_conflict_that_was_committed_by_mistake_is_still_named(tmp_path: Path) -> None:
    one, two = with_open_page(tmp_path)
    edit(one, b"[ ] `baffles` Baffles: cracks", b"[x] `baffles` Baffles: cracks, none")
    edit(two, b"[ ] `baffles` Baffles: cracks", b"[x] `baffles` Baffles: cracks, one")
    assert not one.merge(two).clean
    one.commit("committed in a hurry")
    assert len(complaints(one.root)) == 3


def test_two_clones_that_clear_one_finding_agree(tmp_path: Path) -> None:
    """Each by a record of its own, a third on a page: after the merge nothing is wrong, and nothing stands."""
    one, two, three = clones(tmp_path, 1)
    found = "2026-11-20-finding-k3f9#F1"
    text = "format: 1\nkind: finding\ndate: 2026-11-20\nfound: a crack\nfix: before flight\ncheck: baffles\n"
    (one.root / "records/2026/2026-11-20-finding-k3f9.yaml").write_text(text)
    one.commit("found")
    for other in (two, three):
        assert other.merge(one).clean
    for clone in (one, two):
        answer = ask(clone.root, "--on", "2026-11-30", "finding", found, "--cleared", f"welded, says {clone.who}")
        assert answer.code == 0, answer.err
        clone.commit("cleared")
    page = three.start()
    box = f"\n- [x] `{found}` a crack (baffles; fix before flight)\n  - cleared: 2026-11-30 welded\n"
    path = three.root / page
    path.write_text(path.read_text() + box)
    three.commit("cleared on the page")
    for clone in (one, two, three):
        for other in (one, two, three):
            assert clone is other or clone.merge(other).clean
    answers = [ask(clone.root, "due", "--json") for clone in (one, two, three)]
    assert {answer.err for answer in answers} == {""}
    assert len({answer.out for answer in answers}) == 1
    assert found not in answers[0].out
    again = ask(one.root, "--on", "2026-11-30", "finding", found, "--cleared", "once more", "--page", page)
    assert again.code == 2
    assert "was cleared: 2026-11-30 welded, says builder" in again.err
    # Whoever has not ticked its box yet ticks it: it is cleared by a record.
    path.write_text(path.read_text().replace("\n  - cleared: 2026-11-30 welded\n", "\n"))
    loaded = store.load(three.root)
    assert loaded.logbook is not None
    assert audit(loaded.logbook) == ()


ENTRY = "2026-11-20-hours-tach"
BY = ("--by", "Sample Builder")


def told(clone: Clone, *words: str) -> str:
    """The first line of what a command that must do what it is asked prints: what it wrote."""
    answer = ask(clone.root, "--on", "2026-11-30", *words)
    assert answer.code == 0, answer.err
    return answer.out.splitlines()[0]


@pytest.mark.parametrize("deed", ["amended", "attached"])
def test_a_record_withdrawn_in_one_clone_and_named_in_the_other(tmp_path: Path, deed: str) -> None:
    """Git merges it without a word; what names the record says so, with both ways out, and either ends it."""
    one, two = clones(tmp_path, 3, number=2)
    kept = told(one, "withdraw", ENTRY, "--text", "of another aircraft", *BY)
    one.commit("withdrawn")
    tag = tmp_path / "tag.jpg"
    tag.write_bytes(b"a tag")
    words = {"amended": ("amend", ENTRY, "tach=610.0"), "attached": ("attach", ENTRY, str(tag))}[deed]
    naming = told(two, *words, "--text", "a slip", *BY)
    two.commit(deed)
    assert one.merge(two).clean
    assert two.merge(one).clean
    for clone in (one, two):
        answer = ask(clone.root, "due", "--json")
        assert answer.code == 3
        line = 1 + (clone.root / naming).read_text().split("\n").index(f"of: {ENTRY}")
        assert answer.err.startswith(
            f"{naming}:{line}: of: `{ENTRY}` was withdrawn 2026-11-30 by Sample Builder: of another aircraft. Withdraw "
            f"this too, or put that back without its `withdrawn:` ({kept})\n"
        )
        again = ask(clone.root, "amend", ENTRY, "tach=610.1", "--text", "a slip", *BY)
        assert (again.code, "was withdrawn 2026-11-30 by Sample Builder" in again.err) == (3, True)
        # Nobody is kept from writing by it.
        assert ask(clone.root, "hours", "tach=640.0").code == 3
        assert len(list(clone.root.glob("records/2026/2026-12-31-hours-*.yaml"))) == 1
    # One withdraws the other record as well, the other one puts the first back.
    ask(one.root, "withdraw", naming, "--text", "it was withdrawn", *BY)
    assert not (one.root / naming).exists()
    whole = (two.root / kept).read_text()
    (two.root / kept).unlink()
    (two.root / f"records/2026/{ENTRY}.yaml").write_text(whole[: whole.index("withdrawn:")])
    for clone in (one, two):
        assert ask(clone.root, "verify").code == 0


def test_two_clones_that_withdraw_one_record_are_told_to_decide(tmp_path: Path) -> None:
    """For two reasons: git leaves both in one file, which is named by file and line; the record counts nowhere."""
    one, two = clones(tmp_path, 3, number=2)
    for clone in (one, two):
        kept = told(clone, "withdraw", ENTRY, "--text", f"says {clone.who}", *BY)
        clone.commit("withdrawn")
    assert not one.merge(two).clean
    assert all(line.startswith(f"{kept}:") for line in complaints(one.root))
    assert complaints(one.root)
    (one.root / kept).write_bytes((two.root / kept).read_bytes())
    one.commit("decided")
    assert complaints(one.root) == []
    assert two.merge(one).clean
    assert answers(one.root)[1:] == answers(two.root)[1:]


def test_a_clearing_withdrawn_in_one_clone_and_done_again_in_the_other(tmp_path: Path) -> None:
    """The finding itself is never withdrawn; it stands until one of the records that clear it is left."""
    one, two = clones(tmp_path, 3, number=2)
    found = "2026-11-20-finding-k3f9#F1"
    text = "format: 1\nkind: finding\ndate: 2026-11-20\nfound: a crack\nfix: before flight\ncheck: baffles\n"
    (one.root / "records/2026/2026-11-20-finding-k3f9.yaml").write_text(text)
    cleared = told(one, "finding", found, "--cleared", "welded", *BY)
    one.commit("found and cleared")
    assert two.merge(one).clean
    refused = ask(one.root, "withdraw", found.partition("#")[0], "--text", "a slip", *BY)
    assert (refused.code, "a finding is cleared" in refused.err) == (1, True)
    told(one, "withdraw", cleared, "--text", "it was not welded", *BY)
    one.commit("withdrawn")
    assert "a crack" in ask(one.root, "due").out
    told(two, "amend", Path(cleared).stem, "--text", "welded by a shop", *BY)
    two.commit("amended")
    assert one.merge(two).clean
    assert [line for line in complaints_of_audit(one) if "was withdrawn 2026-11-30" in line]
    assert "a crack" in ask(one.root, "due").out


def complaints_of_audit(clone: Clone) -> tuple[str, ...]:
    loaded = store.load(clone.root)
    assert loaded.logbook is not None
    return tuple(map(str, audit(loaded.logbook)))


def test_two_signatures_at_once_make_a_graph_that_joins(tmp_path: Path) -> None:
    one, two, three = clones(tmp_path, 1)
    first = one.sign(one.start())
    one.commit("signed")
    second = two.sign(two.start())
    two.commit("signed")
    assert three.merge(one).clean
    assert three.merge(two).clean
    both = {store.read_seal((three.root / name).read_bytes()).sha256 for name in (first, second)}  # type: ignore[union-attr]
    assert set(store.heads(settled(three.root))) == both
    third = three.sign(three.start())
    seal = store.read_seal((three.root / third).read_bytes())
    assert seal is not None
    assert set(seal.after) == both
    assert store.heads(settled(three.root)) == (seal.sha256,)
    assert complaints(three.root) == []


class TestAPageEditedElsewhereWhileItWasSigned:
    """The hard case: a page committed before `sign` moved it, edited in another clone.

    Git follows the rename and merges that edit silently into the sealed page.
    """

    def signed(self, folder: Path) -> tuple[Clone, Clone, str]:
        one, two = with_open_page(folder)
        record = one.sign(PAGE)
        one.commit("signed")
        return one, two, record

    def test_the_edit_is_found_and_not_lost(self, tmp_path: Path) -> None:
        one, two, record = self.signed(tmp_path)
        edit(two, b"Baffles: cracks\n", b"Baffles: cracks\n  - found: F1 crack, 30 mm\n    - fix: before flight\n")
        worksheet = store.worksheet_of(record)
        for here, other in ((one, two), (two, one)):
            assert here.merge(other).clean, "git merges it without a word"
            page = (here.root / worksheet).read_bytes()
            assert b"crack, 30 mm" in page
            at = page[: page.index(b"  - found")].count(b"\n") + 1
            seal = store.read_seal((here.root / record).read_bytes())
            assert seal is not None
            assert complaints(here.root) == [
                f"{worksheet}:{at}: `- found: F1 crack, 30 mm`: lines {at} to {at + 1} were added after it was sealed "
                f"on {seal.date} in {record}. {CURE_ADDED}"
            ]
            # The next command, and the next one that signs, leave it alone.
            here.hours()
            here.sign(here.start())
            assert (here.root / worksheet).read_bytes() == page
            here.git("reset", "-q", "--hard", "ORIG_HEAD")

    def test_a_tick_taken_off_elsewhere_is_found(self, tmp_path: Path) -> None:
        one, two, record = self.signed(tmp_path)
        edit(two, b"[ ] `baffles`", b"[x] `baffles`")
        assert one.merge(two).clean
        (line,) = complaints(one.root)
        assert line.startswith(
            f"{store.worksheet_of(record)}:10: the box was `[ ]` and was changed after it was sealed"
        )

    def test_where_git_does_not_follow_the_rename_the_page_stands_open_again(self, tmp_path: Path) -> None:
        one, two, record = self.signed(tmp_path)
        edit(two, b"[ ] `baffles`", b"[x] `baffles`")
        assert not two.merge(one, "--strategy=resolve").clean
        two.commit("both kept")
        assert (two.root / PAGE).exists()
        seal = store.read_seal((two.root / record).read_bytes())
        assert seal is not None
        assert complaints(two.root) == [
            f"{PAGE}: was signed on {seal.date} as {record} and changed after that: what was added stands in no "
            "record. Write it down in a new one, then take this page away"
        ]
        before = (two.root / PAGE).read_bytes()
        two.sign(two.start())
        assert (two.root / PAGE).read_bytes() == before

    def test_an_untouched_page_that_comes_back_is_known_for_signed(self, tmp_path: Path) -> None:
        """A copy of the very page that was signed is no work in progress: its bytes say so."""
        one, _, record = self.signed(tmp_path)
        (one.root / PAGE).write_bytes((one.root / store.worksheet_of(record)).read_bytes())
        assert PAGE not in settled(one.root)
        assert complaints(one.root) == []
        one.sign(one.start())
        assert not (one.root / PAGE).exists()

    def test_both_sign_the_same_page(self, tmp_path: Path) -> None:
        """Git cannot decide where the page went; both records are kept whole, and the page counts once."""
        one, two, record = self.signed(tmp_path)
        other = two.sign(PAGE)
        two.commit("signed here as well")
        one.merge(two)
        for name in (record, other):
            assert store.worksheet_of(name) in settled(one.root)
            assert name in settled(one.root)
        later, earlier = sorted((record, other), reverse=True)
        assert complaints(one.root) == [f"{later}: seals the same page as {earlier}: of one page the first counts"]


def test_line_endings_turned_by_git_are_prevented_and_named(tmp_path: Path) -> None:
    """A clone on a computer whose git turns LF into CRLF: with the attributes of a store nothing is turned."""
    one, two = clones(tmp_path, 3, number=2)
    one.sign(one.start())
    one.commit("signed")
    two.git("config", "core.autocrlf", "true")
    assert two.merge(one).clean
    assert complaints(two.root) == []
    assert answers(one.root)[0] == answers(two.root)[0]
    (two.root / ".gitattributes").unlink()
    two.commit("without attributes")
    two.git("rm", "-q", "--cached", "-r", ".")
    two.git("reset", "-q", "--hard")
    found = complaints(two.root)
    assert found
    assert all("its line endings were changed from LF to CRLF" in line for line in found), found
