"""Loudspeakers on an amplifier: what they are together, and what the lead to them loses."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log10

from calc.errors import BadInput, require_list, require_number

MOST_LOSS_DB = 1.0
"""What a lead may lose before somebody hears it. Common practice. [dB]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoudspeakerLead:
    """What a lead does to a loudspeaker."""

    loss_db: float
    """How much less arrives. [dB]"""
    damping: float | None
    """Impedance of the loudspeaker over the resistance of its lead, the amplifier taken as perfect; None without a
    lead. [-]"""


def parallel_ohm(speakers_ohm: Sequence[float]) -> float:
    """Return the impedance of several loudspeakers on one output. [Ω]

    Args:
        speakers_ohm: Nominal impedance of each, at least one. [Ω]

    Raises:
        BadInput: none, or one that is not above 0.

    >>> parallel_ohm([8, 8])
    4.0

    Source: Kirchhoff; nominal impedances by IEC 60268-5, which lets the true one fall a fifth below.
    """
    listed = require_list("speakers_ohm", speakers_ohm)
    if not listed:
        raise BadInput("speakers_ohm", speakers_ohm, "at least one impedance")
    for place, ohm in enumerate(listed):
        require_number(f"speakers_ohm[{place}]", ohm, above=0)
    return 1 / sum(1 / ohm for ohm in listed)


def over_lead(speaker_ohm: float, lead_ohm: float) -> LoudspeakerLead:
    """Return what a lead does to what hangs at its end.

    Args:
        speaker_ohm: Nominal impedance at the end of the lead. [Ω]
        lead_ohm: Resistance of the lead, out and back. [Ω]

    Raises:
        BadInput: no impedance, or a negative resistance.

    Source: Kirchhoff: the voltage divides by Z / (Z + R), as for two resistances; IEC 60268-3 for the damping factor.
    """
    require_number("speaker_ohm", speaker_ohm, above=0)
    require_number("lead_ohm", lead_ohm, least=0)
    return LoudspeakerLead(
        loss_db=20 * log10(1 + lead_ohm / speaker_ohm), damping=speaker_ohm / lead_ohm if lead_ohm > 0 else None
    )
