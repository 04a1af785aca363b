"""Public keys as OpenSSH writes them in a `.pub` file: type, base64, perhaps a remark (RFC 4253, 6.6)."""

import base64
import re

_TYPES = (
    r"(?:ssh-ed25519|ssh-rsa|ecdsa-sha2-nistp(?:256|384|521)|sk-ssh-ed25519@openssh\.com"
    r"|sk-ecdsa-sha2-nistp256@openssh\.com)"
)
_KEY = re.compile(rf"({_TYPES}) ([A-Za-z0-9+/]{{40,16384}}={{0,3}})(?: [^\r\n]*)?")
_SECOND = re.compile(rf"{_TYPES} AAAA")


def public_key(text: str) -> str:
    """The type and the base64 of a public key, without its remark; "" where a text is none."""
    found = _KEY.fullmatch(text.strip())
    return f"{found[1]} {found[2]}" if found and not key_fault(text) else ""


def key_fault(text: str) -> str:
    """Why a text is no public key by which a signature can be checked; "" where it is one."""
    found = _KEY.fullmatch(text.strip())
    if "PRIVATE KEY" in text:
        return (
            "this is a private key, which nobody but its owner may read: take it out of here and of every copy, use it "
            "no more, and write the one line of the `.pub` file of a new one"
        )
    if found is None or not _is_whole(found[1], found[2]):
        return "is no public key: expected the one line of its `.pub` file, such as `ssh-ed25519 AAAA… NAME`"
    if _SECOND.search(text.strip(), found.end(2)):
        return "holds a second key: write each as an item of a list"
    return ""


def _is_whole(kind: str, encoded: str) -> bool:
    """Whether the base64 is that of fields, each after its length in four bytes, and the first of them is the type."""
    try:
        blob = base64.b64decode(encoded, validate=True)
    except ValueError:
        return False
    fields, at = [], 0
    while at + 4 <= len(blob):
        end = at + 4 + int.from_bytes(blob[at : at + 4], "big")
        fields.append(blob[at + 4 : end])
        at = end
    return at == len(blob) and len(fields) > 1 and fields[0] == kind.encode() and all(fields)
