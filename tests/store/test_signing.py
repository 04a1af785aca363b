"""Signing through the command: whatever stands on the page is sealed whole, and what is sealed can be read for good."""

import re
import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit import store
from tests.store.asking import acting, ask
from tests.store.scratch import PAGE, WORKSHEET_TEXT, complaints, make_store
from tests.store.test_killed_commands import SIGNER, all_ticked, can_be_signed

words = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("signing")


def signed(root: Path) -> list[Path]:
    return sorted((root / "records/2026").glob("*-condition*.yaml"))


def sign(root: Path, *more: str) -> tuple[int, str]:
    answer = ask(root, "sign", "--as", SIGNER, *more, stdin=f"{SIGNER}\n")
    assert acting(answer.out + answer.err) == []
    return answer.code, answer.err


@settings(max_examples=120, deadline=None)
@given(note=words, found=words, reason=words)
def test_any_words_on_a_page_are_sealed_or_refused(folder: Path, note: str, found: str, reason: str) -> None:
    """Refused with a reason and nothing written, or sealed, and then everything can be read and every seal is whole."""
    shutil.rmtree(folder, ignore_errors=True)
    root = make_store(folder)
    can_be_signed(root)
    page = WORKSHEET_TEXT.decode().replace("8 mm", found).replace("stop-drilled", reason)
    page = page.replace("Change the oil\n", f"Change the oil\n  - note: {note}\n")
    (root / PAGE).write_bytes(page.encode())
    before = store.read_settled(root).files
    code, said = sign(root)
    if code != 0:
        assert code in (1, 3)
        assert store.read_settled(root).files == before or "named" in said
        return
    assert complaints(root) == []
    assert ask(root, "verify").code == 0
    (record,) = signed(root)
    worksheet = root / store.worksheet_of(str(record.relative_to(root)))
    assert worksheet.read_bytes() == page.encode()
    assert ask(root, "report").code == 0


@pytest.mark.parametrize("ending", [b"\n", b"\r\n"])
def test_line_endings_of_a_page_live_through_walk_finding_and_signature(tmp_path: Path, ending: bytes) -> None:
    root = make_store(tmp_path / "store")
    can_be_signed(root)
    (root / PAGE).write_bytes((root / PAGE).read_bytes().replace(b"\n", ending))
    assert ask(root, "walk", stdin="o\n" * 8).code == 0
    assert (
        ask(root, "finding", "oil-change", "plug worn", "--fix", "by 2027-03-01", "--reason", "seals well").code == 0
    )
    page = (root / PAGE).read_bytes()
    assert b"plug worn" in page
    assert page.count(b"[x]") == 4
    lone = re.sub(re.escape(ending), b"", page)
    assert b"\n" not in lone
    assert b"\r" not in lone
    assert sign(root)[0] == 0
    (record,) = signed(root)
    assert (root / store.worksheet_of(str(record.relative_to(root)))).read_bytes() == page
    assert complaints(root) == []


def test_a_page_that_changes_while_the_statement_is_read_is_not_signed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The signer sees the statement, somebody else saves the page, then the name is typed."""
    from inspect_kit.cli import signing

    root = make_store(tmp_path / "store")
    all_ticked(root)
    prompt = signing.click.prompt

    def save_meanwhile(*words: object, **options: object) -> object:
        path = root / PAGE
        path.write_bytes(path.read_bytes().replace(b"[x] `baffles`", b"[ ] `baffles`"))
        return prompt(*words, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(signing.click, "prompt", save_meanwhile)
    code, said = sign(root)
    assert code == 3
    assert "was changed by somebody else since it was read" in said
    assert signed(root) == []
    assert (root / PAGE).exists()


def test_the_newest_signature_cannot_vanish_once_anything_else_was_entered(tmp_path: Path) -> None:
    """Through the commands: signed, a reading entered, then record and page taken away, as in a fresh clone."""
    root = make_store(tmp_path / "store")
    all_ticked(root)
    assert sign(root)[0] == 0
    assert ask(root, "hours", "tach=613.0").code == 0
    assert ask(root, "verify").code == 0
    (record,) = signed(root)
    record.unlink()
    record.with_suffix(".md").unlink()
    shutil.rmtree(root / ".inspect-kit")
    answer = ask(root, "verify")
    assert answer.code in (1, 3)
    assert "came after a sealed record that is gone or changed" in answer.err


def test_verify_says_no_to_a_broken_seal(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    all_ticked(root)
    assert sign(root)[0] == 0
    (record,) = signed(root)
    record.write_bytes(record.read_bytes().replace(b"tach: 611.2", b"tach: 511.2"))
    answer = ask(root, "verify")
    assert answer.code in (1, 3)
    assert "its bytes were changed" in answer.err
    assert "NOT GOOD" in answer.out
