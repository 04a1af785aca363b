"""Whatever is typed behind a command: an answer or a sentence, never a fault of the program, and nothing acts.

Every parameter of every command gets odd words, on a store with an open page.
"""

import importlib
import random
import shutil
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from inspect_kit.cli import commands
from inspect_kit.cli.main import cli
from tests.cli.conftest import Run, entered
from tests.store.asking import acting

ODD = (
    *("", " ", "\u00a0", "\u200b", "\u202e", "\x1b[2J", "\ud800", "\n", "a\nb", "\t", "x" * 5000, "💥", "ä", "é\u0301"),
    *("=", "a=", "=b", "tach", "tach=", "tach= ", "tach=x", "tach==1", "tach=1e9", "tach=-1", "tach=12,5", "tach=١٢"),
    *("tach=405.6", "tach=9999999999999999", "Tach=405.6", "oil", "Oil", "oil=31.5.2031", "oil=", "oil=2031-05-31"),
    *("31.5.2031", "2026-11-25", "2026-13-01", "0000-00-00", "9999-12-31", "2199-12-31", "yesterday", "5.11.2026"),
    *("F1", "F2", "f1", "F0", "F99999999999", "x#F1", "#F1", "2026-09-01-past#F1", "condition", "work", "cowl", "zz"),
    *("..", "../../x", "/", ".", "-", "records/aircraft.yaml", "records/2026/2026-09-01-past.yaml", "/dev/full"),
    *(";", ";;", ",", "a,", "[a]", "[", "{date}", "%s", "${x}", "`x`", "*", "\\", "'", '"', "- [x] `a` b", "- "),
    *("by 2027-01-31", "by 9999 h", "at next annual inspection", "at next condition inspection", "before flight"),
    *("0", "1", "-1", "1.5", "1e400", "nan", "99999999999999999999", "10 h", "10h", "0 h", "Saturday 09:00-12:00"),
    *("Saturday 12:00-09:00", "2026-11-28 25:00-26:00", "news,walking", "none", "full", "170", "170,,150", "1 lb"),
    *("Ada Bellcrank", "ada  bellcrank", "Nobody", "same", "repairman", "x.html", "x.md", "x.txt", "x.pdf"),
    *("nowhere/x.md", "____", "____ 5", "F1 crack", "found: crack", "x.ics", "x.csv", "logbook.csv", "weld.jpg"),
    *("magneto", "cylinder 1=58", "compression.cylinder 1=76", "cylinder 1=", "reads.compression.cylinder 1=58 psi"),
    *(
        "date=2026-09-01",
        "text=",
        "serial=A1\u200b",
        "next.elt=2031-05-31",
        "seats.left=1",
        "a.b.c.d.e=1",
        ".=1",
        "=.=",
    ),
    *(
        "last inspection",
        "left=10",
        "left=",
        "left=1e9",
        "full,full",
        "left and right",
        "Infinity",
        "-0",
        "0x10",
        "1_000",
    ),
    *("&a", "*a", "!!int 3", "<<: *a", "? a", "|", ">-", "{a: 1}", "true", "null", "~", "2026-11-25T10:00:00", "2-2"),
)
WHO = ("--by", "Ada Bellcrank")
# What a command needs to get as far as looking at the odd word; a parameter not named here is left out.
BASE: dict[str, dict[str, tuple[str, ...]]] = {
    "start": {"words": ("oil",), "only": ("--only",)},
    "finding": {"words": ("compression", "a crack")},
    "helper": {"name": ("Cy Redwing",)},
    "sign": {"signer": ("--as", "Ada Bellcrank")},
    "hours": {"words": ("tach=405.6",)},
    "work": {"words": ("oil",)},
    "signature": {"name": ("2026-11-20-amended",), "ink": ("--ink", "log p. 4"), "signer": ("--as", "Ada Bellcrank")},
    "history": {"name": ("oil",)},
    "meter": {"name": ("tach",), "old": ("--old", "405.6"), "new": ("--new", "0"), "unrecorded": ("--unrecorded", "0")},
    "plan": {"names": ("oil",), "only": ("--only",)},
    "new": {"folder": ("new-store",)},
    "find": {"words": ("oil",)},
    "install": {"position": ("magneto",), "serial": ("--serial", "B2"), "no_change": ("--no-change", "same weight")},
    "remove": {"position": ("magneto",), "no_change": ("--no-change", "same weight")},
    "setting": {
        **{"words": ("propeller-pitch",), "set_to": ("--set-to", "12 deg"), "reason": ("--reason", "climb")},
        "by": WHO,
    },
    "change": {"words": ("a light",), "answer": ("--answer", "minor"), "asked": ("--asked", "nobody")},
    "equipment": {
        **{"words": ("a light",), "direction": ("--direction", "in"), "weight": ("--weight", "2 lb")},
        "arm": ("--arm", "14 in"),
    },
    "weighing": {
        "scales": ("--scale", "left=310 at 10", "--scale", "right=305 at 10", "--scale", "tail=42 at 150"),
        **{"less": ("--less", "none"), "plus": ("--plus", "none"), "datum": ("--datum", "firewall"), "by": WHO},
        **{"level": ("--level", "spars"), "unusable_fuel": ("--unusable-fuel", "none"), "oil": ("--oil", "drained")},
    },
    "phase": {"words": ("flight-test",), "verb": ("--begins",), "by": WHO},
    "stock": {"words": ("oil filter",), "amount": ("--amount", "2")},
    "directive": {
        **{"words": ("SL-12",), "issuer": ("--issuer", "maker"), "subject": ("--subject", "cracks")},
        "authority": ("--authority", "maker's letter"),
    },
    "search": {"words": ("the list",), "product": ("--product", "aircraft"), "by": WHO},
    "import": {"file": ("logbook.csv",), "write": ("--write",)},
    "amend": {"name": ("2026-11-20-work",), "words": ("tach=403.0",), "reason": ("--reason", "a slip"), "by": WHO},
    "attach": {"name": ("2026-11-20-work",), "files": ("weld.jpg",), "text": ("--text", "the weld"), "by": WHO},
    "withdraw": {"name": ("2026-11-21-note",), "reason": ("--reason", "another aircraft"), "by": WHO},
    "balance": {"seats": ("--aboard", "170,150"), "fuel": ("--fuel", "main=10")},
    "sheet": {"target": ("--to", "x.html")},
    "handover": {"target": ("--to", "sold")},
    "calendar": {"target": ("--to", "x.ics")},
    "export": {"as_csv": ("--csv",)},
    "report": {"name": ("2026-11-20-work",)},
    "visits": {"months": ("--months", "3")},
    "parts": {"months": ("--months", "3")},
}
# Walking is asked by tests of its own; the tour and the year ahead take no words that change what they do.
LEFT_OUT = ("tour", "walk")
# Of each parameter as many odd words, drawn by its name; each word for some.
EACH = 3


def parameters() -> Iterator[tuple[str, str]]:
    for command in cli.commands.values():
        for each in command.params:
            takes_words = not (isinstance(each, click.Option) and each.is_flag)
            if command.name not in LEFT_OUT and takes_words:
                yield command.name or "", each.name or ""


def typed(command: str, parameter: str, word: str) -> list[str]:
    """The words of a command line with one odd word in the place of a parameter."""
    noun = cli.commands[command]
    base = BASE.get(command, {})
    options, arguments = [], []
    for each in noun.params:
        said = list(base.get(each.name or "", ()))
        if each.name == parameter:
            said = [each.opts[0], word] if isinstance(each, click.Option) else [word]
        (options if isinstance(each, click.Option) else arguments).extend(said)
    return [command, *options, "--", *arguments] if arguments else [command, *options]


BALANCE = """\
phases: {flight-test: {hours: 5, statement: I certify that five hours were flown.}}
positions: {engine: {}, magneto: {on: engine}}
balance:
  units: lb, in
  datum: firewall
  seats: {left: {arm: 21 in, weighs: 120 lb to 230 lb}, right: {arm: 21 in, weighs: 90 lb to 230 lb}}
  baggage: {shelf: {arm: 46 in, limit: 50 lb}}
  tanks: {main: {arm: 24 in, holds: 12 gal}}
  fuel: 6 lb/gal
  power: 100 hp
  limits: {weight: 1320 lb}
  envelope:
    - {arm: 1 in, weight: 600 lb}
    - {arm: 1 in, weight: 1320 lb}
    - {arm: 30 in, weight: 1320 lb}
    - {arm: 30 in, weight: 600 lb}
"""
RECORDS = {
    "2026-11-01-weighed": "kind: weighing\ndate: 2026-11-01\ndatum: firewall\nlevel: the longerons\n"
    "points: [{at: left, scale: 300 lb, arm: 10 in}, {at: right, scale: 300 lb, arm: 10 in}, "
    "{at: tail, scale: 40 lb, arm: 150 in}]\n"
    "unusable-fuel: in the tank\noil: drained\n",
    "2026-11-02-magneto": "kind: installed\ndate: 2026-11-02\nposition: magneto\nserial: A1\nno change: same weight\n",
    "2026-11-20-work": "kind: work\ndate: 2026-11-20\nmeters: {tach: 404.0}\ndid: [compression]\nby: Ada Bellcrank\n"
    "readings: {compression: {cylinder 1: 76 psi (at least 60), cylinder 2: 75 psi (at least 60)}}\n",
    "2026-11-20-amended": "kind: amendment\ndate: 2026-11-20\nof: 2026-11-20-work\ntext: warm\nby: Ada Bellcrank\n"
    "instead: {reads: {compression: {cylinder 1: 75 psi}}}\n",
    "2026-11-21-note": "kind: work\ndate: 2026-11-21\ntext: a tyre\n",
}
LOGBOOK = "Date,Tach,Work\n2026-09-03,401.0,changed the oil\n2026-09-05,402.0,a new tyre\n"
COLUMNS = """\
format: 1
cells: comma
names: 1
dates: year first
decimals: point
columns: {Date: date, Tach: reads tach, Work: text}
"""


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the store of all these tests is kept as the first of them made it."""
    return tmp_path_factory.mktemp("first") / "plane"


@pytest.fixture
def paged(run: Run, hangar: Path, first: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store with a page on which a finding stands, a part, a weighing, an amendment and a note that nothing rests on.

    The current folder is beside it, with a photograph and a table of a paper logbook in it.
    """
    if not first.exists():
        aircraft = hangar / "records/aircraft.yaml"
        aircraft.write_text(aircraft.read_text(encoding="utf-8") + BALANCE, encoding="utf-8")
        for name, text in RECORDS.items():
            entered(hangar, name, text)
        assert run(hangar, "start", "oil", "elt", "--only", "tach=405.6", "--by", "Ada Bellcrank").code == 0
        assert run(hangar, "finding", "oil", "a drop at the drain").code == 0
        shutil.copytree(hangar, first)
    shutil.copytree(first, hangar, dirs_exist_ok=True)
    monkeypatch.chdir(hangar.parent)
    Path("weld.jpg").write_bytes(b"\xff\xd8 a photograph")
    Path("logbook.csv").write_text(LOGBOOK, encoding="utf-8")
    Path("logbook.columns.yaml").write_text(COLUMNS, encoding="utf-8")
    return hangar


@pytest.mark.parametrize("command", sorted({command for command, _ in parameters()}))
def test_its_own_words_bring_every_command_as_far_as_an_answer(run: Run, paged: Path, command: str) -> None:
    """Else an odd word would meet another refusal first, and nobody would have looked at it."""
    outcome = run(paged, *typed(command, "", ""), typed=("Ada Bellcrank",) * 9)
    # What is on the page is missing before a signature; `new` is told that there is nobody to answer.
    wanted = {"sign": (1,), "new": (2,)}.get(command, (0,))
    assert outcome.code in wanted, outcome


def faults(run: Run, root: Path, words: list[str]) -> Iterator[str]:
    # Bytes that are no text come from the shell as lone surrogates, so they are given as such.
    outcome = run(root, *words, typed=("Ada Bellcrank",))
    if outcome.code not in (0, 1, 2, 3):
        yield f"{words} exits {outcome.code}: {outcome.err[-200:]}"
    if "Traceback" in outcome.err + outcome.out:
        yield f"{words} shows a traceback"
    if marks := acting(outcome.out + outcome.err):
        yield f"{words} says {marks}"


@pytest.mark.parametrize(("command", "parameter"), [*parameters()])
def test_every_parameter_with_odd_words(run: Run, paged: Path, command: str, parameter: str) -> None:
    words = random.Random(f"{command} {parameter}").sample(ODD, EACH)
    found = [fault for word in words for fault in faults(run, paged, typed(command, parameter, word))]
    assert found == []
    # The store is still one that can be read, apart from what was entered.
    assert run(paged, "due").code == 0


@pytest.mark.parametrize("option", ["--store", "--on"])
def test_the_options_of_the_program_itself(run: Run, paged: Path, option: str) -> None:
    found = []
    for word in ODD:
        outcome = run(None, option, word, "due")
        if outcome.code not in (0, 2, 3) or acting(outcome.out + outcome.err):
            found.append((word, outcome))
    assert found == []


def test_no_command_is_forgotten() -> None:
    """Every command that a module of `cli` declares stands in the table of commands, under its own name."""
    modules = [
        importlib.import_module(f"inspect_kit.cli.{path.stem}") for path in Path(commands.__file__).parent.glob("*.py")
    ]
    declared = {
        found.name
        for module in modules
        for found in (*vars(module).values(), *vars(module).get("COMMANDS", ()))
        if isinstance(found, click.Command) and found is not cli
    }
    assert declared == set(cli.commands)
    assert all(command.name == name for name, command in cli.commands.items())


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("handover ../buyer", "handover --to ../buyer"),
        ("sheet ../x.html", "sheet --to ../x.html"),
        ("sheet condition ../x.html", "sheet condition --to ../x.html"),
        ("calendar ../due.ics", "calendar --to ../due.ics"),
        ("calendar ../due", "calendar --to ../due.ics"),
        ("export ../x.csv", "export --csv --to ../x.csv"),
    ],
)
def test_a_file_without_its_option_is_refused_before_a_question_with_the_line_that_would_do(
    run: Run, hangar: Path, line: str, meant: str
) -> None:
    outcome = run(hangar, *line.split(), typed=("../asked.html",))
    told = f"stands behind --to: inspect-kit --store {hangar} {meant}\n"
    assert (outcome.code, outcome.err.endswith(told), "Into which" in outcome.err) == (2, True, False), outcome


def test_every_command_that_writes_a_file_says_so_of_one_without_its_option(run: Run, hangar: Path) -> None:
    writing = [name for name, each in cli.commands.items() if any("--to" in option.opts for option in each.params)]
    assert len(writing) > 15
    found = {name: run(hangar, name, "../x.html", typed=("x",)).err for name in writing if name != "find"}
    asking = {"calendar", "export"}
    assert {name for name, told in found.items() if "stands behind --to" not in told} == asking
