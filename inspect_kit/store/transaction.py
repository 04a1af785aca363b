"""Signing moves a page beside its record; killed at any moment, the store is either before or after.

The order of operations, each one whole or not at all:

    1  a copy of the page is kept in `.inspect-kit/pages/<SHA-256>.md`
    2  the sealed record is created: before this the page is open, after it the page is signed
    3  the worksheet is created beside the record
    4  the folder of photographs of the page is renamed to the record's
    5  the open page is removed, if it still holds the bytes that were sealed
    6  the kept copy is removed

What is left to do after 2 follows from the bytes alone: a whole record without its worksheet takes it from an open
page or a kept copy that has the sealed SHA-256; an open page that a whole record names and that holds the sealed bytes
is signed. `settle` shows readers the finished state, `finish` brings the disk there before the next entry. An open
page that was changed after it was signed is never touched: `verification` names it.
"""

import contextlib
import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from inspect_kit.errors import Misused, StoreUnreadable
from inspect_kit.noun import dataclass
from inspect_kit.store import together
from inspect_kit.store.layout import OPEN, OWN, folder_of, is_open_page, worksheet_of
from inspect_kit.store.reading import RefusedFile, Snapshot, Watch, read_all, read_file
from inspect_kit.store.register import note
from inspect_kit.store.seals import SealBlock, heads, seal_record, seals_of, sha256, whole_seals
from inspect_kit.store.writing import (
    AlreadyThere,
    Writer,
    copy_folder,
    create,
    expect,
    move_folder,
    refuse_other,
    remove_file,
)

KEPT = f"{OWN}/pages"


@dataclass(frozen=True, kw_only=True, slots=True)
class Rest:
    """What a killed `sign` left to do for one record: a worksheet to put beside it, an open page to take away."""

    record: str
    seal: SealBlock
    worksheet: bytes | None
    page: str | None


class PageNotMoved(StoreUnreadable):
    """A record is sealed and its page is still open: the next command moves it."""


def sealed_bytes(writer: Writer, *, page: str, read: bytes, record: str, body: bytes, stays: bool = False) -> bytes:
    """What `sign` will write as the record, to be looked at, or signed with a key, before anything is written."""
    if not is_open_page(page):
        raise Misused(f"{page} lies elsewhere: a page is signed from {OPEN}/")
    files = finish(writer).files
    return seal_record(body, record=record, page=None if stays else page, worksheet=read, after=heads(files))


def sign(writer: Writer, *, page: str, read: bytes, record: str, body: bytes, stays: bool = False) -> bytes:
    """Seal `body` as the record named `record` and move the page, which holds the bytes `read`, beside it.

    With `stays` the page remains open and a copy of it stands beside the record. Returns the bytes of the sealed
    record. AlreadyThere if the name is taken, ChangedSinceRead if the page holds other bytes by now, PageNotMoved if
    the record is sealed and the disk then refused.
    """
    sealed = sealed_bytes(writer, page=page, read=read, record=record, body=body, stays=stays)
    expect(writer, page, read)
    with contextlib.suppress(AlreadyThere):
        create(writer, f"{KEPT}/{sha256(read)}.md", read, like=page)
    if stays:
        # The photographs stay with the open page too; a copy that no record came to name would harm nobody.
        copy_folder(writer, folder_of(page), folder_of(record))
    create(writer, record, sealed, like=page)
    try:
        finish(writer)
    except StoreUnreadable as error:
        told = f"sealed: {record}; the page could not be moved beside it yet: {error}. The next command does that"
        raise PageNotMoved(told) from error
    return sealed


def read_settled(root: Path, watch: Watch | None = None) -> Snapshot:
    """Read every file that counts, as it stands once every signed page is moved and what was killed is ended."""
    waiting = [together.Pending()]
    snapshot = read_all(root, watch, lambda: waiting.append(together.pending(root)))
    files = waiting[-1].over(snapshot.files)
    for rest in list(unfinished(files, lambda seal: _read_kept(root, seal))):
        if rest.worksheet is not None:
            files[worksheet_of(rest.record)] = rest.worksheet
        if rest.page is not None:
            files.pop(rest.page, None)
    return replace(snapshot, files=dict(sorted(files.items())))


def finish(writer: Writer) -> Snapshot:
    """Do what a killed command left to do, and give what stands in the store now."""
    root = writer.root
    together.finish_together(writer)
    snapshot = read_all(root)
    rests = list(unfinished(snapshot.files, lambda seal: _read_kept(root, seal)))
    wanted: set[str] = set()
    for rest in rests:
        try:
            if rest.worksheet is not None:
                # What only its owner may read on the page stays so.
                page = rest.page or f"{KEPT}/{rest.seal.worksheet}.md"
                create(writer, worksheet_of(rest.record), rest.worksheet, like=page)
        except (AlreadyThere, Misused):
            # What stands there and could not be read is a problem already; it must not keep everybody from writing.
            wanted.add(rest.seal.worksheet)
            continue
        if rest.seal.page is not None:
            move_folder(writer, folder_of(rest.seal.page), folder_of(rest.record))
        if rest.page is not None:
            remove_file(writer, rest.page, read=snapshot.files[rest.page])
    if rests:
        snapshot = read_all(root)
    note(root, whole_seals(snapshot.files))
    _drop_kept(root, wanted)
    return snapshot


def is_unfinished(root: Path) -> bool:
    """Whether a killed command may have left something to do: the copy of a signed page, or files on their way."""
    if together.is_half_together(root):
        return True
    with contextlib.suppress(OSError):
        return bool(os.listdir(root / KEPT))
    return False


def unfinished(files: Mapping[str, bytes], kept: Callable[[SealBlock], bytes | None]) -> Iterator[Rest]:
    """What is left to do, decided from bytes alone; `kept` gives the kept copy of a sealed page."""
    for record, seal in seals_of(files).items():
        if not seal.whole or seal.record != record:
            continue
        beside = files.get(worksheet_of(record))
        worksheet = None
        if beside is None:
            worksheet = _same_page(files, seal) or kept(seal)
        elif sha256(beside) != seal.worksheet:
            # The worksheet was altered: an open page with the sealed bytes may be the only true one left.
            continue
        page = seal.page if seal.page in files else None
        if page is not None and (sha256(files[page]) != seal.worksheet or (beside is None and worksheet is None)):
            page = None
        if worksheet is not None or page is not None:
            yield Rest(record=record, seal=seal, worksheet=worksheet, page=page)


def _same_page(files: Mapping[str, bytes], seal: SealBlock) -> bytes | None:
    pages = (data for name, data in files.items() if is_open_page(name))
    return next((data for data in pages if sha256(data) == seal.worksheet), None)


def _read_kept(root: Path, seal: SealBlock) -> bytes | None:
    with contextlib.suppress(RefusedFile):
        data = read_file(root, f"{KEPT}/{seal.worksheet}.md")
        if sha256(data) == seal.worksheet:
            return data
    return None


def _drop_kept(root: Path, wanted: set[str]) -> None:
    refuse_other(root / KEPT, folder=True)
    with contextlib.suppress(OSError):
        for name in os.listdir(root / KEPT):
            if name.removesuffix(".md") not in wanted:
                with contextlib.suppress(OSError):
                    os.unlink(root / KEPT / name)
