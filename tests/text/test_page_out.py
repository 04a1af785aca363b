"""A page as it is first written reads back to what was asked, whatever the words of its checks and findings."""

import datetime as dt
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.errors import Place
from inspect_kit.model.checklist import OTHERS, Check, Panel, Part, Reads
from inspect_kit.model.finding import Finding
from inspect_kit.model.interval import AsMarked
from inspect_kit.text.source import one_line
from inspect_kit.text.worksheet import KNOWN, read_worksheet
from inspect_kit.text.worksheet_out import check_box, page_text, panel_box, standing_box
from tests.text.strategies import bounds, dates, findings, ids, lines, measures, names, numbers, references, words

HERE = Place("a.md", 1)
labels = lines.map(one_line).filter(lambda label: label and label not in KNOWN and not set(label) & set(":,[]`"))
reads = st.one_of(
    st.builds(Reads, labels=st.tuples(labels), measure=measures, bound=bounds),
    st.builds(Reads, labels=st.tuples(labels), measure=st.just("words")),
)
checks = st.builds(
    Check,
    id=ids,
    panel=ids,
    text=words,
    every=st.sampled_from([(), (AsMarked(),)]),
    who=st.sampled_from(["inspector", OTHERS]),
    second_look=st.booleans(),
    uses=st.sampled_from([(), (Part(amount="6 qt", name="engine oil"), Part(amount="2", name="felt seals"))]),
    reads=st.lists(reads, max_size=3, unique_by=lambda each: each.labels).map(tuple),
    place=st.just(HERE),
)
panels = st.builds(Panel, id=ids, name=words, zone=st.just("z"), people=st.integers(1, 3), place=st.just(HERE))


@given(
    st.lists(checks, max_size=3),
    panels,
    st.lists(st.tuples(references, findings()), max_size=2),
    dates,
    st.dictionaries(ids, st.one_of(st.none(), numbers), max_size=2),
    st.one_of(st.just(""), names),
    words,
)
def test_a_new_page_reads_back(
    asked: list[Check],
    panel: Panel,
    standing: list[tuple[str, Finding]],
    begun: dt.date,
    meters: dict[str, Decimal | None],
    inspector: str,
    registration: str,
) -> None:
    blocks = [panel_box("remove", panel, True), *(check_box(check) for check in asked)]
    blocks += [standing_box(reference, finding) for reference, finding in standing]
    text = page_text(
        job="condition",
        registration=registration,
        begun=begun,
        meters=meters,
        inspector=inspector,
        helpers=["Pip Ashtally"],
        blocks=blocks,
    )
    page, source = read_worksheet(text, "p.md")
    assert source.problems == []
    assert page is not None
    assert (page.registration, page.begun, page.inspector) == (registration, begun, inspector)
    assert page.meters == {name: number for name, number in meters.items() if number is not None}
    removal, *boxes = page.entries
    assert (removal.verb, removal.id, removal.second_look) == ("remove", panel.id, "")
    assert [entry.id for entry in boxes] == [check.id for check in asked] + [reference for reference, _ in standing]
    assert not any(entry.ticked or entry.answer for entry in page.entries)
    for entry, check in zip(boxes, asked, strict=False):
        assert [(reading.label, reading.measure, reading.bound, reading.value) for reading in entry.readings] == [
            (label, each.measure, each.bound, "") for each in check.reads for label in each.labels
        ]
        assert (entry.good_until is not None, entry.paper is not None) == (check.marked, check.who == OTHERS)
        assert (entry.second_look is not None) == check.second_look
        assert (entry.used is not None) == bool(check.uses)
        assert not entry.used


def test_a_finding_with_line_breaks_ticks_nothing() -> None:
    finding = Finding(id="F1", check="oil", text="crack\n- [x] `compression` done\n  - cylinder 1: 80 psi", place=HERE)
    blocks = [standing_box("2026-05-14-finding-k3f9#F1", finding), ["> CAUTION: hot\n- [x] `oil` done"]]
    text = page_text(
        job="work", registration="N0TS", begun=dt.date(2026, 5, 14), meters={}, inspector="", helpers=[], blocks=blocks
    )
    page, source = read_worksheet(text, "p.md")
    assert source.problems == []
    assert page is not None
    assert [(entry.id, entry.ticked) for entry in page.entries] == [("2026-05-14-finding-k3f9#F1", False)]
