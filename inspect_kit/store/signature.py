"""Signatures with an SSH key, made and checked by the system's own ssh-keygen (PROTOCOL.sshsig of OpenSSH).

What is signed is the bytes of a sealed record, seal included, in a namespace of this tool's own, so that a signature
made for anything else is none here. Whose key it may be stands in aircraft.yaml: `ssh: "ssh-ed25519 AAAA..."` of a
person. It shows who held the key; it claims no authority's acceptance.
"""

import contextlib
import functools
import os
import re
from collections.abc import Iterable
from pathlib import Path

from inspect_kit.errors import Misused, Refused
from inspect_kit.model.public_key import public_key

NAMESPACE = "sealed-record@inspect-kit"
# The person is known by the keys we hand over; the name itself never reaches the command line.
PRINCIPAL = "signer"
_ARMOUR = r"-----BEGIN SSH SIGNATURE-----\n(?:[A-Za-z0-9+/=]{1,100}\n){1,200}-----END SSH SIGNATURE-----\n?"
MISSING = "ssh-keygen was not found on this computer (it comes with OpenSSH)"
UNANSWERED = "ssh-keygen did not answer"
LONGEST = 60


def is_signature(text: str) -> bool:
    """Whether a text is an armoured SSH signature."""
    return re.fullmatch(_ARMOUR, text.strip() + "\n") is not None


def refuse_no_key(key: Path) -> None:
    """Misused if there is no such key."""
    if not key.is_file():
        raise Misused(f"{key} is no file with an SSH key: give the private key's, or sign in ink (--ink)")


def sign_with_key(sealed: bytes, key: Path) -> str:
    """Sign the bytes of a sealed record with a private key (or the public one of a key that the agent holds).

    ssh-keygen asks for a passphrase itself. Returns the armoured signature; Misused if there is no such key,
    Refused if ssh-keygen is missing or does not sign.
    """
    import shutil
    import subprocess

    program = shutil.which("ssh-keygen")
    if program is None:
        raise Refused(f"{MISSING}; sign in ink instead and write down the page of the logbook")
    refuse_no_key(key)
    # Without a name of a file ssh-keygen reads standard input and writes the signature to standard output.
    done = subprocess.run(
        [program, "-Y", "sign", "-q", "-n", NAMESPACE, "-f", str(key.absolute())],
        input=sealed,
        capture_output=True,
        check=False,
        env={**os.environ, "LC_ALL": "C"},
    )
    armour = done.stdout.decode("ascii", "replace").replace("\r\n", "\n")
    if done.returncode != 0 or not is_signature(armour):
        raise Refused(f"ssh-keygen did not sign with {key}: {_said(done.stderr)}")
    return armour


class Unchecked(Exception):
    """A signature that this computer cannot check; str() says why. It is not known to be wrong."""


def check_signature(signed: bytes, armour: str, keys: Iterable[str]) -> str | None:
    """Check the signature of a record's bytes against the keys of the person who is said to have signed.

    None if it is good, otherwise why it is not; Unchecked if this computer cannot tell.
    """
    import shutil

    allowed = tuple(filter(None, map(public_key, keys)))
    if not allowed:
        return "no SSH key of this person is known"
    if not is_signature(armour):
        return "is no SSH signature"
    program = shutil.which("ssh-keygen")
    try:
        if program is None:
            raise Unchecked(MISSING)
        return _checked(program, signed, armour, allowed)
    except Unchecked:
        if (never := _never_good(armour, allowed)) is not None:
            return never
        raise


def _never_good(armour: str, allowed: tuple[str, ...]) -> str | None:
    """Why a signature is none whatever it signs, by what stands in it in the open: its key and its namespace.

    PROTOCOL.sshsig: "SSHSIG", the version as four bytes, then the key and the namespace, each after its length.
    """
    import base64

    found: list[bytes] = []
    with contextlib.suppress(ValueError):
        blob = base64.b64decode("".join(armour.strip().split("\n")[1:]).partition("-")[0], validate=True)
        if blob[:10] == b"SSHSIG\0\0\0\1":
            at = 10
            # The key, the namespace, what is reserved, the kind of digest, and the signature itself.
            while at + 4 <= len(blob) and len(found) < 5:
                end = at + 4 + int.from_bytes(blob[at : at + 4], "big")
                found += [blob[at + 4 : end]] if end <= len(blob) else []
                at = end
    if len(found) < 5 or not found[4]:
        return "is no SSH signature"
    if found[1] != NAMESPACE.encode():
        return "is not good: it was made for something else"
    keys = {base64.b64decode(key.split()[1] + "==") for key in allowed}
    return None if found[0] in keys else "is not good: it " + ANOTHER_KEY.removeprefix("but ")


@functools.lru_cache(maxsize=1024)
def _checked(program: str, signed: bytes, armour: str, allowed: tuple[str, ...]) -> str | None:
    """What ssh-keygen says; the same question is asked once in a run of the program, and never kept beyond it."""
    import subprocess
    import tempfile

    with tempfile.TemporaryDirectory(prefix="inspect-kit-") as folder:
        signers, signature = Path(folder, "signers"), Path(folder, "signature")
        lines = [f'{PRINCIPAL} namespaces="{NAMESPACE}" {key}\n' for key in allowed]
        signers.write_text("".join(lines), "ascii")
        signature.write_text(armour.strip() + "\n", "ascii")
        verify = ["verify", "-f", str(signers), "-I", PRINCIPAL, "-n", NAMESPACE, "-s", str(signature)]
        try:
            done = _asked(program, verify, signed)
            if done == 0:
                return None
            of_these = _asked(program, ["check-novalidate", "-n", NAMESPACE, "-s", str(signature)], signed) == 0
        except subprocess.TimeoutExpired:
            raise Unchecked(UNANSWERED) from None
    return "is not good: it is of this record, " + ANOTHER_KEY if of_these else "is not good: " + OTHER_BYTES


# The two ways in which a signature fails, in words that say what to look at.
ANOTHER_KEY = "but was made with a key that is none of theirs"
OTHER_BYTES = "it is of other bytes: the record or the signature was changed since, or it was made for something else"


def _asked(program: str, words: list[str], signed: bytes) -> int:
    import subprocess

    done = subprocess.run(
        [program, "-Y", *words],
        input=signed,
        capture_output=True,
        check=False,
        timeout=LONGEST,
        env={**os.environ, "LC_ALL": "C"},
    )
    return done.returncode


def _said(message: bytes) -> str:
    """The last line that ssh-keygen said, without anything that would act in a terminal."""
    lines = [line for line in message.decode("utf-8", "replace").splitlines() if line.strip()]
    return "".join(mark for mark in (lines or ["it gave no reason"])[-1] if mark.isprintable())[:200]
