"""Direct current: outputs and volts. The limits are those of the data sheets; rigs worked by hand."""

import pytest

from calc.checks import run
from calc.rig.kit import Port, PortPoe, PortPower, PowerSheet
from tests.calc.checks.kits import NOW, ethernet, findings, kit, labels, mains, missing, only, span, spec, switch


def plug(name, role, side="socket", **power):
    return Port(name=name, connector="dc-5.5x2.1", side=side, carries="dc", power=PortPower(role=role, **power))


def brick(output_volts=54, output_w=90, outputs=1):
    ports = [plug(f"out {n}", "source", side="plug") for n in span(outputs)]
    return spec("brick", "supply", ports, power=PowerSheet(output_volts=output_volts, output_w=output_w))


def device(watts=78, volts_min=48, volts_max=57):
    return spec("device", "switch", [plug("dc", "load", watts=watts, volts_min=volts_min, volts_max=volts_max)])


def fed(source, *devices):
    things = {f"device {n}": one for n, one in enumerate(devices, start=1)}
    return kit({"brick": source, **things}, [f"brick:out {n} - device {n}:dc" for n in span(len(devices))])


@pytest.mark.parametrize(("output_w", "is_found"), [(90, False), (78, False), (77, True)])
def test_an_output_gives_what_hangs_on_it(output_w, is_found):
    found = findings(fed(brick(output_w=output_w), device()), "splitter-overloaded")
    assert [(f.severity, f.value, f.limit, f.margin, f.unit) for f in found] == (
        [("stop", 78, 77, -1, "W")] if is_found else []
    )


def test_all_outputs_share_what_the_supply_gives():
    found = only(fed(brick(output_w=90, outputs=2), device(50), device(50)), "splitter-overloaded")
    assert (found.subject.label, found.subject.port, found.value, found.limit) == ("brick", None, 100, 90)
    assert found.message.startswith("Feed less from brick, or")


def test_one_output_may_give_less_than_the_supply():
    outs = [plug("out 1", "source", side="plug", watts=30), plug("out 2", "source", side="plug", watts=90)]
    source = spec("brick", "supply", outs, power=PowerSheet(output_volts=54, output_w=120))
    found = only(fed(source, device(50), device(50)), "splitter-overloaded")
    assert (found.subject.port, found.value, found.limit) == ("out 1", 50, 30)
    assert found.message.startswith("Feed less from brick out 1, or")


def test_an_unknown_draw_is_asked_for():
    result = run(fed(brick(), device(watts=None)), NOW)
    assert missing(result) == ["ports.dc.power.watts"]
    assert labels(findings(result, "data-missing")) == ["device 1"]


def test_an_unknown_output_is_asked_for():
    assert missing(fed(brick(output_w=None), device())) == ["power.output_w"]


def splitter(efficiency=0.9, output_w=None, poe_class=4):
    inlet = ethernet("in", through="data", poe=PortPoe(role="load", poe_class=poe_class), speed_mbps=None)
    ports = [inlet, ethernet("data", through="in", speed_mbps=None), plug("out 1", "source", side="plug")]
    return spec(
        "splitter", "splitter", ports, power=PowerSheet(efficiency=efficiency, output_volts=12, output_w=output_w)
    )


def split(load_w, **fields):
    things = {"switch A": switch(65), "splitter": splitter(**fields), "device": device(load_w, 11, 13)}
    return kit(things, ["switch A:1 - splitter:in", "splitter:out 1 - device:dc"])


def test_a_splitter_gives_what_its_class_leaves():
    """25.5 W x 0.9 = 22.95 W."""
    assert findings(split(22.9), "splitter-overloaded") == []
    found = only(split(23), "splitter-overloaded")
    assert (found.subject.label, found.limit) == ("splitter", 22.95)


def test_a_splitter_gives_no_more_than_its_own_output():
    assert only(split(16, output_w=15), "splitter-overloaded").limit == 15


def test_a_splitter_of_unknown_class_is_asked_about():
    assert missing(split(15, poe_class=None)) == ["ports.in.poe.class"]
    assert findings(split(30, poe_class=None), "splitter-overloaded") != []


def test_a_splitter_of_unknown_efficiency_is_judged_by_its_size():
    assert findings(split(15, efficiency=None), "splitter-overloaded") == []


@pytest.mark.parametrize(("volts", "limit"), [(54, None), (48, None), (57, None), (47, 48), (58, 57)])
def test_the_volts_must_be_in_the_range(volts, limit):
    found = findings(fed(brick(output_volts=volts), device()), "dc-mismatch")
    assert [(f.severity, f.subject.label, f.value, f.limit, f.margin, f.unit) for f in found] == (
        [] if limit is None else [("stop", "device 1", volts, limit, -1, "V")]
    )


def test_a_range_of_the_output_must_be_in_the_range():
    source = spec("brick", "supply", [plug("out 1", "source", side="plug", volts_min=46, volts_max=54, watts=90)])
    assert only(fed(source, device()), "dc-mismatch").value == 46


def test_unknown_volts_are_asked_for():
    assert missing(fed(brick(output_volts=None), device())) == ["power.output_volts"]
    assert missing(fed(brick(), device(volts_min=None, volts_max=None))) == ["ports.dc.power.volts_max"]


def test_what_a_supply_feeds_tells_what_it_draws_where_its_label_is_unknown():
    """45 W out at 90 % and a power factor of 0.95: 52.6 VA."""
    ports = [mains("in", "c14", "load"), plug("out 1", "source", side="plug", watts=90)]
    sheet = PowerSheet(output_volts=54, efficiency=0.9, power_factor=0.95)
    figures = run(fed(spec("brick", "supply", ports, power=sheet), device(45)), NOW).figures
    assert figures["mains_va"] == pytest.approx(52.632, abs=0.001)


def test_a_box_that_feeds_both_ways_is_judged_by_its_sheet():
    """Volts of a splitter into a fan of 12 V."""
    fan = spec("fan", "fan", [plug("dc", "load", watts=2, volts_min=12, volts_max=12)])
    things = {"switch A": switch(65), "splitter": splitter(), "fan": fan}
    links = ["switch A:1 - splitter:in", "splitter:out 1 - fan:dc"]
    result = run(kit(things, links), NOW)
    assert [f.code for f in result.findings] == []
