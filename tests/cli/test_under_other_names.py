"""A record or an open page that a telephone, an editor or a mouse saved under another ending, or in another folder:
what it says is a reason not to fly until it is where it counts, and the way back that is told is the right one.
"""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

FINDING = """\
format: 1
kind: finding
date: 2026-11-20
found: crack in a gear leg
fix: before flight
by: Ada Bellcrank
"""
NAME = "2026-11-20-gear"


def told(run: Run, store: Path, name: str) -> str:
    """What is a reason not to fly at a file, that `verify` finds the store not good for; "" where it is none."""
    stops = json.loads(run(store, "due", "--json").out)["stops"]
    found = " ".join(stop["text"] for stop in stops if name in stop["text"] or stop["file"] == name)
    assert (run(store, "verify").code != 0) == bool(found)
    return found


@pytest.mark.parametrize(
    "name",
    [
        "records/2026/gear-crack.md",
        "records/gear-crack.md",
        "records/2026/gear.yaml.md",
        "records/2026/README.md",
        f"records/2026/{NAME}.md",
    ],
)
@pytest.mark.parametrize("fence", ["", "---\n", "```yaml\n", "# From the telephone\n\n"])
def test_a_record_that_ends_like_a_page(run: Run, hangar: Path, name: str, fence: str) -> None:
    (hangar / name).write_text(fence + FINDING, encoding="utf-8")
    found = told(run, hangar, name)
    assert "reads like a record and is not read, because its name ends in .md: end it in .yaml" in found
    assert "gone" not in found


@pytest.mark.parametrize("name", ["gear.md", "gear.txt", "gear"])
def test_a_record_beside_the_folders(run: Run, hangar: Path, name: str) -> None:
    (hangar / name).write_text(FINDING, encoding="utf-8")
    assert "move it into records/, its name ending in .yaml" in told(run, hangar, name)


def test_words_with_an_example_are_none(run: Run, hangar: Path) -> None:
    for name in ("records/2026/README.md", "records/2026/notes.md", "README.md"):
        (hangar / name).write_text(f"How we write, such as\n\n{FINDING}", encoding="utf-8")
        assert told(run, hangar, name) == ""


@pytest.mark.parametrize(
    ("where", "cure"),
    [
        ("records/open/{}.md.txt", "end its name in .md so that it counts"),
        ("records/open/{}.markdown.txt", "end its name in .md so that it counts"),
        ("records/open/{}.txt", "end its name in .md so that it counts"),
        ("records/open/{}.md~", "end its name in .md so that it counts"),
        ("records/open/{}", "end its name in .md so that it counts"),
        ("records/2026/{}.yaml.txt", "end its name in .yaml so that it counts"),
        ("records/2026/{}.md", "unless it was never sealed: then move it into records/open/"),
        ("records/{}.md", "unless it was never sealed: then move it into records/open/"),
        ("{}.md", "reads like an open page and is not read here: move it into records/open/"),
        ("{}.txt", "reads like an open page and is not read here: move it into records/open/"),
    ],
)
def test_an_open_page_elsewhere(run: Run, hangar: Path, where: str, cure: str) -> None:
    page = hangar / run(hangar, "start", "oil", "--only", "tach=405.6", "--by", "Ada Bellcrank").out.strip()
    name = where.format(page.stem)
    page.rename(hangar / name)
    assert cure in told(run, hangar, name)


def test_an_open_page_in_a_folder_of_its_own(run: Run, hangar: Path) -> None:
    """It is open, and nothing could be signed from it: that is told before anybody fills it."""
    page = hangar / run(hangar, "start", "oil", "--only", "tach=405.6", "--by", "Ada Bellcrank").out.strip()
    (page.parent / "2026").mkdir()
    page.rename(page.parent / "2026" / page.name)
    cure = "lies in a folder of records/open/: move it into records/open/ itself, where it is signed"
    assert cure in run(hangar, "due").err
    assert "open worksheet" in told(run, hangar, page.stem)
    assert cure in run(hangar, "sign", "--as", "Ada Bellcrank").err


class TestTheFolderOfAPageThatGotAnotherName:
    """Its photographs were sealed with nothing and left behind, and nobody was told."""

    ADA = ("--as", "Ada Bellcrank")

    @pytest.fixture
    def page(self, run: Run, hangar: Path, tmp_path: Path) -> Path:
        page = hangar / run(hangar, "start", "oil", "--only", "tach=405.6", "--by", "Ada Bellcrank").out.strip()
        (tmp_path / "filter.jpg").write_bytes(b"\xff\xd8 the old filter")
        assert run(hangar, "attach", page.stem, str(tmp_path / "filter.jpg")).code == 0
        text = page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: as planned")
        page.write_text(text, encoding="utf-8")
        return page

    def test_is_told_and_sealed_when_it_has_the_name_too(self, run: Run, hangar: Path, page: Path) -> None:
        new = page.rename(page.with_name("oil-change.md"))
        folder = f"records/open/{page.stem}"
        assert "belongs to no open page, and is sealed with none" in told(run, hangar, folder)
        refused = run(hangar, "sign", *self.ADA, typed=("Ada Bellcrank",))
        assert refused.code == 3
        assert f"{folder}: what is in it belongs to no open page" in refused.err
        assert new.exists()
        (hangar / folder).rename(new.with_suffix(""))
        assert told(run, hangar, "records/open/oil-change") == ""
        assert run(hangar, "sign", *self.ADA, typed=("Ada Bellcrank",)).code == 0
        assert len([*hangar.glob("records/2026/*/filter.jpg")]) == 1
        assert run(hangar, "verify").code == 0

    def test_is_told_when_the_page_is_gone(self, run: Run, hangar: Path, page: Path) -> None:
        page.unlink()
        assert "belongs to no open page" in told(run, hangar, f"records/open/{page.stem}")

    def test_an_empty_one_and_what_a_system_leaves_is_nothing(self, run: Run, hangar: Path) -> None:
        folder = hangar / "records/open/2026"
        folder.mkdir(parents=True)
        (folder / ".DS_Store").write_bytes(b"x")
        assert told(run, hangar, "records/open/2026") == ""
