"""SHA-256 and what builds on it, against figures published elsewhere."""

import hashlib

from inspect_kit.store.seals import seal_record, sha256


class TestFips180:
    """FIPS 180-4, Secure Hash Standard, with the example values that NIST gives for SHA-256."""

    def test_one_block(self) -> None:
        """NIST, example "abc"."""
        assert sha256(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

    def test_two_blocks(self) -> None:
        """NIST, example of 448 bits (value from memory)."""
        message = b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"
        assert sha256(message) == "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"

    def test_no_byte_at_all(self) -> None:
        """The empty message (value from memory)."""
        assert sha256(b"") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"

    def test_a_million_letters(self) -> None:
        """FIPS 180-2, appendix B.3: one million times "a" (value from memory)."""
        assert sha256(b"a" * 1_000_000) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"


def test_the_last_line_is_what_sha256sum_says_of_all_before_it() -> None:
    """The coreutils way to check a seal by hand: `head -c -65 RECORD | sha256sum` (65 = 64 digits and a line feed)."""
    sealed = seal_record(b"format: 1\n", record="records/2026/a.yaml", page=None, worksheet=b"", after=())
    assert sealed[-65:-1].decode() == hashlib.sha256(sealed[:-65]).hexdigest()
    assert sealed[:-65].endswith(b"\n  sha256: ")
