"""`walk`, `helper`: the job itself.

Walking itself is in `walking`, findings are in `found`, signing in `signing`.
"""

import contextlib

import click

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import shared
from inspect_kit.cli.said import say
from inspect_kit.errors import Misused
from inspect_kit.text.page_values import parse_name


@click.command()
@click.argument("page", default="", metavar="[PAGE]")
@click.option("--lines", is_flag=True, help="Answer by whole lines, also where single keys would do.")
@click.option("--from-paper", "code", metavar="CODE", help="Type in the sheet of this code first.")
@shared("by")
@click.pass_obj
def walk(desk: Desk, page: str, by: str, lines: bool, code: str | None) -> int:
    """Step through the open page at the aircraft.

    Every answer is saved at once.

    \b
    walk
    walk --by "Your Name"
    walk --from-paper k3f9qx               types in what a pen wrote on that sheet
    """
    from inspect_kit.cli.walk_keys import single_keys
    from inspect_kit.cli.walk_talk import Talk
    from inspect_kit.cli.walking import walk_page

    desk.entry_day()
    if code is not None and not code.strip():
        # What the hand types next is meant for the sheet, and would answer boxes.
        raise Misused("--from-paper: give the six characters at the foot of the sheet, such as --from-paper k3f9qx")
    keys = None if lines else single_keys()
    with keys or contextlib.nullcontext():
        walk_page(desk, page, by, Talk(keys), code or "")
    return desk.code(0)


@click.command()
@click.argument("name", metavar="NAME")
@shared("page")
@click.pass_obj
def helper(desk: Desk, name: str, page: str) -> int:
    """Write a helper onto the open page.

    One who came after it was begun: what they did, and their second looks, may then be written there.

    \b
    helper "Your Helper"
    """
    from inspect_kit.cli.entries import read_as
    from inspect_kit.cli.found import save_asked
    from inspect_kit.cli.people_named import refuse_gone
    from inspect_kit.cli.sheets import find_page
    from inspect_kit.inspection import edit

    desk.entry_day()
    with desk.writing("helper") as writer:
        loaded, logbook = desk.loaded()
        sheet, read = find_page(loaded, logbook, page)
        known = next((each for each in sheet.page.helpers if logbook.aircraft.same_person(name, each)), None)
        if known is not None:
            raise Misused(f"{known} helps on {sheet.page.place.file} already: name another one")
        refuse_gone(logbook, name)
        who = logbook.aircraft.person(name)
        named = read_as(parse_name, who.name if who else name, "NAME")
        save_asked(writer, desk, loaded, edit.add_helper(sheet, named), read)
    say(f"{named} helps, on {sheet.page.place.file}")
    return desk.code(0)
