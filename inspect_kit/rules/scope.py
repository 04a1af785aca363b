"""The scope of a condition inspection: the paragraphs of 14 CFR Part 43, Appendix D, as data.

Operating limitations of an experimental amateur-built aircraft ask for an inspection "to the scope and detail of"
Appendix D; Part 43 itself does not reach such an aircraft (43.1(b)). Every paragraph applies "where applicable", so
each code is either covered by a check or named not applicable with a reason.

A code is a paragraph's letter and number, `d3` for (d)(3). Paragraphs (a), (f), (g) and (j) have no numbers. A
builder may split any code (`f.1`, `f.2`); a split counts for its paragraph. The words here are our own and short:
the published text governs.
"""

from collections.abc import Mapping
from types import MappingProxyType

from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Clause:
    """One paragraph of a scope: its code, its subject, what to look for (one entry per duty), and where it stands."""

    code: str
    subject: str
    look_for: tuple[str, ...]
    citation: str

    @property
    def group(self) -> str:
        """The lettered paragraph that it belongs to."""
        return self.code[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """A scope by the name that aircraft.yaml gives it, with its clauses in order."""

    name: str
    title: str
    groups: Mapping[str, str]
    clauses: tuple[Clause, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        return tuple(clause.code for clause in self.clauses)

    def clause(self, code: str) -> Clause | None:
        """The clause of a code, or of the code that a split such as `f.1` belongs to; None for an unknown one."""
        whole = paragraph(code)
        return next((clause for clause in self.clauses if clause.code == whole), None)


def paragraph(code: str) -> str:
    """The code that a split belongs to: `f` for `f.1`; a code that is no split is its own."""
    return code.partition(".")[0]


GROUPS = MappingProxyType(
    {
        "a": "Before the inspection",
        "b": "Fuselage and hull",
        "c": "Cabin and cockpit",
        "d": "Engine and nacelle",
        "e": "Landing gear",
        "f": "Wing and centre section",
        "g": "Empennage",
        "h": "Propeller",
        "i": "Radio",
        "j": "Everything else that is installed",
    }
)

# code | subject | what to look for; a second duty of one paragraph follows a slash that stands alone.
_APPENDIX_D = """
a   | Opening and cleaning | plates, doors, fairings and cowlings that hide something are open or off / aircraft and engine are thoroughly clean
b1  | Fabric and skin | deterioration, distortion and other signs of failure; fittings loose or badly attached
b2  | Systems and components of the fuselage | improper installation, visible defects, unsatisfactory operation
b3  | Envelope, gas bags, ballast tanks and related parts | poor condition
c1  | Cabin and cockpit as a whole | dirt, and loose things that could foul the controls
c2  | Seats and safety belts | poor condition and visible defects
c3  | Windows and windscreens | deterioration and breakage
c4  | Instruments | poor condition, mounting or marking; where practicable, improper operation
c5  | Flight and engine controls | improper installation or operation
c6  | Batteries | improper installation and improper charge
c7  | All systems of the cabin | improper installation, poor condition, evident defects, insecure attachment
d1  | Engine section | visible signs of too much oil, fuel or hydraulic leakage, and where each comes from
d2  | Studs and nuts | improper torque and evident defects
d3  | Inside of the engine | cylinder compression; metal or foreign matter on screens and drain plugs; if it is weak, improper condition and tolerances inside
d4  | Engine mount | cracks, loose mounting, the engine loose on the mount
d5  | Flexible vibration dampers | poor condition and deterioration
d6  | Engine controls | defects, improper travel, improper safetying
d7  | Lines, hoses and clamps | leaks, poor condition, looseness
d8  | Exhaust stacks | cracks, defects, improper attachment
d9  | Accessories | visible defects in how securely they are mounted
d10 | All systems of the nacelle | improper installation, poor condition, defects, insecure attachment
d11 | Cowling | cracks and defects
e1  | All units of the landing gear | poor condition and insecure attachment
e2  | Shock absorbers | improper level of oleo fluid
e3  | Linkages, trusses and members | undue wear, fatigue and distortion
e4  | Retracting and locking mechanism | improper operation
e5  | Hydraulic lines | leakage
e6  | Electrical system | chafing and improper operation of switches
e7  | Wheels | cracks, defects and the condition of bearings
e8  | Tyres | wear and cuts
e9  | Brakes | improper adjustment
e10 | Floats and skis | insecure attachment and evident defects
f   | All components of wing and centre section | poor condition, deterioration of fabric or skin, distortion, signs of failure, insecure attachment
g   | All components and systems of the empennage | poor condition, deterioration of fabric or skin, distortion, signs of failure, insecure attachment, improper installation or operation of components
h1  | Propeller assembly | cracks, nicks, binding and leaks of oil
h2  | Propeller bolts | improper torque and missing safetying
h3  | Anti-icing devices | improper operation and evident defects
h4  | Control mechanisms of the propeller | improper operation, insecure mounting, restricted travel
i1  | Radio and electronic equipment | improper installation and insecure mounting
i2  | Wiring and conduits | improper routing, insecure mounting, evident defects
i3  | Bonding and shielding | improper installation and poor condition
i4  | Antennas, trailing ones too | poor condition, insecure mounting, improper operation
j   | Each installed item not named above | improper installation or operation
"""  # noqa: E501  A table is read by its lines.


def _clauses(table: str, source: str) -> tuple[Clause, ...]:
    found = []
    for line in table.strip().splitlines():
        code, subject, duties = (cell.strip() for cell in line.split("|"))
        where = f"({code[0]})" + (f"({code[1:]})" if code[1:] else "")
        look_for = tuple(duty.strip() for duty in duties.split(" / "))
        found.append(Clause(code=code, subject=subject, look_for=look_for, citation=f"{source}, paragraph {where}"))
    return tuple(found)


APPENDIX_D = Scope(
    name="part 43 appendix D",
    title="14 CFR Part 43, Appendix D",
    groups=GROUPS,
    clauses=_clauses(_APPENDIX_D, "14 CFR Part 43, Appendix D"),
)
