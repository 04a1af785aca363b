"""`new` and `tour`: a store of one's own, and the tour through the whole job on a scratch copy of the sample."""

import contextlib
import tempfile
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.cli.beginning import FUELS, PITCHES, WHEELS, interview, starter_checks
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.filling import PAST, filled_in, shaped
from inspect_kit.cli.kept_answers import Answers
from inspect_kit.cli.options import Count, shared
from inspect_kit.cli.said import say
from inspect_kit.cli.typed import DATE
from inspect_kit.errors import INTERRUPTED, ProgramFault, StoreUnreadable


@click.command()
@shared("to", "force")
@click.pass_obj
def tour(desk: Desk, target: Path | None, force: bool) -> int:
    """The whole job on a scratch copy of the sample aircraft.

    With --to its report is kept; without it nothing is.

    \b
    tour
    tour --to ../report.html
    """
    from inspect_kit.cli.touring import run_tour

    with tempfile.TemporaryDirectory(prefix="inspect-kit-tour-") as scratch:
        root = Path(scratch) / "sample"
        store.make_store(root, files_of(sample()))
        return run_tour(root, target, force=force)


def sample() -> Traversable:
    """The sample aircraft: carried by the wheel, or at the root of a checkout."""
    carried = resources.files("inspect_kit") / "sample"
    if (carried / "records" / "aircraft.yaml").is_file():
        return carried
    root = Path(__file__).resolve().parents[2]
    if (root / "records" / "aircraft.yaml").is_file():
        return root
    raise ProgramFault("the sample aircraft is missing from this installation")


def files_of(source: Traversable) -> dict[str, bytes]:
    """The files of `checklists/` and `records/` of a store by name, open worksheets left out."""
    return {name: found.read_bytes() for top in ("checklists", "records") for found, name in _files(source / top, top)}


def _files(folder: Traversable, name: str) -> list[tuple[Traversable, str]]:
    found: list[tuple[Traversable, str]] = []
    for child in sorted(folder.iterdir(), key=lambda each: each.name):
        path = f"{name}/{child.name}"
        if child.is_dir():
            found += _files(child, path) if child.name not in ("__pycache__", "open") else []
        elif path.endswith((".md", ".yaml", ".txt")):
            found.append((child, path))
    return found


# What is typed next in a new store, and what that shows.
NEXT = {"due": "what is due, what nobody knows", "scope": "which codes are covered"}


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--sample", "as_sample", is_flag=True, help="The sample aircraft, to try things on.")
@click.option("--registration", metavar="MARKS", help="As painted on the aircraft.")
@click.option("--make", metavar="NAME", help="The builder or the kit, as on the certificate.")
@click.option("--model", metavar="NAME", help="The model, as on the certificate.")
@click.option("--serial", metavar="NUMBER", help="The serial number.")
@click.option("--certificate-date", type=DATE, metavar="DATE", help="The date of the airworthiness certificate.")
@click.option("--name", metavar="NAME", help="Your name, as on your certificate.")
@click.option("--kind", metavar="KIND", help="The kind of your certificate.")
@click.option("--certificate", metavar="NUMBER", help="Its number.")
@click.option("--tach", metavar="READING", help="What the tachometer reads today.")
@click.option("--total", metavar="HOURS", help="The total time today, if the tachometer does not show it.")
@click.option("--wheel", type=click.Choice(WHEELS), help="Where the third wheel is.")
@click.option("--seats", type=Count(1, 20), metavar="N", help="How many seats.")
@click.option("--tanks", type=Count(1, 20), metavar="N", help="How many fuel tanks.")
@click.option("--pitch", type=click.Choice(PITCHES), help="The propeller.")
@click.option("--fuel", type=click.Choice(FUELS), help="How the engine gets its fuel.")
@click.option("--last-inspection", metavar="DATE", help="The last condition inspection; `none` if there was none.")
@click.option("--last-total", metavar="HOURS", help="The total time then.")
@click.option("--last-paper", metavar="REFERENCE", help="Where it is entered: logbook and page.")
@click.pass_obj
def new(desk: Desk, /, folder: Path, as_sample: bool, **given: object) -> int:
    """A store of your own: checklists, your aircraft and its past.

    Asks what was not given. After an interruption the same command goes on where it was.

    \b
    new my-plane
    new sample --sample                    the sample aircraft, to try things on
    """
    store.refuse_taken(folder)
    if not as_sample:
        # The past is brought forward on that day.
        desk.entry_day()
    _say_around(folder)
    answers = Answers(folder) if as_sample else Answers.beside(folder)
    try:
        files = files_of(sample()) if as_sample else _from_starter(desk, answers, given)
    except click.Abort:
        if answers.told and answers.path.exists():
            told = f"interrupted; the answers are kept in {answers.path}: the same command goes on there"
            click.echo(err=True)
            say(told, err=True)
            raise click.exceptions.Exit(INTERRUPTED) from None
        raise
    files[store.ATTRIBUTES] = store.AS_WRITTEN
    store.make_store(folder, files)
    if not as_sample:
        answers.forget()
    say(f"A store was made in {folder if folder.name else folder.resolve()}.")
    say("Type next:")
    steps = [f"cd {folder}"] if folder.resolve() != Path.cwd() else []
    wide = max(len(desk.typed(words)) for words in NEXT)
    steps += [f"{desk.typed(words):<{wide}}    {told}" for words, told in NEXT.items()]
    click.echo("\n".join(f"    {step}" for step in steps))
    if not as_sample:
        say("Then edit the files under checklists/ to your aircraft: each is one access panel.")
    desk.folder = folder
    desk.loaded()
    return desk.code(0)


def _say_around(folder: Path) -> None:
    """That a new store would lie inside another, before anything is asked: which of the two answers depends on where
    a command is typed.
    """
    target = folder.resolve()
    above = next((each for each in target.parents if each.is_dir()), None)
    with contextlib.suppress(StoreUnreadable):
        if above is not None and (around := store.find_store(above)):
            name = target.name
            say(
                f"{name} will lie inside the store {around}: what is typed outside {name} is about that "
                f"one. To keep them apart stop here and type: inspect-kit new {around.parent / name}",
                err=True,
            )


def _from_starter(desk: Desk, answers: Answers, given: dict[str, object]) -> dict[str, bytes]:
    """The files of the starter set, filled in with what was given or is asked now."""
    starter = resources.files("inspect_kit") / "starter"
    texts = {name.removeprefix("./"): found.read_text(encoding="utf-8") for found, name in _files(starter, ".")}
    interview(answers, given, lambda: starter_checks(shaped(texts, answers.told)), desk.on)
    made = filled_in(texts, answers, desk.on, desk.today)
    made[store.record_name(desk.on, "brought-forward", store.new_code())] = made.pop(PAST)
    return {name: text.encode() for name, text in made.items()}
