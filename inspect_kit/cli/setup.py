"""A store of one's own, and the tour through the whole job on a scratch copy of the sample."""

import datetime as dt
import re
import tempfile
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.audit.past import too_long_before
from inspect_kit.cli.desk import DATE, Desk, asked
from inspect_kit.cli.touring import run_tour
from inspect_kit.cli.unusual import confirmed
from inspect_kit.errors import Misused, ProgramFault
from inspect_kit.text.grammar import Unreadable, parse_date, parse_number


@click.command()
@click.pass_obj
def tour(desk: Desk) -> int:
    """The whole job, shown on a scratch copy of the sample aircraft; nothing is left behind."""
    with tempfile.TemporaryDirectory(prefix="inspect-kit-tour-") as scratch:
        root = Path(scratch) / "sample"
        store.make_store(root, files_of(sample()))
        return run_tour(root, Path(scratch))


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
        elif path.endswith((".md", ".yaml")):
            found.append((child, path))
    return found


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--sample", "as_sample", is_flag=True, help="The sample aircraft, to try things on.")
@click.option("--registration", help="As painted on the aircraft.")
@click.option("--make", help="The builder or the kit, as on the certificate.")
@click.option("--model", help="The model, as on the certificate.")
@click.option("--serial", help="The serial number.")
@click.option("--certificate-date", type=DATE, metavar="DATE", help="The date of the airworthiness certificate.")
@click.option("--name", help="Your name, as on your certificate.")
@click.option("--kind", help="The kind of your certificate.")
@click.option("--certificate", help="Its number.")
@click.option("--tach", metavar="READS", help="What the tachometer reads today.")
@click.option("--total", metavar="HOURS", help="The total time today, if the tachometer does not show it.")
@click.option("--last-inspection", metavar="DATE", help="The last condition inspection; `none` if there was none.")
@click.option("--last-total", metavar="HOURS", help="The total time then.")
@click.option("--last-paper", metavar="REFERENCE", help="Where it is entered: logbook and page.")
@click.pass_obj
def new(desk: Desk, /, folder: Path, as_sample: bool, **given: object) -> int:
    """A store of your own: checklists to edit, your aircraft, and its past brought forward. Asks what was not given."""
    store.refuse_taken(folder)
    files = files_of(sample()) if as_sample else _from_starter(desk, given)
    # Git must never change a byte of a sealed record: no line endings are converted.
    files[".gitattributes"] = b"records/** -text\nchecklists/** -text\n"
    store.make_store(folder, files)
    click.echo(f"A store was made in {folder if folder.name else folder.resolve()}.")
    if not as_sample:
        click.echo("Next: edit checklists/ to your aircraft, then ask `inspect-kit scope` and `inspect-kit due`.")
    desk.folder = folder
    desk.loaded()
    return desk.code(0)


# What is asked: the option, the words, an example that Enter does not take, and whether it may be left empty.
QUESTIONS: tuple[tuple[str, str, str], ...] = (
    ("registration", "Registration", ""),
    ("make", "Make, as on the certificate", ""),
    ("model", "Model", ""),
    ("serial", "Serial number", ""),
    ("certificate_date", "Date of the airworthiness certificate (2019-05-17)", ""),
    ("name", "Your name, as on your certificate", ""),
    ("kind", "Kind of your certificate", "repairman (experimental aircraft builder)"),
    ("certificate", "Number of your certificate", ""),
    ("tach", "The tachometer reads today", ""),
    ("total", "Total time today (Enter if the tachometer shows it)", "="),
    ("last_inspection", "Date of the last condition inspection (none if there was none)", "none"),
    ("last_total", "Total time then", ""),
    ("last_paper", "Where it is entered: logbook and page", "aircraft logbook"),
)


def _from_starter(desk: Desk, given: dict[str, object]) -> dict[str, bytes]:
    """The files of the starter set, filled in with what was given or is asked now."""
    answers: dict[str, str] = {}
    for key, words, default in QUESTIONS:
        if key.startswith("last_") and key != "last_inspection" and answers["last_inspection"] == "none":
            continue
        answers[key] = _answer(desk, key, words, default, given.get(key), answers)
    if answers["total"] == "=":
        answers["total"] = answers["tach"]
    fill = {
        **{key: answers[key] for key in ("registration", "make", "model", "serial", "certificate_date")},
        **{key: answers[key] for key in ("name", "kind", "certificate")},
        "today": str(desk.on),
        "year": str(desk.on.year),
        "tach_reads": answers["tach"],
        "tach_total": answers["total"],
        "last_condition_date": answers["last_inspection"],
        "last_condition_total": answers.get("last_total", ""),
        "last_condition_paper": answers.get("last_paper", ""),
    }
    starter = resources.files("inspect_kit") / "starter"
    files: dict[str, bytes] = {}
    for found, name in _files(starter, "."):
        path = name.removeprefix("./")
        text = found.read_text(encoding="utf-8")
        if path == "records/brought-forward.yaml":
            path = store.record_name(desk.on, "brought-forward", store.new_code())
            if answers["last_inspection"] == "none":
                text = _without_last(text)
        files[path] = filled(text, fill).encode()
    return files


def _answer(desk: Desk, key: str, words: str, default: str, given: object, before: dict[str, str]) -> str:
    """What was given, or what a person answers; who answers what cannot be is told why and asked again."""
    while True:
        value = given
        if value is None:
            value = asked(words, default=default or None, show_default=default not in ("", "="), err=True)
        if value is None:
            raise Misused(f"the input ended at `{words}`: no store was made")
        try:
            answer = _checked(key, str(value).strip())
            question = _past_fault(key, answer, before, desk.today)
            if not question or confirmed(question):
                return answer
            fault = Misused("nothing was made: see --last-inspection and --certificate-date")
        except Misused as misuse:
            fault = misuse
        if given is not None:
            raise fault
        click.echo(fault, err=True)


def _past_fault(key: str, value: str, before: dict[str, str], today: dt.date) -> str:
    """Misused for a date to come, more than the total today, or an inspection long before the certificate.

    The question to ask of an inspection in the 12 months before the certificate, else nothing.
    """
    if key == "last_total" and parse_number(value) > parse_number(before["total"].replace("=", before["tach"])):
        raise Misused(f"last total: {value} is above the total today, {before['total'].replace('=', before['tach'])}")
    if key not in ("certificate_date", "last_inspection") or value == "none":
        return ""
    date, words = parse_date(value), key.replace("_", " ")
    if date > today:
        raise Misused(f"{words}: {date} is in the future")
    certificate = parse_date(before["certificate_date"]) if key == "last_inspection" else date
    if too_long_before(date, certificate):
        raise Misused(f"{words}: {date} is more than 12 months before the date of the certificate, {certificate}")
    told = f"{words}: {date} is before the date of the certificate, {certificate}. Is it right?"
    return told if date < certificate else ""


def _checked(key: str, value: str) -> str:
    """The answer, if it can be what was asked for."""
    try:
        if key == "certificate_date" or (key == "last_inspection" and value != "none"):
            parse_date(value)
        if key in ("tach", "last_total") or (key == "total" and value != "="):
            parse_number(value)
    except Unreadable as fault:
        raise Misused(f"{key.replace('_', ' ')}: {fault.message}") from None
    if not value or any(not character.isprintable() for character in value):
        raise Misused(f"{key.replace('_', ' ')} has no value that can be written")
    return value


def filled(text: str, fill: dict[str, str]) -> str:
    """The template with each `{{name}}` replaced; quotes and backslashes in a value are kept harmless in YAML."""

    def put(match: re.Match[str]) -> str:
        return fill[match.group(1)].replace("\\", "\\\\").replace('"', '\\"')

    return re.sub(r"\{\{(\w+)\}\}", put, text)


def _without_last(text: str) -> str:
    """The brought-forward record of an aircraft that was never inspected: without the last inspection."""
    return re.sub(r"(?m)^last:\n(?:[ #].*\n|\n)*", "", text)
