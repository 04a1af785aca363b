"""SSH signatures, against the OpenSSH that is installed: PROTOCOL.sshsig and ssh-keygen(1), -Y sign and -Y verify."""

import base64
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from inspect_kit.errors import Misused, Refused
from inspect_kit.model.public_key import key_fault
from inspect_kit.store import Unchecked, check_signature, sign_with_key
from inspect_kit.store.signature import ANOTHER_KEY, NAMESPACE, OTHER_BYTES, is_signature

needs_ssh = pytest.mark.skipif(shutil.which("ssh-keygen") is None, reason="ssh-keygen is not installed")
SEALED = b"format: 1\nkind: inspection\nseal:\n  sha256: " + b"0" * 64 + b"\n"


def make_key(folder: Path, kind: str = "ed25519") -> tuple[Path, str]:
    key = folder / f"key-{kind}"
    bits = {"rsa": ["-b", "2048"], "ecdsa": ["-b", "256"]}.get(kind, [])
    comment = ["-N", "", "-C", "builder@hangar"]
    subprocess.run(["ssh-keygen", "-q", "-t", kind, *bits, *comment, "-f", str(key)], check=True)
    return key, key.with_suffix(".pub").read_text().strip()


@pytest.fixture
def key(tmp_path: Path) -> tuple[Path, str]:
    return make_key(tmp_path)


@needs_ssh
@pytest.mark.parametrize("kind", ["ed25519", "ecdsa", "rsa"])
def test_what_was_signed_is_good_for_this_key(tmp_path: Path, kind: str) -> None:
    private, public = make_key(tmp_path, kind)
    armour = sign_with_key(SEALED, private)
    assert is_signature(armour)
    assert not key_fault(public)
    assert check_signature(SEALED, armour, [public]) is None
    assert check_signature(SEALED, armour, [public.rsplit(" ", 1)[0]]) is None


@needs_ssh
def test_the_system_itself_says_the_same(key: tuple[Path, str], tmp_path: Path) -> None:
    """ssh-keygen, called by hand as its manual says, accepts the signature in our namespace and in no other."""
    private, public = key
    (tmp_path / "sig").write_text(sign_with_key(SEALED, private))
    (tmp_path / "allowed").write_text(f"somebody {public}\n")

    def verify(namespace: str, message: bytes) -> int:
        command = ["ssh-keygen", "-Y", "verify", "-f", str(tmp_path / "allowed"), "-I", "somebody"]
        rest = ["-n", namespace, "-s", str(tmp_path / "sig")]
        return subprocess.run([*command, *rest], input=message, capture_output=True, check=False).returncode

    assert verify(NAMESPACE, SEALED) == 0
    assert verify("file", SEALED) == 255
    assert verify(NAMESPACE, SEALED + b" ") == 255


@needs_ssh
def test_every_changed_byte_of_the_record_is_found(key: tuple[Path, str]) -> None:
    private, public = key
    armour = sign_with_key(SEALED, private)
    for at in range(0, len(SEALED), 11):
        changed = SEALED[:at] + bytes([SEALED[at] ^ 1]) + SEALED[at + 1 :]
        assert check_signature(changed, armour, [public]) == f"is not good: {OTHER_BYTES}"


@needs_ssh
def test_another_key_another_namespace_and_no_key_are_not_good(key: tuple[Path, str], tmp_path: Path) -> None:
    private, public = key
    armour = sign_with_key(SEALED, private)
    (tmp_path / "other").mkdir()
    _, other = make_key(tmp_path / "other")
    assert check_signature(SEALED, armour, [other]) == f"is not good: it is of this record, {ANOTHER_KEY}"
    assert check_signature(SEALED, armour, [other, public]) is None
    assert check_signature(SEALED, armour, []) == "no SSH key of this person is known"
    elsewhere = subprocess.run(
        ["ssh-keygen", "-Y", "sign", "-q", "-n", "git", "-f", str(private)],
        input=SEALED,
        capture_output=True,
        check=True,
    )
    assert check_signature(SEALED, elsewhere.stdout.decode(), [public]) == f"is not good: {OTHER_BYTES}"


@needs_ssh
def test_a_hostile_key_line_grants_nothing(key: tuple[Path, str], tmp_path: Path) -> None:
    """What stands in aircraft.yaml never becomes a second line, an option or a pattern of the allowed signers."""
    private, public = key
    armour = sign_with_key(SEALED, private)
    (tmp_path / "other").mkdir()
    _, other = make_key(tmp_path / "other")
    for line in (
        f"{other}\n* {public}",
        f"{other}\r* {public}",
        f"cert-authority {public}",
        f'namespaces="*" {public}',
        f"* {public}",
        f"# {public}",
        public.replace(" ", "  "),
        "",
    ):
        assert check_signature(SEALED, armour, [line]) is not None


@pytest.mark.parametrize(
    "text",
    ["", "none", "-----BEGIN SSH SIGNATURE-----\n-----END SSH SIGNATURE-----\n",
     "-----BEGIN PGP SIGNATURE-----\nAAAA\n-----END PGP SIGNATURE-----\n",
     "-----BEGIN SSH SIGNATURE-----\nAA AA\n-----END SSH SIGNATURE-----\n",
     "-----BEGIN SSH SIGNATURE-----\n" + "A" * 200_000 + "\n-----END SSH SIGNATURE-----\n"],
)  # fmt: skip
def test_what_is_no_signature_is_said(text: str) -> None:
    key = "ssh-ed25519 " + base64.b64encode(b"\0\0\0\x0bssh-ed25519\0\0\0 " + b"k" * 32).decode()
    assert not key_fault(key)
    assert check_signature(SEALED, text, [key]) == "is no SSH signature"


@needs_ssh
def test_a_signature_of_rubbish_is_not_good(key: tuple[Path, str]) -> None:
    rubbish = "-----BEGIN SSH SIGNATURE-----\n" + "QUJD" * 15 + "\n-----END SSH SIGNATURE-----\n"
    assert "is not good" in (check_signature(SEALED, rubbish, [key[1]]) or "")


@needs_ssh
def test_a_key_that_is_missing_or_is_none(tmp_path: Path) -> None:
    with pytest.raises(Misused, match="is no file with an SSH key"):
        sign_with_key(SEALED, tmp_path / "nowhere")
    (tmp_path / "letter").write_text("dear builder")
    (tmp_path / "letter").chmod(0o600)
    with pytest.raises(Refused, match="ssh-keygen did not sign"):
        sign_with_key(SEALED, tmp_path / "letter")


def test_without_ssh_keygen_it_is_said_and_the_rest_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert shutil.which("ssh-keygen") is None
    with pytest.raises(Refused, match=r"ssh-keygen was not found on this computer .* sign in ink instead"):
        sign_with_key(SEALED, tmp_path / "key")
    blob = b"\0\0\0\x0bssh-ed25519\0\0\0 " + b"k" * 32
    key, other = (f"ssh-ed25519 {base64.b64encode(each).decode()}" for each in (blob, blob.replace(b"k", b"j")))
    armour = in_armour(blob, NAMESPACE)
    with pytest.raises(Unchecked, match="ssh-keygen was not found on this computer"):
        check_signature(SEALED, armour, [other, key])
    # What needs no ssh-keygen to be known is known: what stands in a signature in the open, its key and its namespace.
    assert check_signature(SEALED, "good, I promise", [key]) == "is no SSH signature"
    assert check_signature(SEALED, armour, [other]) == "is not good: it was made with a key that is none of theirs"
    assert check_signature(SEALED, in_armour(blob, "git"), [key]) == "is not good: it was made for something else"
    for rubbish in ("AAAA", "QUJD", "A", "===", armour.split("\n")[1][:40]):
        text = f"-----BEGIN SSH SIGNATURE-----\n{rubbish}\n-----END SSH SIGNATURE-----\n"
        assert check_signature(SEALED, text, [key]) == "is no SSH signature"


def in_armour(key: bytes, namespace: str) -> str:
    """A signature in the form of PROTOCOL.sshsig that nobody made: magic, version, five strings after their lengths."""
    parts = (key, namespace.encode(), b"", b"sha512", b"s" * 83)
    blob = b"SSHSIG" + (1).to_bytes(4, "big") + b"".join(len(each).to_bytes(4, "big") + each for each in parts)
    text = base64.b64encode(blob).decode()
    lines = "\n".join(text[at : at + 70] for at in range(0, len(text), 70))
    return f"-----BEGIN SSH SIGNATURE-----\n{lines}\n-----END SSH SIGNATURE-----\n"


@needs_ssh
def test_an_environment_that_speaks_another_language_changes_nothing(
    key: tuple[Path, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LC_ALL", "de_DE.UTF-8")
    monkeypatch.setenv("SSH_AUTH_SOCK", os.devnull)
    assert check_signature(SEALED, sign_with_key(SEALED, key[0]), [key[1]]) is None
