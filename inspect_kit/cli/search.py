"""`find`: by a few words to the file and line of a check, a part, a person or a record."""

from pathlib import Path

import click

from inspect_kit import report as reports
from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import shared
from inspect_kit.cli.shown import across, dated, give, is_whole, print_json
from inspect_kit.errors import NO
from inspect_kit.text.searching import search


@click.command()
@click.argument("words", metavar="WORDS...", nargs=-1, required=True)
@shared("all", "to", "force", "json")
@click.pass_obj
def find(
    desk: Desk, /, words: tuple[str, ...], everything: bool, target: Path | None, force: bool, as_json: bool
) -> int:
    """Where a word stands, in checklists, pages and records.

    All the words, in any order, without regard to capitals and accents. What is called so comes first (an id, a serial,
    a name), then whole words, then parts of words, the newest first. Exits with 1 where nothing has them.

    \b
    find crack exhaust
    find A4711
    find "Your Name"
    """
    loaded, logbook = desk.loaded()
    texts = {file: store.decode(file, data)[0] for file, data in loaded.files.items()}
    found, asked = search(texts, words), " ".join(" ".join(words).split())
    if as_json:
        print_json(reports.search_json(found, words))
    else:
        told = (found, asked, logbook.aircraft.identity.registration, logbook.problems)
        page = reports.search_page(*told) if is_whole(everything, target) else reports.search_screen(*told, across())
        give(dated(page, desk.on), target, logbook, force=force)
    return desk.code(0 if found else NO)
