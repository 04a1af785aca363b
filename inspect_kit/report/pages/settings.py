"""The settings as they are now, with the values they had before."""

from inspect_kit.due.settings import SettingNow
from inspect_kit.model.logbook import Logbook
from inspect_kit.report.blocks import WARN, Column, Row, Table, table


def settings_table(settings: tuple[SettingNow, ...], logbook: Logbook) -> Table:
    """The present settings: value, since when, by whom and why, and the values before."""
    rows = []
    for each in settings:
        last = each.last
        note = " (the part was changed since: set anew?)" if each.part_changed else ""
        rows.append(
            Row(
                cells=(
                    f"{last.setting} on {last.on}" if last.on else last.setting,
                    f"{last.to}{note}",
                    "; ".join((str(last.date), *(f"amended: {words}" for words in logbook.amendments(last.name)))),
                    last.by.name if last.by else "",
                    last.because,
                    ", ".join(each.values[:-1]),
                ),
                tone=WARN if each.part_changed else "",
            )
        )
    columns = (
        Column(name="setting", wide=True),
        Column(name="now", wide=True),
        Column(name="since"),
        Column(name="by", wide=True),
        Column(name="because", wide=True),
        Column(name="before", wide=True, rank=1),
    )
    return table(columns, rows)
