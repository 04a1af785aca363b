"""A name in the walk: one key from a numbered list; any other name is typed in full and confirmed."""

from collections.abc import Sequence

from inspect_kit.cli.walk_state import Walk
from inspect_kit.cli.walk_talk import Choice
from inspect_kit.inspection import edit
from inspect_kit.inspection.people import is_somebody, known_names, no_inspector

LATER, BACK = "l", "b"
BY_ONE_KEY = 9
YES_OR_NO = (Choice(key="y", word="yes"), Choice(key="n", word="no"))


def ask_name(
    walk: Walk,
    question: str,
    *,
    first: str = "",
    without: Sequence[str] = (),
    inspecting: bool = False,
    more: Sequence[Choice] = (Choice(key=LATER, word="later"), Choice(key=BACK, word="back")),
) -> str:
    """A name, or the key of one of `more`, which is shorter than any name.

    `first` is who most likely is meant, by the space bar. `without` are those who are not asked, such as the doer for
    a second look; `inspecting` asks only those who may. Whoever is left out keeps the number: it is the same person's
    in every question of a page.
    """
    page = walk.sheet.page
    aircraft = walk.logbook.aircraft
    known = known_names(aircraft, page)
    left = [name for name in known if any(aircraft.same_person(name, other) for other in without)]
    # By single keys there are nine; whole lines have room for all.
    listed = known[:BY_ONE_KEY] if walk.talk.source else known
    numbered = [
        Choice(key=str(number), word=name, also=" " if name == first else "")
        for number, name in enumerate(listed, 1)
        if name not in left and (not inspecting or no_inspector(aircraft, page, name) is None)
    ]
    other = Choice(key="0", word="another name", does="typed in full")

    def draw() -> None:
        walk.talk.say(question, indent="  ")

    while True:
        draw()
        key = walk.talk.choose([*numbered, *(() if inspecting else (other,)), *more], draw)
        if key == other.key:
            if name := _typed(walk, without):
                return name
        elif key in [choice.key for choice in more]:
            return key
        else:
            return listed[int(key) - 1]


def _typed(walk: Walk, without: Sequence[str]) -> str:
    """A name that is typed and confirmed, and one of the page's helpers from then on; "" for none."""
    same = walk.logbook.aircraft.same_person
    name = walk.talk.line("The whole name:")
    if not name:
        return ""
    if not is_somebody(name):
        walk.talk.say(f"`{name}` is nobody's name.", indent="  ")
        return ""
    if any(same(name, each) for each in without):
        walk.talk.say(f"{name} did it: another pair of eyes is asked.", indent="  ")
        return ""
    for known in known_names(walk.logbook.aircraft, walk.sheet.page):
        if same(name, known):
            return known

    def draw() -> None:
        told = f'"{name}" is neither among the people of this aircraft nor among the helpers of this page.'
        walk.talk.say(f"{told} Write that name down as a helper?", indent="  ")

    draw()
    written = walk.talk.choose(YES_OR_NO, draw) == "y" and walk.change(lambda sheet: edit.add_helper(sheet, name))
    return name if written else ""


def ask_doer(walk: Walk, question: str = "Who does it, from here on?") -> None:
    """Who does and answers from here on; the same as before if the person goes back."""
    name = ask_name(walk, question, more=(Choice(key=BACK, word="back"),))
    if name != BACK:
        walk.doer = name
