"""What goes with the aircraft: held against the list of 14 CFR 91.417(a)(2), and read by somebody who has only it."""

import json
import re
import shutil
from collections.abc import Callable, Iterable
from decimal import Decimal
from html import unescape
from pathlib import Path

import pytest
import yaml

from inspect_kit.due import due as due_of
from inspect_kit.model.kinds.equipment import Equipment
from inspect_kit.model.record import Record
from inspect_kit.report.cells import record_words
from inspect_kit.report.html import css_string
from inspect_kit.report.pages.handover import ink_books
from inspect_kit.store import load
from tests.cli.conftest import Run, entered
from tests.report.cells_read import read_csv

SINCE = "last inspection"
ON = "2026-11-25"
# The tests ask about that day, and print on theirs.
PRINTED = r"(, printed \d{4}-\d\d-\d\d)?"
SAMPLE = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample aircraft handed over."""
    from inspect_kit.cli.main import main

    target = tmp_path_factory.mktemp("sold") / "n0ts"
    assert main(["--store", str(SAMPLE), "--on", ON, "handover", "--to", str(target)]) == 0
    return target


def section(text: str, heading: str) -> str:
    """What stands under a heading, up to the next one, on one line."""
    lines = text.split("\n")
    heads = [at for at, line in enumerate(lines[:-1]) if line and lines[at + 1] == "─" * len(line)]
    start = next(at for at in heads if lines[at].startswith(heading))
    end = next((at for at in heads if at > start), len(lines))
    return " ".join(" ".join(lines[start + 2 : end]).split())


# The list of the rule, from the reference on regulations: what each clause asks for, and what must stand under its
# heading for the sample aircraft, worked out by hand from its records.
RULE = {
    "(i)": ("Total time in service", ["607.0 h", "engine", "propeller"]),
    "(ii)": ("Life-limited parts", ["D4-00417", "CO-9026", "2029-02-01", "1393.0 h"]),
    "(iii)": ("Time since overhaul", ["overhaul"]),
    "(iv)": ("Inspections", ["2026-11-30", "Since the last condition inspection of 2025-11-22: 368 days and 59.4 h."]),
    "(v)": (
        "Directives and letters",
        ["0019-08-04", "R1", "2019-07-22", "paragraph (e)(1)", "tach 291.0", "2026-11-30"],
    ),
    "(vi)": ("Changes, and forms of major repairs and alterations", ["suction"]),
}


@pytest.mark.parametrize("clause", RULE)
def test_every_clause_of_the_rule_has_its_section(folder: Path, clause: str) -> None:
    heading, told = RULE[clause]
    found = section((folder / "index.txt").read_text(), f"{heading}: 14 CFR 91.417(a)(2){clause}")
    assert [word for word in told if word not in found] == []


def test_status_columns_of_a_directive(folder: Path) -> None:
    """91.417(a)(2)(v): method of compliance, number, revision date, for a recurring one the next action."""
    text = section((folder / "index.txt").read_text(), "Directives and letters")
    for column in ("number", "revision date", "next action", "method of compliance"):
        assert column in text


def test_costs_and_forecasts_are_left_out(folder: Path) -> None:
    text = (folder / "index.txt").read_text()
    assert "early to late" not in text
    assert "8 of 10" not in text


def test_what_was_paid_is_on_no_page(run: Run, wren: Path, tmp_path: Path) -> None:
    stock = "kind: stock\ndate: 2026-11-01\nitem: oil filter\namount: 2\ncosts: 24.35\n"
    entered(wren, "2026-11-01-filters", stock)
    assert run(wren, "handover", "--to", str(tmp_path / "sold"), on=ON).code == 0
    for name in ("index.txt", "index.html", "records.txt", "records.html"):
        told = (tmp_path / "sold" / name).read_text(encoding="utf-8")
        assert "oil filter" in told
        assert "24.35" not in told
    # The copy of the store is whole, and says so, for its seals are worked out from its bytes.
    kept = (tmp_path / "sold/store/records/2026/2026-11-01-filters.yaml").read_text(encoding="utf-8")
    assert "costs: 24.35" in kept
    told = " ".join((tmp_path / "sold/index.txt").read_text(encoding="utf-8").split())
    assert "These pages leave costs and forecasts out. `store` is a copy of the whole store, byte for byte" in told
    assert "what was paid for parts neither, because the seals are worked out from its bytes" in told


def test_the_whole_store_goes_with_it_and_its_seals_hold(folder: Path, run: Run) -> None:
    sample = load(SAMPLE)
    assert load(folder / "store").files == sample.files
    assert run(folder / "store", "verify", on=ON).code == 0


def test_what_lies_in_the_folders_of_the_store_goes_with_it(run: Run, wren: Path, tmp_path: Path) -> None:
    """Photographs of an open page and of a withdrawn entry, and what somebody laid there, whether it is read or not."""
    there = (
        "records/open/2026-11-20-page/crack.jpg",
        "records/withdrawn/2026-11-14-tags/tag.jpg",
        "records/2026/scans/deep/invoice.pdf",
        "checklists/nose/cowl.jpg",
        "records/2026/oil.yml",
    )
    for number, name in enumerate((*there, "records/.DS_Store", "records/.trash/old.jpg")):
        path = wren / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(bytes([number]))
    (wren / "records/2026/link.jpg").symlink_to(wren / there[0])
    run(wren, "handover", "--to", str(tmp_path / "sold"))
    copy = tmp_path / "sold/store"

    def files_of(root: Path) -> dict[str, bytes]:
        return {each.relative_to(root).as_posix(): each.read_bytes() for each in root.rglob("*") if each.is_file()}

    mine = {name: data for name, data in files_of(wren).items() if name.partition("/")[0] in ("records", "checklists")}
    left = {name for name in mine if "/." in name or name.endswith("link.jpg")}
    assert left == {"records/.DS_Store", "records/.trash/old.jpg", "records/2026/link.jpg"}
    assert files_of(copy) == {name: data for name, data in mine.items() if name not in left}


def test_every_record_is_in_the_index_and_told_in_full(folder: Path) -> None:
    logbook = load(SAMPLE).logbook
    assert logbook is not None
    index = "".join((folder / "index.html").read_text().split())
    told = "".join((folder / "records.html").read_text().split())
    for record in logbook.records:
        assert record.name in index
        assert record.name in told


def rows_of_readings(made: str) -> dict[str, tuple[dict[str, str], str]]:
    """By record: the cells of its row by the names of their columns, and what folds below it."""
    found: dict[str, tuple[dict[str, str], str]] = {}
    for part in re.split("<h2>", made)[1:]:
        if not re.match(r"(<[^>]*>|[^<])*? Meter readings</h2>", part):
            continue
        text = [[unescape(re.sub("<[^>]*>", "", cell)) for cell in re.findall(r"(?s)<t[hd][^>]*>(.*?)</t[hd]>", row)]
                for row in re.findall(r"(?s)<tr.*?</tr>", part)]
        if "record" not in text[0]:
            continue
        names, *rows = text
        for n, row in enumerate(rows):
            if len(row) == len(names):
                cells = dict(zip(names, row, strict=True))
                below = rows[n + 1] if n + 1 < len(rows) and len(rows[n + 1]) == 1 else [""]
                found[cells["record"]] = cells, below[0]
    return found


def test_every_fact_of_every_meter_reading_is_in_its_row(folder: Path) -> None:
    """242 records of readings took five lines each; nothing that one says may be lost in a table."""
    rows = rows_of_readings((folder / "records.html").read_text())
    files = [yaml.safe_load(file.read_text()) | {"name": file.stem} for file in (SAMPLE / "records").glob("20*/*.yaml")]
    hours = [each for each in files if each["kind"] == "hours"]
    assert len(hours) == len(rows) > 200
    told = 0
    for each in hours:
        cells, below = rows[each["name"]]
        assert (cells["date"], cells["entered"]) == (str(each["date"]), str(each["entered"]))
        assert cells["seal (SHA-256)"] == "none"
        for meter, reads in each["meters"].items():
            assert Decimal(cells[meter]) == Decimal(str(reads))
        # What it reads not is no nought, and nothing is told of it.
        empty = [name for name in ("tach", "hobbs", "landings") if name not in each["meters"]]
        assert [cells.get(name, "") for name in empty] == ["" for _ in empty]
        added = "; ".join(f"{what} {much}" for what, much in each.get("added", {}).items())
        assert added in (cells.get("added", ""), below.partition("added: ")[2].partition(";")[0])
        words = " ".join(each.get("text", "").split())
        assert words in f"{cells.get('in words', '')}; {below}"
        told += bool(words)
    assert told == 50


def test_no_sentence_of_a_record_ends_in_the_middle_of_another(folder: Path) -> None:
    """`Corrected: ... The inspection was to begin on Monday.: both forks new`, to be copied into the paper logbook."""
    told = " ".join(re.sub("[│ \n]+", " ", (folder / "records.txt").read_text()).split())
    assert "was to begin on Monday: both forks new" in told
    assert re.findall(r"[a-z]{2}\.[:;,.](?= )", told) == []


def test_an_entry_for_the_paper_logbook_names_checks_by_their_words(folder: Path) -> None:
    """`goes on with `oil-filter-cut` and `oil-fill`` was to be copied by hand thirteen times and more."""
    told = " ".join(re.sub("[│ \n]+", " ", (folder / "records.txt").read_text()).split())
    assert "sample from mid-stream; goes on with Oil filter cut open, new one fitted and Oil filled. Oil filter" in told
    ids = {name for name in load(SAMPLE).logbook.checks if f"`{name}`" in told}
    # What a person wrote in a record stands as it was written.
    assert ids == {"pre-heater", "attitude-battery", "vor-check"}


def test_what_others_did_stands_under_whose_it_is_not(folder: Path) -> None:
    """The heading was `Not done by whoever the record is of`."""
    found = re.findall(r"^Done by others than (.*)\n", (folder / "records.txt").read_text(), re.M)
    assert (found.count("Hazel Quillfeather"), found.count("Otto Rivetsby"), len(found)) == (7, 1, 8)


def test_every_record_says_what_a_meter_read_in_its_unit_and_its_total_since_it_was_changed(folder: Path) -> None:
    """`tach reads 103.5` stood with a magneto fitted at a total of 460.1 h; work of that day said 103.5 h."""
    said = re.findall(r"^Meters +(.*)\n", (folder / "records.txt").read_text(), re.M)
    tach = [re.fullmatch(r"tach reads ([\d.]+) h(?: \(total ([\d.]+)\))?(?:; .*)?", each) for each in said]
    assert [each for each, found in zip(said, tach, strict=True) if not found and not each.startswith("hobbs")] == []
    # The meter of before stood at 354.7, and 1.9 h were flown without one.
    totals = [(Decimal(found[1]), Decimal(found[2])) for found in tach if found and found[2]]
    assert (Decimal("103.5"), Decimal("460.1")) in totals
    assert {total - reads for reads, total in totals} == {Decimal("354.7") + Decimal("1.9")}
    whole = [bool(found[2]) for found in tach if found]
    assert whole == sorted(whole)


def test_what_the_title_says_stands_in_no_record_again(folder: Path) -> None:
    """Of 110 records each had a row of the aircraft and one of the day on which it was printed."""
    title, told = (folder / "records.txt").read_text().split("\n", 1)
    assert re.fullmatch(rf"Records of N0TS, Turnstone TS-2, serial 001, {ON}{PRINTED}", title)
    assert re.findall(r"^(?:Aircraft|Printed)  .*", told, re.M) == []


def test_the_index_says_of_directives_and_findings_what_a_person_would(folder: Path) -> None:
    """`applies no: not this serial`, and findings in the order of the boxes of a page, F5 before F1."""
    told = " ".join((folder / "index.txt").read_text().split())
    assert "float valve, certain serials: does not apply: not this serial" in told
    assert "bench inspection: applies" in told
    assert "W4-2100 to W4-2400: not decided whether it applies" in told
    html = re.sub("<[^>]*>", "", (folder / "index.html").read_text())
    found = re.findall(r"found: (.*?)(?=;|\n)", html[html.index("inspected on 2025-11-22") :])[:5]
    assert [words.split()[0] for words in found] == ["Free", "Fine", "Nose", "One", "Number"]


def test_every_sheet_of_an_inspection_says_of_which(folder: Path) -> None:
    """Its foot is that of the page, and the name of the record."""
    feet = re.findall(r"@page f\d+ \{ @bottom-left \{ content: (.*?); \} \}", (folder / "records.html").read_text())
    files = (SAMPLE / "records").glob("20*/*.yaml")
    names = sorted(file.stem for file in files if "kind: inspection\n" in file.read_text())
    assert len(names) == 8
    title = (folder / "records.txt").read_text().partition("\n")[0]
    assert feet == [css_string(f"{title}: {name}") for name in names]


def test_no_record_of_readings_is_an_empty_row_of_the_index(folder: Path) -> None:
    index = section((folder / "index.txt").read_text(), "Index of all records")
    assert "2026-11-14 meter readings tach 250.4, hobbs 782.1, landings 1776" in index


def test_the_seal_of_each_inspection_stands_in_the_index(folder: Path) -> None:
    logbook = load(SAMPLE).logbook
    assert logbook is not None
    index = "".join((folder / "index.html").read_text().split())
    sealed = [record.seal.sha256 for record in logbook.records if record.seal]
    assert len(sealed) == 8
    assert all(seal in index for seal in sealed)


def test_paper_books_are_named_with_where_they_are(run: Run, wren: Path, tmp_path: Path) -> None:
    entered(wren, "2026-08-16-paper", "kind: work\ndate: 2026-08-16\ntext: tyres\npaper: airframe log p. 4\n")
    assert run(wren, "handover", "--to", str(tmp_path / "a"), on=ON).code == 0
    told = section((tmp_path / "a" / "index.txt").read_text(), "Papers that belong")
    assert "airframe log ask the seller: nothing on record says where not included; 1 record names it" in told
    assert "The operating limitations are not named" in told
    aircraft = wren / "records/aircraft.yaml"
    papers = "papers:\n  - {what: airframe log, at: hangar shelf}\n  - {what: operating limitations, at: seat pocket}\n"
    aircraft.write_text(aircraft.read_text() + papers)
    assert run(wren, "handover", "--to", str(tmp_path / "b"), on=ON).code == 0
    told = section((tmp_path / "b" / "index.txt").read_text(), "Papers that belong")
    assert "airframe log hangar shelf not included" in told
    assert "ask the seller" not in told


def test_ink_books_are_told_without_their_pages() -> None:
    logbook = load(SAMPLE).logbook
    assert logbook is not None
    books = ink_books(due_of(logbook, logbook.records[-1].date, expect=False).seen.records)
    assert {"VOR log", "airframe log", "builder's log", "engine log"} <= {*books}
    assert books["builder's log"] == 2
    # Reports of the laboratory have a number and no page: seven of them are on record.
    assert books["laboratory report"] == 7


def test_a_copy_must_be_a_record_with_files(run: Run, wren: Path) -> None:
    aircraft = wren / "records/aircraft.yaml"
    papers = "papers:\n  - {what: limitations, at: seat pocket, copy: 2026-08-15-hours}\n"
    aircraft.write_text(aircraft.read_text() + papers)
    assert "copy: 2026-08-15-hours names no `files`" in run(wren, "status", on=ON).err


def test_an_inspectors_copy_has_what_was_done_since(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "copy"
    assert run(SAMPLE, "handover", "--to", str(target), "--since", "last inspection", on=ON).code == 0
    text = (target / "records.txt").read_text()
    assert "2025-11-22-condition-j4jj" in text
    assert "2025-11-15-search-n6vy" not in text
    # A statement ends with a full stop, and what was found goes on after it.
    assert ".;" not in (target / "index.txt").read_text()
    # How each inspection was signed, those before that day too.
    signed = re.sub("<[^>]*>", "", (target / "index.html").read_text()).partition("Inspections: ")[2]
    signed = signed.partition("Directives and letters: ")[0]
    assert [f"see airframe log p. {page}" in signed for page in (61, 53, 46, 39, 33, 27, 20, 15)] == [True] * 8
    # The first is an inspection with a foot of its own, and the title stands on its sheet.
    assert '<h1 class="f0">' in (target / "records.html").read_text()
    assert not (target / "store").exists()
    assert (target / "signed/records/2025/2025-11-22-condition-j4jj.md").exists()


def test_a_folder_that_is_not_empty_is_left_alone(run: Run, wren: Path, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    told = run(wren, "handover", "--to", str(tmp_path), on=ON)
    assert told.code == 2
    assert "is not empty" in told.err
    assert sorted(path.name for path in tmp_path.iterdir() if path.is_file()) == ["mine.txt"]


def test_since_what_is_no_date(run: Run, wren: Path, tmp_path: Path) -> None:
    assert run(wren, "handover", "--to", str(tmp_path / "x"), "--since", "lately", on=ON).code == 2
    later = run(wren, "handover", "--to", str(tmp_path / "x"), "--since", "2031-01-01", on=ON)
    assert later.code == 2
    assert "so that nothing would be handed over" in later.err
    assert "no inspection that counts" in run(wren, "handover", "--to", str(tmp_path / "x"), "--since", SINCE).err


def test_since_an_inspection_that_was_brought_forward(run: Run, wren: Path, tmp_path: Path) -> None:
    text = "format: 1\nkind: brought-forward\ndate: 2026-08-01\nmeters: {tach: {reads: 1.0, total: 1.0}}\n"
    text += "last: {condition: {date: 2026-08-14}}\n"
    (wren / "records/2026/2026-08-01-brought-forward-a1.yaml").write_text(text)
    run(wren, "handover", "--to", str(tmp_path / "x"), "--since", SINCE, on=ON)
    assert "2026-08-15-hours" in (tmp_path / "x/records.txt").read_text()


def test_a_file_beside_a_record_that_does_not_name_it_is_a_note(run: Run, wren: Path) -> None:
    folder = wren / "records/2026/2026-08-15-hours"
    folder.mkdir()
    (folder / "weld.jpg").write_bytes(b"x")
    told = json.loads(run(wren, "verify", "--json", on=ON).out)
    assert [each["file"] for each in told["notes"]] == ["records/2026/2026-08-15-hours/weld.jpg"]


def test_every_inspection_is_told_with_who_signed_it_and_where(folder: Path) -> None:
    """What was done: all eight of the sample, by hand from its records; the index has them among hundreds."""
    text = (folder / "index.txt").read_text(encoding="utf-8")
    told = section(text, "Inspections: 14 CFR")
    web = re.sub("</?span[^>]*>", "", (folder / "index.html").read_text(encoding="utf-8"))
    web = web.partition(">Inspections: 14 CFR")[2].partition(">Directives and letters")[0]
    for date, total, who, book in (
        ("2018-05-26", "81.2 h", "Hazel", "p. 15"),
        ("2022-11-12", "340.9 h", "Otto", "p. 39"),
        ("2025-11-22", "547.6 h", "Hazel", "p. 61"),
    ):
        assert f"{date} condition {total} passed {who}" in told
        assert f"see airframe log {book}" in web
    assert told.count(" passed ") == 8
    assert told.count("0000001") == 1
    assert "No change that its owner calls major is on record." in section(text, "Changes, and forms")


def test_the_papers_of_parts_with_a_life(folder: Path) -> None:
    """91.417(a)(2)(ii) with what proves it: a card in a folder, a tag that was attached later, and who asks."""
    text = (folder / "index.txt").read_text(encoding="utf-8")
    told = section(text, "Life-limited parts")
    assert "papers: parts folder, card of harness HL-0612" in told
    tag = "store/records/2026/2026-11-14-fuel-hose-tags-h7vq/hose-tags.txt"
    assert f"papers: {tag}" in told
    assert "FH-251" in (folder / tag).read_text(encoding="utf-8")
    assert "asked by: engine maker (advice)" in told
    where = section(text, "Papers that belong")
    assert "parts folder hangar office, steel cabinet: makers' cards," in where


def test_what_is_to_be_looked_at_again_stands_beside_its_finding(folder: Path) -> None:
    web = re.sub("</?span[^>]*>", "", (folder / "index.html").read_text(encoding="utf-8"))
    assert "by 2027-01-31; look again in 25 h" in web.partition(">Open discrepancies")[2].partition(">Settings")[0]


def test_what_is_due_is_told_in_words(folder: Path) -> None:
    """A buyer has never seen the checklists: an id alone tells them nothing."""
    told = section((folder / "index.txt").read_text(), "What is due")
    assert "past due Tyre pressures " in told
    logbook = load(SAMPLE).logbook
    assert logbook is not None
    assert "Hub face" in told
    assert not [word for word in ("hub-face 187.4 h", "past due tyre-pressures") if word in told]


def test_every_change_of_weight_stands_beside_its_record(folder: Path) -> None:
    """By hand: 838.0 + 0.6 - 4.6 + 5.3 - 4.6 - 6.2 + 1.7 + 2.4 = 832.6 lb; moments from the records' own figures:
    13,093.0 - 14.4 + 174.8 - 201.4 - 9.2 + 114.7 + 3.4 + 19.2 = 13,180.1 lb-in, and 13,180.1 / 832.6 = 15.83 in."""
    told = section((folder / "index.txt").read_text(), "Weight and balance")
    assert "832.6 lb at 15.83 in, moment 13180.1 lb-in" in told
    logbook = load(SAMPLE).logbook
    assert logbook is not None
    changes = [record.name for record in logbook.of_kind(Equipment) if not record.no_change]
    assert len(changes) == 7
    assert [name for name in changes if name not in told] == []
    assert "838.0 15.62" in told


def test_the_operating_limitations_go_with_it(folder: Path, run: Run) -> None:
    """Where the page says that a copy is, there it is, with the statement and the signers that aircraft.yaml quotes."""
    told = section((folder / "index.txt").read_text(), "Papers that belong")
    assert "ask the seller" not in told
    where = next(folder.glob("store/records/*/*/operating-limitations.txt"))
    assert str(where.relative_to(folder)).replace("-", "") in told.replace(" ", "").replace("-", "")
    copy = " ".join(where.read_text().split())
    logbook = load(SAMPLE).logbook
    assert logbook is not None
    rule = logbook.aircraft.inspections["condition"]
    assert " ".join(rule.statement.replace("{date}", "[date]").split()) in copy
    for phase in logbook.aircraft.phases.values():
        blanks = phase.statement.replace("{date}", "[date]")
        for value in phase.demonstrates:
            blanks = blanks.replace(f"{{{value}}}", "____")
        assert " ".join(blanks.split()) in copy


def test_an_inspectors_copy_has_the_limitations_too(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "copy"
    assert run(SAMPLE, "handover", "--to", str(target), "--since", "2026-11-20", on=ON).code == 0
    assert "2026-11-14" not in section((target / "index.txt").read_text(), "Records since")
    assert list(target.rglob("operating-limitations.txt"))


COLUMNS = """\
format: 1
cells: comma
names: 1
dates: year first
decimals: point
columns: {NAMES}
"""


def test_what_was_exported_can_be_imported(run: Run, wren: Path, tmp_path: Path) -> None:
    """All records of an aircraft as a table, taken in by a new store as its paper logbook: days, words, names, places
    and meter readings come through as they were, and what looked like a formula has lost its apostrophe."""
    told = "kind: work\ndate: 2026-11-02\nmeters: {tach: 24.5}\ntext: '=SUM(A1) was written on the tag'\n"
    entered(wren, "2026-11-02-trap", told + "by: Wilma Fieldfare\nat: +1 hangar\n")
    before = load(wren).logbook
    assert before is not None
    other = tmp_path / "other"
    (other / "checklists").mkdir(parents=True)
    (other / "records").mkdir()
    for file in wren.glob("checklists/*/*.md"):
        shutil.copy(file, other / "checklists")
    shutil.copy(wren / "records/aircraft.yaml", other / "records")
    table = tmp_path / "all.csv"
    assert run(wren, "export", "--csv", "--to", str(table)).code == 0
    assert "'=SUM(A1)" in table.read_text()
    roles = {"date": "date", "what": "text", "by": "by", "certificate": "certificate", "at": "at", "tach": "reads tach"}
    names = read_csv(table.read_bytes().decode())[0]
    told = ", ".join(f"{name}: {roles.get(name, 'left out')}" for name in names)
    (tmp_path / "all.columns.yaml").write_text(COLUMNS.replace("NAMES", told))
    imported = run(other, "import", str(table), "--write")
    assert imported.code == 0, imported.err
    after = load(other).logbook
    assert after is not None
    assert not after.problems

    def said(records: Iterable[Record], words: Callable[[Record], str]) -> list[tuple[str, ...]]:
        return sorted(
            (
                str(each.date),
                " ".join(words(each).split()),
                each.by.name if each.by else "",
                each.at,
                str(each.meters.get("tach", "")),
            )
            for each in records
        )

    assert said(after.records, lambda each: each.text) == said(before.records, record_words)


def test_a_table_does_not_act_on_a_terminal(run: Run, wren: Path, tmp_path: Path) -> None:
    """What a record writes as an escape of YAML was in the table as it is."""
    told = 'kind: hours\ndate: 2026-11-02\nmeters: {tach: 24}\ntext: "\\e[2J\\x9b31m\\u2028\\u202eX"\n'
    entered(wren, "2026-11-02-trap", told)
    table = tmp_path / "all.csv"
    assert run(wren, "export", "--csv", "--to", str(table)).code == 0
    (cell,) = (cell for row in read_csv(table.read_bytes().decode()) for cell in row if "[2J" in cell)
    assert cell.isprintable()
    assert "\\x1b[2J\\x9b31m" in cell


def test_inspections_on_paper_are_told_with_their_paper(run: Run, hangar: Path) -> None:
    """Brought forward and imported: what counts by `last` is an inspection too (14 CFR 91.417(a)(2)(iv))."""
    (hangar / "records/2024").mkdir()
    kind = "repairman (experimental aircraft builder)"
    paper = f"paper: log p. 12\nby: {{name: Al Kazam, kind: {kind}, certificate: '77'}}\nlast: [condition]\n"
    imported = f"format: 1\nkind: paper-entry\ndate: 2024-12-01\ntotals: {{tach: 590.0}}\ntext: Annual, passed\n{paper}"
    (hangar / "records/2024/2024-12-01-annual.yaml").write_text(imported, encoding="utf-8")
    target = hangar.parent / "sold"
    assert run(hangar, "handover", "--to", str(target)).code == 0
    told = section((target / "index.txt").read_text(encoding="utf-8"), "Inspections: 14 CFR")
    assert "2025-12-13 condition 620.0 h passed as the paper says signature: on paper: aircraft log p. 31" in told
    assert f"2024-12-01 condition 590.0 h passed Al Kazam, {kind} 77 signature: on paper: log p. 12" in told
