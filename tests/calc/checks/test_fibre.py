"""Fibre runs. Reach: IEEE 802.3z and IEEE 802.3 clause 52."""

from dataclasses import replace

from calc.rig.kit import CableSheet, Port
from tests.calc.checks.kits import ethernet, findings, kit, missing, only, plugs, span, spec

END = ethernet("x", connector="lc-duplex", speed_mbps=10_000)
END = replace(END, carries="fibre")


def glass(length_m, category):
    sheet = CableSheet(length_m=length_m, category=category)
    return spec("fibre", "cable", plugs("lc-duplex", "fibre"), cable=sheet)


def chain(*cables, end=END):
    ports = [
        replace(end, name=f"{n}{side}", through=f"{n}{other}", speed_mbps=None)
        for n in span(len(cables) - 1)
        for side, other in (("a", "b"), ("b", "a"))
    ]
    things = {"desk": spec("desk", "switch", [end]), "node": spec("node", "switch", [end])}
    things |= {"case": spec("case", "case", ports)} if ports else {}
    stops = ["desk:x", *(f"case:{port.name}" for port in ports), "node:x"]
    pairs = zip(stops[::2], stops[1::2], strict=True)
    return kit(things, [(f"{one} - {other}", cable) for (one, other), cable in zip(pairs, cables, strict=True)])


def test_beyond_the_reach_of_any_application():
    found = only(chain(glass(301, "OM3")), "fibre-too-long")
    assert (found.severity, found.value, found.limit, found.unit) == ("stop", 301, 300, "m")
    assert findings(chain(glass(300, "OM3")), "fibre-too-long") == []


def test_lengths_of_a_run_add_up():
    assert only(chain(glass(200, "OM3"), glass(150, "OM3")), "fibre-too-long").value == 350


def test_a_slower_run_reaches_further():
    slower = replace(END, speed_mbps=1000)
    assert findings(chain(glass(500, "OM3"), end=slower), "fibre-too-long") == []
    assert only(chain(glass(600, "OM3"), end=slower), "fibre-too-long").limit == 550


def test_an_unknown_length_may_be_too_long():
    assert missing(chain(glass(None, "OM3"))) == ["cable.length_m"]


def test_single_mode_on_multimode_is_a_stop():
    assert only(chain(glass(10, "OM3"), glass(10, "OS2")), "fibre-type-mismatch").severity == "stop"


def test_two_sizes_of_core_are_a_caution():
    assert only(chain(glass(10, "OM1"), glass(10, "OM3")), "fibre-type-mismatch").severity == "caution"


def test_one_kind_of_glass_is_not_found():
    assert findings(chain(glass(10, "OM3"), glass(10, "OM4")), "fibre-type-mismatch") == []


def test_an_unknown_kind_may_differ():
    assert missing(chain(glass(10, "OM3"), glass(10, None))) == ["cable.category"]
    assert missing(chain(glass(10, None), glass(10, None))) == []


class TestLight:
    """10 Gb/s over OM3 may lose 2.6 dB (IEEE 802.3, from memory); losses: ANSI/TIA-568; lenses: common practice."""

    def through_two_panels(self, front="lc-duplex"):
        """A drum of 100 m between two panels with that connector outside, and a lead of 1 m at each end."""
        ports = [
            Port(name=f"{n}{name}", connector=connector, side="socket", carries="fibre", through=f"{n}{other}")
            for n in span(2)
            for name, connector, other in (("", front, " rear"), (" rear", "lc-duplex", ""))
        ]
        things = {name: spec(name, "switch", [END]) for name in ("desk", "node")} | {"case": spec("c", "case", ports)}
        drum = spec("drum", "drum", plugs(front, "fibre"), cable=CableSheet(length_m=100, category="OM3"))
        lead = glass(1, "OM3")
        links = [("desk:x - case:1 rear", lead), ("case:1 - case:2", drum), ("case:2 rear - node:x", lead)]
        return kit(things, links)

    def test_two_couplers_leave_light(self):
        """2 · 0.75 + 0.102 · 3.5 = 1.857 dB."""
        assert findings(self.through_two_panels(), "fibre-too-long") == []

    def test_lenses_on_both_ends_of_a_drum_may_take_too_much(self):
        """2 · (0.75 + 1.5) + 0.102 · 3.5 = 4.857 dB: worked by hand."""
        found = only(self.through_two_panels("expanded-beam-2"), "fibre-too-long")
        assert (found.severity, found.unit) == ("caution", "dB")
        assert (found.value, found.limit, found.margin) == (4.857, 2.6, -2.257)
        assert found.message.startswith("Measure the light")

    def test_a_run_at_its_reach_with_two_couplers_is_what_the_standard_allows(self):
        """300 m on OM3: 1.05 + 1.5 = 2.55 of 2.6; 400 m on OM4: 1.4 + 1.5 = 2.9 of 2.9."""
        assert findings(chain(glass(100, "OM3"), glass(100, "OM3"), glass(100, "OM3")), "fibre-too-long") == []
        assert findings(chain(glass(200, "OM4"), glass(100, "OM4"), glass(100, "OM4")), "fibre-too-long") == []
        found = only(chain(*[glass(75, "OM3")] * 4), "fibre-too-long")
        assert (found.severity, found.value) == ("caution", 3.3)

    def test_single_mode_has_light_to_spare(self):
        assert findings(chain(*[glass(100, "OS2")] * 5), "fibre-too-long") == []

    def test_a_lead_of_no_length_loses_nothing(self):
        assert findings(chain(glass(0, "OM3"), end=replace(END, speed_mbps=1000)), "fibre-too-long") == []
