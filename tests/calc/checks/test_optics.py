"""Optics at the two ends of a fibre run. Applications, wavelengths and fibres: IEEE 802.3, from memory."""

import pytest

from calc.rig.kit import CableSheet, OpticsSheet, Port
from tests.calc.checks.kits import findings, kit, missing, only, spec


def fibre(name, connector="lc-duplex", side="socket", **fields):
    return Port(name=name, connector=connector, side=side, carries="fibre", **fields)


def module(line="lc-duplex", **optics):
    """Return an optical module: one end goes into a cage, the other takes the glass."""
    ends = [fibre("host", "sfp", "plug", through="line"), fibre("line", line, through="host")]
    return spec("module", "adapter", ends, optics=OpticsSheet(**optics) if optics else None)


def glass(category="OS2", ends=("lc-duplex", "lc-duplex"), length_m=100):
    plugs = [fibre("a", ends[0], "plug"), fibre("b", ends[1], "plug")]
    return spec("fibre lead", "cable", plugs, cable=CableSheet(length_m=length_m, category=category))


def device(connector="sfp", rate=10_000, **optics):
    sheet = OpticsSheet(**optics) if optics else None
    return spec("switch", "switch", [fibre("f", connector, speed_mbps=rate)], optics=sheet)


def joined(one, other, lead=None, cage=None):
    """Return two cages with a module in each, and glass between them."""
    things = {"A": cage or device(), "B": cage or device(), "module A": one, "module B": other}
    glass_link = ("module A:line - module B:line", lead or glass())
    return kit(things, ["A:f - module A:host", "B:f - module B:host", glass_link])


def named(application, **more):
    return module(application=application, **more)


@pytest.mark.parametrize(
    ("one", "other", "severity"),
    [
        (named("10GBASE-LR"), named("10GBASE-LR"), None),
        (named("10GBASE-SR"), named("10GBASE-LR"), "stop"),
        (named("10GBASE-LR"), named("10GBASE-ER"), "caution"),
        (named("1000BASE-LX10"), named("10GBASE-LR"), "stop"),
        (named("1000BASE-LX"), named("1000BASE-LX10"), None),
        (module(wavelength_nm=1310), module(wavelength_nm=1550), "caution"),
        (module(wavelength_nm=850), module(wavelength_nm=1310), "stop"),
        (module(wavelength_nm=1300), module(wavelength_nm=1310), None),
    ],
)
def test_both_ends_send_the_same_light(one, other, severity):
    found = findings(joined(one, other), "fibre-type-mismatch")
    assert [f.severity for f in found if "belong together" in f.message] == ([] if severity is None else [severity])


def test_one_fibre_both_ways_takes_two_halves():
    """1000BASE-BX10: 1310 nm one way, 1490 nm the other."""
    up, down = (named("1000BASE-BX10", line="lc-simplex", wavelength_nm=nm) for nm in (1310, 1490))
    lead = glass(ends=("lc-simplex", "lc-simplex"))
    gigabit = device(rate=1000)
    paired = joined(up, down, lead, gigabit)
    assert findings(paired, "fibre-type-mismatch") == findings(paired, "fibres-short") == []
    assert only(joined(up, up, lead, gigabit), "fibre-type-mismatch").severity == "stop"


def test_glass_that_the_optics_are_not_made_for():
    found = only(joined(named("10GBASE-SR"), named("10GBASE-SR"), glass("OS2")), "fibre-type-mismatch")
    assert (found.severity, "10GBASE-SR is not made for OS2" in found.message) == ("stop", True)
    assert findings(joined(named("10GBASE-SR"), named("10GBASE-SR"), glass("OM5")), "fibre-type-mismatch") == []


def test_no_optics_of_that_speed_run_on_that_glass():
    found = only(joined(module(), module(), glass("OM1"), device(rate=25_000)), "fibre-type-mismatch")
    assert "optics of 25000 Mb/s are not made for OM1" in found.message


def test_the_module_and_not_the_cage_says_how_far_it_reaches():
    """A 10G cage with 1000BASE-SX in it: 550 m on OM3 (IEEE 802.3z)."""
    slow = joined(named("1000BASE-SX"), named("1000BASE-SX"), glass("OM3", length_m=500))
    assert findings(slow, "fibre-too-long") == []
    assert only(joined(module(), module(), glass("OM3", length_m=500)), "fibre-too-long").limit == 300


@pytest.mark.parametrize(("length_m", "is_found"), [(100, False), (101, True)])
def test_forty_gigabit_over_multimode(length_m, is_found):
    """40GBASE-SR4 reaches 100 m on OM3 (IEEE 802.3 clause 86)."""
    mpo = glass("OM3", ("mpo-12", "mpo-12"), length_m)
    ends = {name: device("mpo-12", rate=40_000) for name in ("A", "B")}
    assert bool(findings(kit(ends, [("A:f - B:f", mpo)]), "fibre-too-long")) is is_found


def test_a_module_takes_no_light_of_its_own():
    """400 m on OM4 at 10GBASE-SR: 1.4 of 2.9 dB; a module is no connection between the optics."""
    assert (
        findings(joined(named("10GBASE-SR"), named("10GBASE-SR"), glass("OM4", length_m=400)), "fibre-too-long") == []
    )


class TestCages:
    def bare(self, lead, **optics):
        things = {"A": device(**optics), "B": device(**optics)}
        return kit(things, [("A:f - B:f", lead)])

    def test_glass_in_a_cage_asks_for_the_module(self):
        assert findings(self.bare(glass()), "connector-mismatch") == []
        assert missing(self.bare(glass())) == ["optics.application"]

    def test_the_sheet_of_the_device_may_say_what_is_in_its_cages(self):
        assert missing(self.bare(glass(), application="10GBASE-LR")) == []
        wrong = self.bare(glass("OM3"), application="10GBASE-LR")
        assert only(wrong, "fibre-type-mismatch").severity == "stop"

    def test_a_lead_with_modules_fixed_to_it_needs_none(self):
        attached = glass(None, ("sfp", "sfp"), 3)
        assert missing(self.bare(attached)) == []
        assert findings(self.bare(attached), "connector-mismatch") == []

    def test_a_plug_that_no_module_has_does_not_go_into_a_cage(self):
        assert only(self.bare(glass(ends=("st", "st"))), "connector-mismatch").severity == "stop"

    def test_a_module_is_no_lead_between_two_cages(self):
        things = {"A": device(), "B": device(), "module": module()}
        assert findings(kit(things, ["A:f - module:host", ("module:line - B:f", glass())]), "connector-mismatch") == []


@pytest.mark.parametrize(
    ("ends", "is_found"), [(("lc-duplex", "lc-duplex"), False), (("lc-simplex", "lc-simplex"), True)]
)
def test_two_ways_take_two_fibres(ends, is_found):
    found = findings(joined(module(), module(), glass(ends=ends)), "fibres-short")
    assert [(f.severity, f.value, f.limit) for f in found] == ([("caution", 1, 2)] if is_found else [])


def test_optics_for_one_fibre_are_content_with_one():
    one, other = (named("10GBASE-BR10", wavelength_nm=nm) for nm in (1270, 1330))
    assert findings(joined(one, other, glass(ends=("lc-simplex", "lc-simplex"))), "fibres-short") == []


@pytest.mark.parametrize(("angled", "flat"), [("lc-duplex-apc", "lc-duplex"), ("sc-apc", "sc-duplex")])
def test_an_angled_end_on_a_flat_one_is_a_stop(angled, flat):
    things = {name: spec(name, "switch", [fibre("f", flat)]) for name in ("A", "B")}
    found = findings(kit(things, [("A:f - B:f", glass(ends=(flat, angled)))]), "connector-mismatch")
    assert [f.severity for f in found] == ["stop"]
    assert "an angled end does not touch a flat one" in found[0].message
