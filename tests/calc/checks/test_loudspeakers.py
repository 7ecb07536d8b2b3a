"""Loudspeakers on an amplifier: together against its least load, and what their leads lose. IEC 60268-3; Kirchhoff."""

import pytest

from calc.rig.kit import CableSheet, Port, SoundSheet
from tests.calc.checks.kits import findings, kit, missing, only, spec


def port(name, side="socket", through=None):
    return Port(name=name, connector="speaker-4", side=side, carries="audio", through=through)


def amplifier(least_ohm=4.0):
    sheet = None if least_ohm is None else SoundSheet(least_ohm=least_ohm)
    return spec("amplifier", "other", [port("1"), port("2")], sound=sheet)


def speaker(ohm=8.0):
    sheet = None if ohm is None else SoundSheet(impedance_ohm=ohm)
    return spec("loudspeaker", "other", [port("in", through="link"), port("link", through="in")], sound=sheet)


def lead(length_m=10, area_mm2=2.5):
    ends = [port("a", "plug"), port("b", "plug")]
    return spec("loudspeaker lead", "cable", ends, cable=CableSheet(length_m=length_m, area_mm2=area_mm2))


def chain(*speakers, amp=None, with_lead=None):
    """Return an amplifier with loudspeakers on its first output, one linked on from the other."""
    things = {"amp": amp or amplifier(), **{f"speaker {n}": one for n, one in enumerate(speakers, start=1)}}
    ends = ["amp:1", *(f"speaker {n}:{hole}" for n in range(1, len(speakers) + 1) for hole in ("in", "link"))][:-1]
    pairs = zip(ends[::2], ends[1::2], strict=True)
    return kit(things, [(f"{one} - {other}", with_lead or lead()) for one, other in pairs])


@pytest.mark.parametrize(("count", "together"), [(1, None), (2, None), (3, 2.667)])
def test_loudspeakers_in_a_row_are_side_by_side(count, together):
    """8, 4 and 2.67 ohm on an output for 4 ohm at least."""
    found = findings(chain(*[speaker()] * count), "speaker-load")
    assert [(f.severity, f.value, f.limit, f.unit) for f in found] == (
        [] if together is None else [("stop", together, 4, "Ω")]
    )


def test_a_loudspeaker_on_each_output_shares_nothing():
    things = {"amp": amplifier(), "left": speaker(4.0), "right": speaker(4.0)}
    links = [("amp:1 - left:in", lead()), ("amp:2 - right:in", lead())]
    assert findings(kit(things, links), "speaker-load") == []


def test_a_junction_puts_its_branches_side_by_side():
    ports = [port("in"), port("a", through="in"), port("b", through="in"), port("c", through="in")]
    things = {"amp": amplifier(), "box": spec("junction", "adapter", ports)}
    things |= {f"speaker {n}": speaker() for n in "abc"}
    links = [("amp:1 - box:in", lead()), *((f"box:{n} - speaker {n}:in", lead()) for n in "abc")]
    assert only(kit(things, links), "speaker-load").value == pytest.approx(2.667)


def test_an_unknown_impedance_is_asked_for_where_it_decides():
    """4 to 16 ohm beside 8: 2.7 to 5.3 together."""
    assert missing(chain(speaker(), speaker(None))) == ["sound.impedance_ohm"]
    assert missing(chain(speaker(None))) == []
    assert missing(chain(speaker(), speaker(), amp=amplifier(None))) == ["sound.least_ohm"]
    assert missing(chain(speaker(), amp=amplifier(None))) == []


def test_where_no_sheet_says_which_end_drives_nothing_is_asked():
    assert missing(chain(speaker(None), speaker(None), amp=amplifier(None))) == []


@pytest.mark.parametrize(("length_m", "is_found"), [(70, False), (71, True)])
def test_a_thin_lead_keeps_sound_for_itself(length_m, is_found):
    """1 dB is 10 ** 0.05 - 1 of the impedance: 0.976 of 8 ohm; 2 x 70.7 m of 2.5 mm2 at 17.241 ohm mm2/km."""
    found = findings(chain(speaker(), with_lead=lead(length_m)), "speaker-lead-thin")
    assert [(f.severity, f.limit, f.unit) for f in found] == ([("caution", 1, "dB")] if is_found else [])


def test_the_lead_to_the_first_carries_what_the_others_draw():
    """40 m of 2.5 mm2 are 0.552 ohm: 0.58 dB before 8 ohm, 1.12 dB before 4 ohm and more before the second."""
    assert findings(chain(speaker(), with_lead=lead(40)), "speaker-lead-thin") == []
    assert only(chain(speaker(), speaker(), with_lead=lead(40)), "speaker-lead-thin").value > 1.12


def test_an_unknown_conductor_may_be_too_thin():
    assert missing(chain(speaker(), with_lead=lead(60, None))) == ["cable.area_mm2"]
    assert missing(chain(speaker(), with_lead=lead(10, None))) == []
