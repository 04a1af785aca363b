"""Finding an open page, and saving it whole: never over what somebody else wrote meanwhile."""

from pathlib import Path
from typing import TYPE_CHECKING

from inspect_kit import store
from inspect_kit.cli.desk import Desk, cache_folder
from inspect_kit.errors import Misused, StoreUnreadable
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.text.grammar import did_you_mean

if TYPE_CHECKING:
    from inspect_kit.inspection.edit import OpenPage


def find_page(loaded: store.Loaded, logbook: Logbook, name: str) -> "tuple[OpenPage, bytes]":
    """An open page with the bytes that were read: by its path, by its file name, or the only one."""
    pages = {page.name: page for page in logbook.pages}
    stem = Path(name).name.removesuffix(".md")
    unread = {Path(place.file).stem: place for place in logbook.unread}
    for each, place in unread.items():
        if stem == each or (name and not pages and stem in each) or not (name or pages):
            raise StoreUnreadable(f"the open page {place.file} cannot be read: mend it first, {place} is named above")
    if not name and len(pages) + len(unread) != 1:
        several = "several pages are open, name one: " + ", ".join((*pages, *unread))
        raise Misused(several if pages else "no page is open; begin one with `start`")
    if name and stem not in pages:
        alike = [each for each in pages if stem in each]
        if len(alike) != 1:
            known = f" (open: {', '.join(pages)})" if pages else "; no page is open, begin one with `start`"
            raise Misused(f"no open page is called `{stem}`{did_you_mean(stem, pages)}{known}")
        stem = alike[0]
    page = pages[stem] if name else next(iter(pages.values()))
    data = loaded.files[page.place.file]
    return again(data, page.place.file), data


def page_meant(logbook: Logbook, name: str) -> Worksheet | None:
    """The open page of that name, or the only one with it in its name; Misused where a record may be meant as well."""
    stem = Path(name).name.removesuffix(".md")
    alike = [page for page in logbook.pages if stem in page.name]
    if (whole := next((page for page in alike if page.name == stem), None)) or logbook.record(stem) is not None:
        return whole
    if alike and (len(alike) > 1 or any(stem in record.name for record in logbook.records)):
        told = " or ".join(page.place.file for page in alike)
        raise Misused(f"`{name}` may be {told}, or a record: give the whole name")
    return alike[0] if alike else None


def again(data: bytes, file: str) -> "OpenPage":
    """The page that these bytes hold."""
    from inspect_kit.inspection.edit import opened

    text, problems = store.decode(file, data)
    sheet = None if problems else opened(text, file)
    if sheet is None:
        raise StoreUnreadable(f"{file} cannot be read: `inspect-kit verify` says why")
    return sheet


def page_faults(logbook: Logbook, before: "OpenPage", after: "OpenPage") -> tuple[str, ...]:
    """What an edit of a page would newly contradict in checklists and records, told by that page alone.

    So one answer is checked in the walk; the store as a whole is asked when the page is signed.
    """
    from inspect_kit.audit import audit_page

    known = [problem.message for problem in audit_page(logbook, before.page)]
    return tuple(problem.message for problem in audit_page(logbook, after.page) if problem.message not in known)


def save(desk: Desk, sheet: "OpenPage", read: bytes) -> bytes:
    """Write the page over the bytes that were read; the new bytes. ChangedSinceRead if it holds others by now."""
    if sheet.text.encode() == read:
        return read
    with desk.writing("walk") as writer:
        return put(writer, sheet, read)


def put(writer: store.Writer, sheet: "OpenPage", read: bytes) -> bytes:
    """Write the page over the bytes that were read, with the lock held already; the new bytes."""
    data = sheet.text.encode()
    if data != read:
        store.replace(writer, sheet.page.place.file, data, read=read)
    return data


def sealed_pages(desk: Desk, loaded: store.Loaded) -> tuple[Worksheet, ...]:
    """The pages beside sealed records, as they were kept where the command may take that."""
    return store.pages_of_records(loaded, cache_folder() if desk.keeps else None)
