"""A setting that somebody changed (propeller pitch, timing, rigging, idle mixture): a dated fact with a reason."""


from inspect_kit.model.kind import ID, REASON, SOMETHING, TEXT, Key, Kind
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting(Record):
    """What was set (`setting`, an id such as propeller-pitch), `on` what, `to` which value, and why.

    `from_` is the value it was found at. A setting belongs to the part that was fitted then.
    """

    setting: str
    on: str = ""
    from_: str = ""
    to: str
    because: str


def _summary(record: Setting) -> str:
    found = f" (found at {record.from_})" if record.from_ else ""
    return f"{record.setting} set to {record.to}{found}: {record.because}"


KIND = Kind(
    name="setting",
    noun=Setting,
    title="setting",
    summary=_summary,
    names_doer="a setting names who set it",
    keys=(
        Key(name="setting", holds=ID, label="Setting", required=True),
        Key(name="on", holds=ID, refers=("position", "check", "panel"), label="On"),
        Key(name="from", holds=TEXT, label="Found at"),
        Key(name="to", holds=TEXT, label="Set to", required=True, says=SOMETHING),
        Key(name="because", holds=TEXT, label="Because", required=True, says=REASON),
    ),
)
