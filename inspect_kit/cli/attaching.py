"""`attach`: papers and photographs are copied to an open page, or beside a record."""

from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import person, say_who
from inspect_kit.cli.records_named import find_record
from inspect_kit.cli.said import say
from inspect_kit.cli.sheets import page_meant
from inspect_kit.cli.unusual import given_or_asked
from inspect_kit.errors import Misused
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import FileSum, Record


@click.command()
@click.argument("name", metavar="RECORD|PAGE")
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@shared("by", "text")
@click.pass_obj
def attach(desk: Desk, name: str, files: tuple[Path, ...], text: str, by: str) -> int:
    """Copy photographs, tags and invoices beside a page or a record.

    To an open page, with which they are sealed; or beside a record, with their SHA-256.

    \b
    attach 2026-11-21-condition-k3f9 weld.jpg                      to the open page: sealed with it
    attach 2026-05-14-oil-k3f9 invoice.pdf --text "the invoice"    beside the record, which stays as it is
    """
    desk.entry_day()
    logbook = desk.logbook()
    taken = dict(store.taken(path) for path in files)
    if len(taken) < len(files):
        raise Misused("two of these files have one name: give one of them another first")
    store.refuse_alike(taken)
    page = page_meant(logbook, name)
    if page is not None:
        if text or by:
            told = f"to {page.place.file} only files go, and nothing was copied: leave --text and --by out"
            raise Misused(f"{told}, and write what they show below its box, `- note: ...`")
        if like := next((each for each, data in taken.items() if store.is_like_record(data)), ""):
            told = f"{like} reads like a record, and is named as a stray one while the page is open: nothing was copied"
            raise Misused(f"{told}. Give it to the record once the page is sealed: inspect-kit attach RECORD {like}")
        with desk.writing("attach") as writer:
            written = [store.put_beside(writer, page.place.file, each, data) for each, data in taken.items()]
        say("\n".join(written))
        return desk.code(0)
    person(logbook, by)
    record = find_record(logbook, name)
    text = given_or_asked(text, "What do they show", "--text")
    by = say_who(logbook, by)

    def make(logbook: Logbook, own: str, after: tuple[str, ...]) -> Record:
        return Amendment(
            name=own,
            date=desk.on,
            entered=desk.today,
            of=record.name,
            text=text,
            by=person(logbook, by),
            files=tuple(FileSum(name=each, sha256=store.sha256(data)) for each, data in sorted(taken.items())),
            after=after,
            place=store.record_place(own),
        )

    say(desk.enter("attach", "attached", make, beside=taken))
    say(f"Copied beside {record.name}: {', '.join(sorted(taken))}", err=True)
    return desk.code(0)
