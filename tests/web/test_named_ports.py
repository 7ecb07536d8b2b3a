"""Ports as people name them: what is read, what is refused, and that what is written is read back."""

import pytest

from web.named_ports import NamedPorts, UnknownNamesError, in_runs

LABELS = {1: "case", 2: "switch A", 3: "amp, left", 4: "Switch a", 5: "LAN"}
PORTS = {
    1: (*(f"LAN {n}{rear}" for n in range(1, 5) for rear in ("", " rear")), "DMX 01"),
    2: ("1", "2", "3", "dc"),
    3: ("in, 1",),
    4: ("1",),
    5: ("2",),
}
NAMED = NamedPorts(LABELS, PORTS)


@pytest.mark.parametrize(
    ("text", "ports"),
    [
        ("case LAN 1", [(1, "LAN 1")]),
        ("CASE  lan 1", [(1, "LAN 1")]),
        ("case LAN 1-3", [(1, "LAN 1"), (1, "LAN 2"), (1, "LAN 3")]),
        ("case LAN 3-4 rear, DMX 01", [(1, "LAN 3 rear"), (1, "LAN 4 rear"), (1, "DMX 01")]),
        ("switch A 1–2\ndc", [(2, "1"), (2, "2"), (2, "dc")]),
        ("Switch a 1, switch A 1", [(4, "1"), (2, "1")]),
        ("amp, left in, 1, case LAN 4", [(3, "in, 1"), (1, "LAN 4")]),
        ("case LAN 1, LAN 1", [(1, "LAN 1")]),
        ("", []),
        (" , ", []),
    ],
)
def test_ports_are_read(text: str, ports: list[tuple[int, str]]) -> None:
    assert NAMED.read(text) == ports
    assert NAMED.read(NAMED.written(ports)) == ports


def test_a_port_that_reads_as_one_of_another_position_is_written_whole() -> None:
    ports = [(1, "LAN 1"), (1, "LAN 2")]
    assert NAMED.read(NAMED.written(ports)) == ports


@pytest.mark.parametrize(
    ("text", "sentences"),
    [
        ("LAN 9", ["LAN has no port 9. LAN has 2."]),
        ("stage 1", ["No place of the kit begins “stage 1”. Write the place, then the port."]),
        ("switch A 1-9", ["switch A has no port 1-9. switch A has 1-3, dc."]),
        ("switch A 9, dc", ["switch A has no port 9. switch A has 1-3, dc."]),
        ("switch A 1, x", ["Neither switch A nor another place has a port “x”. switch A has 1-3, dc."]),
        ("switch A 3-1", ["switch A has no port 3-1. switch A has 1-3, dc."]),
    ],
)
def test_what_names_nothing_is_told_with_what_there_is(text: str, sentences: list[str]) -> None:
    with pytest.raises(UnknownNamesError) as refused:
        NAMED.read(text)
    assert refused.value.sentences == sentences


def test_positions_are_read() -> None:
    assert NAMED.read_positions("amp, left, SWITCH A") == [3, 2]
    with pytest.raises(UnknownNamesError) as refused:
        NAMED.read_positions("switch A, rack")
    assert refused.value.sentences == ["The kit has no place rack."]


def test_names_that_only_count_up_are_put_together() -> None:
    assert in_runs(PORTS[1]) == ["LAN 1-4", "LAN 1-4 rear", "DMX 01"]
    assert in_runs(["1", "2", "4", "5", "6"]) == ["1", "2", "4-6"]
