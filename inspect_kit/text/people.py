"""Who did something, in records and pages."""

from typing import Any

from inspect_kit.model.aircraft import Person
from inspect_kit.text.fields import Mapping, Scalar
from inspect_kit.text.mapping import Fields


def read_by(fields: Fields, key: str = "by") -> Person | None:
    """by = NAME | {name [kind] [certificate] [ssh: KEY | [KEY …]]}"""
    node = fields.node_of(key)
    if isinstance(node, Scalar):
        name = fields.text(key)
        return Person(name=name, place=fields.source.place(node.line)) if name else None
    if isinstance(node, Mapping):
        below = Fields(node, fields.source, fields.name(key))
        name = below.text("name", required=True)
        kind, certificate, ssh = below.text("kind"), below.text("certificate"), below.texts("ssh")
        below.finish()
        place = fields.source.place(node.line)
        return Person(name=name, kind=kind, certificate=certificate, ssh=ssh, place=place) if name else None
    if node is not None:
        fields.problem(key, "expected a name, or name, kind and certificate")
    return None


def write_by(person: Person | None) -> "str | dict[str, Any] | None":
    """A name, or name, kind, certificate and public keys where one of these is known."""
    if person is None or not (person.kind or person.certificate or person.ssh):
        return person.name if person else None
    named = {"name": person.name, "kind": person.kind, "certificate": person.certificate, "ssh": list(person.ssh)}
    return {key: value for key, value in named.items() if value}
