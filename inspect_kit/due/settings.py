"""The settings as they are now: the last value of each, on which part, and what it was before."""


from inspect_kit.due.chronicle import Chronicle
from inspect_kit.due.fitting import Fittings, present
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.settings import settings_of
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingNow:
    """The last record of a setting, the ones before it from old to new, and whether the part was changed since."""

    last: Setting
    before: tuple[Setting, ...]
    part_changed: bool

    @property
    def values(self) -> tuple[str, ...]:
        """Every value it was set to, from old to new; one at which it was found otherwise stands between."""
        told: list[str] = []
        for each in (*self.before, self.last):
            if each.from_ and (not told or told[-1] != each.from_):
                told.append(each.from_)
            told.append(each.to)
        return tuple(told)


def settings_now(book: Chronicle, fittings: Fittings) -> tuple[SettingNow, ...]:
    """Each setting once, by its name and what it is on, in the order in which they were first set."""
    made = []
    for (_, on), each in settings_of(book.logbook).items():
        stay = present(fittings.get(on, ()))
        started = stay.start.date if stay else None
        changed = started is not None and started > each[-1].date
        made.append(SettingNow(last=each[-1], before=tuple(each[:-1]), part_changed=changed))
    return tuple(made)
