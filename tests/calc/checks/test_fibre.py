"""Fibre runs. Reach: IEEE 802.3z and IEEE 802.3 clause 52."""

from dataclasses import replace

from calc.kit import CableSheet
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
