"""What is lifted with a kit."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from calc.rig.kit import Kit, Spec
from calc.rig.subjects import Subject, about, about_port, name_of
from calc.rig.wiring import Wired, is_within, own_places

GRAMS = 3
"""Decimals of a weight in kg."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Something that is lifted with a kit."""

    name: str
    spec: Spec
    subject: Subject


def parts_of(wired: Wired, kit: Kit | None) -> list[Part]:
    """Return what is in a kit and in the kits nested in it, planned leads of their links included."""
    places = [Part(name=place.path, spec=place.spec, subject=about(place)) for place in own_places(wired, kit)]
    return places + [
        Part(
            name=f"{joint.cable.name} at {name_of(wired, joint.a)}",
            spec=joint.cable,
            subject=about_port(wired, joint.a),
        )
        for joint in wired.joints
        if joint.cable is not None and joint.link.cable is None and (kit is None or is_within(joint, kit))
    ]


def known_kg(parts: Iterable[Part]) -> float:
    """Return the weight of the parts that state one. [kg]"""
    return round(fsum(part.spec.weight_kg or 0.0 for part in parts), GRAMS)
