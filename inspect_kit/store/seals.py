"""Seals: how a record, its worksheet and the records before it are shown to be what was signed.

Canonical form, to the byte. A sealed record is a file that ends with this block, in UTF-8, every line ended by one
line feed (0x0A) and nothing after the last one:

    seal:
      record: records/2026/2026-11-28-condition-k3f9.yaml
      page: records/open/2026-11-21-condition-k3f9.md
      worksheet: <SHA-256>
      after:
        - <SHA-256>
      sha256: <SHA-256>

- A SHA-256 (FIPS 180-4) is written as 64 lower-case hexadecimal digits.
- `record` is the name under which the record was sealed. `page` is the open page that was signed, in `records/open/`
  itself; it stands only if that page was moved away from there, and as a JSON string if its name has anything but
  letters, digits and `._/-` in it. `worksheet` is the SHA-256 of the whole file beside the record, `.md` instead of
  `.yaml`. Of photographs, tags and invoices the record's own `files` names the SHA-256.
- `after` lists, sorted, the seals of all records that nothing had come after yet, as far as this store knew and
  whose bytes were whole at that moment; the line is absent if there were none. So the seals form a graph, which
  joins again after a merge.
- The last value is the SHA-256 of every byte of the file before it: from the first byte of the file to the blank
  after `sha256:`, included. It is the seal of the record and its name in other records.

A record that is not sealed carries `after` at its top level, in the same form: it tells which sealed records were the
newest when it was written, so that none of them can vanish unnoticed as long as any later entry is left.

What a seal cannot show: that nobody wrote the whole store anew, every seal included. Against that stand a copy in
other hands, the logbook on paper, and a signature with a key (`signature`).
"""

import contextlib
import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from inspect_kit.errors import ProgramFault
from inspect_kit.noun import dataclass
from inspect_kit.store.layout import FORBIDDEN, is_open_page, worksheet_of

_HEX = rb"[0-9a-f]{64}"
_BLOCK = re.compile(
    rb"^seal:\n"
    rb"  record: (?P<record>records/[!-~]+\.yaml)\n"
    rb"(?:  page: (?P<page>[^\n]+)\n)?"
    rb"  worksheet: (?P<worksheet>" + _HEX + rb")\n"
    rb"(?:  after:\n(?P<after>(?:    - " + _HEX + rb"\n)+))?"
    rb"  sha256: (?P<sha256>" + _HEX + rb")\n\Z",
    re.MULTILINE,
)
_SEAL = b"seal:\n"
_PLAIN = r"[A-Za-z0-9._/-]+"
# These begin with a line feed, which is looked for much quicker than the beginning of a line: see `_line`.
_MARK = re.compile(rb"\nseal[ \t]*:")
_INSPECTION = re.compile(rb"\nkind:[ \t]*inspection[ \t]*\r?(?=\n|\Z)")
_AFTER = rb"\nafter:\r?\n((?: *- *" + _HEX + rb" *\r?\n)+)"
_DATE = re.compile(rb"\ndate: *(\d{4}-\d\d-\d\d) *\r?(?=\n|\Z)")


@dataclass(frozen=True, kw_only=True, slots=True)
class SealBlock:
    """What the block at the end of a record says; `whole` is whether its bytes are those that were sealed."""

    record: str
    page: str | None
    worksheet: str
    after: tuple[str, ...]
    sha256: str
    whole: bool
    date: str


def sha256(data: bytes) -> str:
    """The SHA-256 of some bytes, as it is written in a record."""
    return hashlib.sha256(data).hexdigest()


def seal_record(body: bytes, *, record: str, page: str | None, worksheet: bytes, after: Iterable[str]) -> bytes:
    """The bytes of a sealed record: `body` is its YAML without the seal, `worksheet` the bytes of its page."""
    if _line(_MARK, body) or not body.endswith(b"\n") or b"\r" in body or b"\0" in body:
        raise ProgramFault("a record to be sealed ends with a line feed, has no carriage return and no seal yet")
    lines = [b"seal:", b"  record: " + record.encode()]
    if page is not None:
        told = page if re.fullmatch(_PLAIN, page) else json.dumps(page, ensure_ascii=False)
        lines.append(b"  page: " + told.encode())
    lines.append(b"  worksheet: " + sha256(worksheet).encode())
    if named := sorted(set(after)):
        lines += [b"  after:", *(b"    - " + seal.encode() for seal in named)]
    before = body + b"\n".join(lines) + b"\n  sha256: "
    sealed = before + sha256(before).encode() + b"\n"
    if (seal := read_seal(sealed)) is None or not seal.whole:
        raise ProgramFault("a sealed record does not read back as one")
    return sealed


# It is asked what was left to do, and then whether it is whole.
@lru_cache(maxsize=4096)
def read_seal(data: bytes) -> SealBlock | None:
    """The seal of a record, None if it does not end with one in canonical form."""
    # Nearly all records have none, and looking for a word is quicker than looking for a form.
    # No other line of the block is like its first: the last such line of the file begins it.
    found = _BLOCK.match(data, (b"\n" + data).rfind(b"\n" + _SEAL)) if _SEAL in data else None
    if found is None:
        return None
    covered = data[: found.start("sha256")]
    page, after = _unquote(found["page"]) if found["page"] is not None else None, found["after"] or b""
    record = found["record"].decode()
    if FORBIDDEN.search(record) or (page is not None and not is_open_page(page)):
        # A page that lies elsewhere would take a folder away when it is moved.
        return None
    return SealBlock(
        record=record,
        page=page,
        worksheet=found["worksheet"].decode(),
        after=tuple(re.findall(r"[0-9a-f]{64}", after.decode())),
        sha256=found["sha256"].decode(),
        whole=sha256(covered) == found["sha256"].decode() and len(_MARK.findall(b"\n" + data)) == 1,
        date=date_of(data),
    )


def unturned(data: bytes) -> bytes:
    """Bytes as they were before git made CRLF of their line feeds: what is sealed or signed has no carriage return."""
    return data.replace(b"\r\n", b"\n") if b"\r" in data else data


def seals_of(files: Mapping[str, bytes]) -> dict[str, SealBlock]:
    """The seal of each record that ends with one, by the record's name."""
    begun = [(name, data) for name, data in files.items() if _SEAL in data and name.endswith(".yaml")]
    return {name: seal for name, data in begun if (seal := read_seal(data)) is not None}


def _unquote(page: bytes) -> str:
    text = page.decode("utf-8", "replace")
    with contextlib.suppress(ValueError):
        return str(json.loads(text))
    return text


def date_of(data: bytes) -> str:
    """The date that a record bears, for messages; "" if none can be seen."""
    found = _line(_DATE, data)
    return found[1].decode() if found else ""


def mentions_seal(data: bytes) -> bool:
    """Whether a record may have, claim or name a seal: what has none of the words does not, as nearly all."""
    return b"seal" in data or b"after:" in data or b"inspection" in data


def claims_seal(data: bytes) -> bool:
    """Whether a record has, or ought to have, a seal: it begins one, or it is an inspection."""
    # To look for a word is quicker than to look at each line for a form.
    return ((b"\nseal" in data or data.startswith(b"seal")) and _line(_MARK, data) is not None) or (
        b"inspection" in data and _line(_INSPECTION, data) is not None
    )


def _line(form: re.Pattern[bytes] | bytes, data: bytes) -> re.Match[bytes] | None:
    """The first line of this form; the form begins with the line feed before it."""
    return re.search(form, b"\n" + data)


def named_after(data: bytes) -> tuple[str, ...]:
    """The seals that a record without a seal of its own says it came after."""
    found = _line(_AFTER, data) if b"after:" in data else None
    return tuple(re.findall(r"[0-9a-f]{64}", found[1].decode())) if found else ()


def whole_seals(files: Mapping[str, bytes]) -> dict[str, SealBlock]:
    """Every record whose bytes and worksheet are those that were sealed, by the record's name."""
    found: dict[str, SealBlock] = {}
    for name, seal in seals_of(files).items():
        worksheet = files.get(worksheet_of(name)) if seal.whole else None
        if worksheet is not None and sha256(worksheet) == seal.worksheet:
            found[name] = seal
    return found


def heads(files: Mapping[str, bytes]) -> tuple[str, ...]:
    """The seals that no whole sealed record came after yet, sorted: what the next record, sealed or not, names."""
    seals = whole_seals(files).values()
    followed = {named for seal in seals for named in seal.after}
    return tuple(sorted({seal.sha256 for seal in seals} - followed))
