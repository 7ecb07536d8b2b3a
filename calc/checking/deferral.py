"""Who decides where a figure for planning could hurt somebody: told once an answer, not once a finding."""

from collections.abc import Iterable, Mapping

from calc.checking.registry import CHECKS

MATTER_OF_THEME: Mapping[str, str] = {
    "circuits": "mains",
    "cords": "mains",
    "couplers": "mains",
    "mains_touch": "mains",
    "sources": "mains",
    "heat": "heat",
}
"""File of checks → what they are about, for the files of which every finding is."""
MATTER_OF_CODE: Mapping[str, str] = {
    "too-heavy": "lifting",
    "battery-transport": "batteries",
    "radio-crowded": "radio",
    "multicast-on-radio": "radio",
}
DECIDES: Mapping[str, str] = {
    "mains": "a licensed electrician about mains",
    "heat": "data sheets and the fire rules of the venue about heat",
    "lifting": "people trained in manual handling about lifting",
    "batteries": "the carrier and its dangerous-goods staff about batteries",
    "radio": "the authority for spectrum about radio",
}
"""Matter → who decides about it, in the order in which they are told."""


def matter_of(code: str) -> str | None:
    """Return what a finding is about, where somebody else decides: one of ``DECIDES``, or None."""
    entry = CHECKS.get(code)
    return None if entry is None else MATTER_OF_CODE.get(code, MATTER_OF_THEME.get(entry.theme))


def codes_behind(code: str, inputs: Mapping[str, object]) -> frozenset[str]:
    """Return the code of a finding and, for a missing number, those of the checks that wait for it."""
    return frozenset({code, *str(inputs.get("waiting", "")).split(", ")} & set(CHECKS))


def deferral(codes: Iterable[str]) -> str | None:
    """Return the sentence that tells who decides about what these findings are about; None where nobody else does.

    Args:
        codes: Those of ``codes_behind`` each finding.
    """
    matters = {matter_of(code) for code in codes}
    told = [words for matter, words in DECIDES.items() if matter in matters]
    if not told:
        return None
    return f"These are figures for planning. Local codes and the venue decide, and {'; '.join(told)}."
