"""Which signatures are signatures: the person, the kind and the key of the day of the seal, and the bytes."""

import shutil
import subprocess
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.audit import unasked
from inspect_kit.due import due
from inspect_kit.model.logbook import Logbook, Validity
from tests.store.scratch import BODY, RECORD, make_store, sign

needs_ssh = pytest.mark.skipif(shutil.which("ssh-keygen") is None, reason="ssh-keygen is not installed")
SIGNATURE = "records/2026/2026-11-28-signature.yaml"
OF = "format: 1\nkind: signature\ndate: 2026-11-28\nof: 2026-11-28-condition-seal\n"
BUILDER = "by: {name: Sample Builder, kind: repairman (experimental aircraft builder), certificate: '0000000'}\n"
TODAY_KIND = b"kind: repairman (experimental aircraft builder), certificate"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = make_store(tmp_path / "store")
    # As `sign` seals it today: with the kinds that were permitted.
    sign(root, body=BODY + b"signers: [repairman (experimental aircraft builder)]\n")
    return root


def book(root: Path) -> Logbook:
    loaded = store.load(root)
    assert loaded.logbook is not None
    return loaded.logbook


def judged(root: Path, text: str) -> tuple[bool, str]:
    """Whether the inspection counts as signed, and what is said of the signature."""
    (root / SIGNATURE).write_text(text, encoding="utf-8")
    made = book(root)
    (signature,) = made.signatures("2026-11-28-condition-seal")
    return made.is_signed("2026-11-28-condition-seal"), made.verdict(signature).words


def people(root: Path, old: bytes, new: bytes) -> None:
    path = root / "records/aircraft.yaml"
    assert old in path.read_bytes()
    path.write_bytes(path.read_bytes().replace(old, new))


@pytest.mark.parametrize("by", ["", "by: Sample Builder\n", BUILDER, "by: sample  builder\n"])
def test_ink_of_the_person_who_made_the_statement_counts(root: Path, by: str) -> None:
    assert judged(root, f"{OF}ink: log p. 4\n{by}") == (True, "signed in ink by Sample Builder, see log p. 4")


@pytest.mark.parametrize(
    ("by", "said"),
    [
        ("by: Somebody Else\n", "it is by Somebody Else, and 2026-11-28-condition-seal is by Sample Builder"),
        ("by: {name: b, kind: repairman (experimental aircraft builder), certificate: '1'}\n", "it is by b, and "),
    ],
)
def test_ink_of_anybody_else_is_no_signature(root: Path, by: str, said: str) -> None:
    counts, words = judged(root, f"{OF}ink: log p. 4\n{by}")
    assert not counts
    assert said in words


def test_a_kind_that_was_not_permitted_on_the_day_is_no_signature(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    sign(root, body=BODY + b"signers: [mechanic (airframe and powerplant)]\n")
    counts, words = judged(root, f"{OF}ink: log p. 4\n{BUILDER}")
    assert not counts
    assert "of that day named mechanic (airframe and powerplant)" in words
    # Not even when the limitations name it later.
    people(root, b"signers: [", b"signers: [mechanic (airframe and powerplant), ")
    assert not judged(root, f"{OF}ink: log p. 4\n{BUILDER}")[0]


def test_a_later_change_of_people_or_limitations_unmakes_nothing(root: Path) -> None:
    people(root, b"signers: [repairman (experimental aircraft builder)]", b"signers: [mechanic]")
    people(root, TODAY_KIND, b"kind: student, certificate")
    assert judged(root, f"{OF}ink: log p. 4\n{BUILDER}")[0]
    people(root, b"name: Sample Builder", b"name: Another Name")
    assert judged(root, f"{OF}ink: log p. 4\n{BUILDER}")[0]
    # A person who is called otherwise now signs what they sealed under the old name.
    people(root, b"name: Another Name", b"was: [Sample Builder], name: Another Name")
    assert judged(root, f"{OF}ink: log p. 4\nby: Another Name\n")[0]


def test_a_record_of_before_that_has_no_list_was_sealed_by_a_sign_that_asked(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    sign(root)
    people(root, b"signers: [repairman (experimental aircraft builder)]", b"signers: [mechanic]")
    assert judged(root, f"{OF}ink: log p. 4\n{BUILDER}")[0]


def test_a_record_sealed_anew_is_not_what_was_signed(root: Path) -> None:
    digest = store.sha256((root / RECORD).read_bytes())
    assert judged(root, f"{OF}ink: log p. 4\nsha256: {digest}\n{BUILDER}")[0]
    for name in (RECORD, RECORD.replace(".yaml", ".md")):
        (root / name).unlink()
    shutil.rmtree(root / ".inspect-kit")
    fresh = make_store(root)
    sign(fresh, body=BODY.replace(b"2026-11-28.", b"2026-11-28, truly.") + b"signers: [repairman]\n")
    counts, words = judged(fresh, f"{OF}ink: log p. 4\nsha256: {digest}\n{BUILDER}")
    assert not counts
    assert "is not what was signed: its bytes were changed since" in words or "of that day named" in words


def test_what_is_not_sealed_cannot_be_signed(root: Path) -> None:
    bare = "records/2026/2026-11-20-hours-tach.yaml"
    text = OF.replace("2026-11-28-condition-seal", "2026-11-20-hours-tach") + "ink: log p. 4\n" + BUILDER
    (root / SIGNATURE).write_text(text, encoding="utf-8")
    made = book(root)
    (signature,) = made.signatures("2026-11-20-hours-tach")
    assert (root / bare).exists()
    told = "is not sealed: only a sealed record, an amendment of one or the statement that closes a phase is signed"
    assert told in made.verdict(signature).words
    assert not made.verdict(signature).counts


@pytest.mark.parametrize(
    "text", ["signed, I promise", "-----BEGIN SSH SIGNATURE-----\nQUJD\n-----END SSH SIGNATURE-----"]
)
def test_a_text_or_a_signature_without_a_known_key_is_none(root: Path, text: str) -> None:
    counts, words = judged(root, f"{OF}{BUILDER}ssh: |\n  " + text.replace("\n", "\n  ") + "\n")
    assert not counts
    assert "no SSH key of this person is known" in words


def test_a_signature_of_before_the_day_of_what_it_signs_is_none(root: Path) -> None:
    """It was named, and the inspection counted."""
    counts, words = judged(root, f"{OF.replace('date: 2026-11-28', 'date: 2026-11-27')}ink: log p. 4\n{BUILDER}")
    assert not counts
    assert words == "it is of 2026-11-27, before 2026-11-28, the date of 2026-11-28-condition-seal"


@pytest.mark.parametrize(
    "ssh", ["signed, I promise", "-----BEGIN SSH SIGNATURE-----", '""', "[a, b]", "{key: mine}", "12"]
)
def test_ink_beside_a_signature_by_a_key_that_is_none_does_not_count(root: Path, ssh: str) -> None:
    """It is named as one of the two too many, and counted by its ink: a forged key would have been no matter."""
    counts, words = judged(root, f"{OF}{BUILDER}ink: log p. 4\nssh: {ssh}\n")
    assert not counts
    assert "no SSH key of this person is known" in words


def make_key(folder: Path, name: str) -> tuple[Path, str]:
    private = folder / name
    subprocess.run(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", "", "-f", str(private)], check=True)
    if private.stat().st_mode & 0o077:
        pytest.skip("this disk has no modes, and OpenSSH takes no key that everybody may read")
    return private, private.with_suffix(".pub").read_text(encoding="utf-8").strip()


def block(armour: str) -> str:
    return "ssh: |\n" + "".join(f"  {line}\n" for line in armour.splitlines())


@needs_ssh
def test_an_ssh_signature_is_checked_by_the_sealed_key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    private, public = make_key(tmp_path, "key")
    other, other_public = make_key(tmp_path, "other")
    root = make_store(tmp_path / "store")
    sealed_key = f', ssh: ["{public}"]}}'.encode()
    sealed = sign(root, body=BODY.replace(b'certificate: "0000000"}', b'certificate: "0000000"' + sealed_key))
    # What aircraft.yaml says later does not matter: neither another key, nor none.
    people(root, b'certificate: "0000000"', f'certificate: "0000000", ssh: "{other_public}"'.encode())
    good = OF + BUILDER + block(store.sign_with_key(sealed, private))
    assert judged(root, good) == (True, "SSH signature of Sample Builder checked: good")
    counts, words = judged(root, OF + BUILDER + block(store.sign_with_key(sealed, other)))
    assert not counts
    assert "SSH signature of Sample Builder: is not good" in words
    # Ink beside it makes neither of them better.
    assert judged(root, f"{good}ink: log p. 4\n") == (True, "signed in ink by Sample Builder, see log p. 4")
    assert not judged(root, OF + BUILDER + "ink: log p. 4\n" + block(store.sign_with_key(sealed, other)))[0]
    counts, words = judged(root, OF + BUILDER + block(store.sign_with_key(sealed + b"\n", private)))
    assert not counts
    assert "is not good" in words
    # Without ssh-keygen nothing is known against it: it counts, and says that nobody checked it here.
    (root / SIGNATURE).write_text(good, encoding="utf-8")
    monkeypatch.setenv("PATH", str(tmp_path / "nowhere"))
    made = book(root)
    (signature,) = made.signatures("2026-11-28-condition-seal")
    verdict = made.verdict(signature)
    assert verdict.validity is Validity.UNCHECKED
    assert verdict.words.startswith("signature not checked on this computer")
    assert made.is_signed("2026-11-28-condition-seal")
    item = due(made, made.records[-1].date).item("condition")
    assert item is not None
    assert verdict.words in [line.text for line in item.lines]


@needs_ssh
def test_a_former_key_of_a_record_without_one_is_kept_in_a_list(tmp_path: Path) -> None:
    old, old_public = make_key(tmp_path, "old")
    _, new_public = make_key(tmp_path, "new")
    root = make_store(tmp_path / "store")
    sealed = sign(root)
    text = OF + BUILDER + block(store.sign_with_key(sealed, old))
    people(root, b'certificate: "0000000"', f'certificate: "0000000", ssh: "{new_public}"'.encode())
    assert not judged(root, text)[0]
    people(root, f'ssh: "{new_public}"'.encode(), f'ssh: ["{new_public}", "{old_public}"]'.encode())
    assert judged(root, text)[0]


AMENDMENT = "records/2026/2026-11-28-amendment.yaml"
AMENDED = (
    "format: 1\nkind: amendment\ndate: 2026-11-28\nof: 2026-11-28-condition-seal\n"
    "instead: {meters: {tach: 611.4}}\ntext: a slip\nby: Sample Builder\n"
)


@pytest.mark.parametrize(
    ("by", "pending"),
    [
        (BUILDER, False),
        ("by: Sample Builder\n", False),
        ("by: {name: Otto, kind: repairman (experimental aircraft builder), certificate: '9'}\n", False),
        ("by: {name: Otto, kind: student, certificate: '9'}\n", True),
        ("by: Otto\n", True),
        ("", False),
    ],
)
def test_an_amendment_is_signed_by_whoever_the_limitations_permit(root: Path, by: str, pending: bool) -> None:
    (root / AMENDMENT).write_text(AMENDED, encoding="utf-8")
    assert [each.name for each in book(root).pending()] == ["2026-11-28-amendment"]
    text = OF.replace("2026-11-28-condition-seal", "2026-11-28-amendment") + "ink: log p. 5\n" + by
    (root / SIGNATURE).write_text(text, encoding="utf-8")
    assert [each.name for each in book(root).pending()] == (["2026-11-28-amendment"] if pending else [])


@pytest.mark.parametrize(
    ("kind", "number", "counts", "noted"),
    [
        ("repairman (experimental aircraft builder)", "0000000", True, ""),
        ("repairman (experimental aircraft builder)", "0000007", False, "the number of Sample Builder is 0000007 here"),
        ("repairman (experimental aircraft builder)", "000 0000", True, ""),
        # People hold more than one certificate; that both have one number may be a slip.
        ("mechanic (airframe and powerplant)", "1111111", True, ""),
        ("mechanic (airframe and powerplant)", "0000000", True, "0000000 is the number of Sample Builder as repairman"),
    ],
)
def test_an_amendment_is_signed_under_the_number_that_stands_in_it(
    root: Path, kind: str, number: str, counts: bool, noted: str
) -> None:
    permits = b"signers: [repairman (experimental aircraft builder)"
    people(root, permits, permits + b", mechanic (airframe and powerplant)")
    (root / AMENDMENT).write_text(AMENDED.replace("by: Sample Builder\n", BUILDER), encoding="utf-8")
    by = f"by: {{name: Sample Builder, kind: {kind}, certificate: '{number}'}}\n"
    text = OF.replace("2026-11-28-condition-seal", "2026-11-28-amendment") + "ink: log p. 5\n" + by
    (root / SIGNATURE).write_text(text, encoding="utf-8")
    made = book(root)
    assert made.is_signed("2026-11-28-amendment") is counts
    told = [each for each in unasked(made) if each.place.file == SIGNATURE]
    assert [each.note for each in told] == ([True] if noted else [])
    assert not noted or noted in told[0].message


def test_an_amendment_changed_after_it_was_signed_waits_again(root: Path) -> None:
    (root / AMENDMENT).write_text(AMENDED, encoding="utf-8")
    digest = store.sha256(AMENDED.encode())
    text = OF.replace("2026-11-28-condition-seal", "2026-11-28-amendment")
    text += f"ink: log p. 5\nsha256: {digest}\n{BUILDER}"
    (root / SIGNATURE).write_text(text, encoding="utf-8")
    assert book(root).pending() == ()
    (root / AMENDMENT).write_text(AMENDED.replace("611.4", "600.4"), encoding="utf-8")
    assert [each.name for each in book(root).pending()] == ["2026-11-28-amendment"]


@pytest.mark.parametrize(
    ("old", "new", "own"),
    [
        ("", "", True),
        ("registration: N0TS", "registration: N0XX", False),
        ("make: Turnstone", "make: Dunlin", False),
        ('serial: "001"', 'serial: "002"', False),
        # A model is called otherwise after a change of it; the aircraft is the same.
        ("model: TS-2", "model: TS-2A", True),
    ],
)
@pytest.mark.parametrize("kind", ["kind: work\ndid: [oil-change]\nby: Sample Builder\n", None])
def test_a_record_of_another_aircraft_never_counts(
    tmp_path: Path, kind: str | None, old: str, new: str, own: bool
) -> None:
    root = make_store(tmp_path / "store")
    whose = 'aircraft: {registration: N0TS, make: Turnstone, model: TS-2, serial: "001"}\n'.replace(old, new, 1)
    text = f"format: 1\ndate: 2026-11-28\nmeters: {{tach: 611.2}}\n{whose}"
    inspection = "kind: inspection\ninspection: condition\noutcome: passed\nbasis: part 43 appendix D\nstatement: s\n"
    (root / "records/2026/2026-11-28-one.yaml").write_text(text + (kind or inspection + BUILDER), encoding="utf-8")
    loaded = store.load(root)
    assert loaded.logbook is not None
    there = any(record.name == "2026-11-28-one" for record in loaded.logbook.records)
    messages = [problem.message for problem in loaded.problems]
    told = [each for each in messages if "this aircraft is N0TS, Turnstone serial 001" in each]
    assert (there, len(told)) == (own, 0 if own else 1)
    assert all("it does not count" in each and "`was: [" in each for each in told)
