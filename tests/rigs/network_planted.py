"""Everyday errors with networks and fibre, each planted into an otherwise sound rig."""

from dataclasses import replace

from tests.rigs.declare import Rig, lead, part, several
from tests.rigs.gear import (
    ACCESS_POINT,
    CAMERA,
    CAT5E_2M,
    PANEL_8,
    ROUTER,
    SWITCH_65W,
    rear,
)

MANAGED = part("switch", "1-8 8p8c 1G", name="managed switch",
               network={"managed": True, "vlans": True, "snooping": False})  # fmt: skip
SNOOPING = part("switch", "1-8 8p8c 1G", name="managed switch that snoops",
                network={"managed": True, "vlans": True, "snooping": True, "querier": False})  # fmt: skip
PLAIN = part("switch", "1-8 8p8c 1G", name="plain switch",
             network={"managed": False, "vlans": False, "snooping": False})  # fmt: skip
FIBRE_SWITCH = part("switch", "1-4 8p8c 1G; f lc-duplex 10G", name="switch with 10G fibre")


def copper(length_m: float, awg: int = 24, **cable: object) -> object:
    return lead("a 8p8c plug; b 8p8c plug", **({"length_m": length_m, "awg": awg, "category": "6", "pairs": 4} | cable))


def universes(count: int) -> dict[str, object]:
    return {"universes": [{"number": number} for number in range(1, count + 1)]}


RIGS = (
    Rig(
        name="a ring of three unmanaged switches",
        parts={"switch A": PLAIN, "switch B": PLAIN, "switch C": PLAIN},
        links=("switch A:1 - switch B:1", "switch B:2 - switch C:2", "switch C:3 - switch A:3"),
        finds={"link-loop": "stop"},
        why="Nothing breaks the ring: the first broadcast fills it.",
        source="IEEE 802.1Q",
    ),
    Rig(
        name="two cords between the same two plain switches",
        parts={"switch A": PLAIN, "switch B": PLAIN},
        links=("switch A:1 - switch B:1", "switch A:2 - switch B:2"),
        finds={"link-loop": "stop"},
        why="Two parallel cords are a ring.",
        source="IEEE 802.1Q",
    ),
    Rig(
        name="10G over 400 m of OM3",
        parts={"switch A": FIBRE_SWITCH, "switch B": FIBRE_SWITCH},
        links=(("switch A:f - switch B:f", lead("a lc-duplex plug; b lc-duplex plug", length_m=400, category="OM3")),),
        finds={"fibre-too-long": "stop"},
        why="10GBASE-SR reaches 300 m on OM3.",
        source="IEEE 802.3, clause 52",
    ),
    Rig(
        name="25G over 300 m of OM3",
        parts={
            "switch A": part("switch", "1-4 8p8c 1G; f lc-duplex 25G", name="25G switch"),
            "switch B": part("switch", "1-4 8p8c 1G; f lc-duplex 25G", name="25G switch"),
        },
        links=(("switch A:f - switch B:f", lead("a lc-duplex plug; b lc-duplex plug", length_m=300, category="OM3")),),
        finds={"fibre-too-long": "stop"},
        why="25GBASE-SR reaches 70 m on OM3.",
        source="IEEE 802.3, clause 112",
    ),
    Rig(
        name="1G optics against 10G optics",
        parts={"switch A": part("switch", "1-4 8p8c 1G; f lc-duplex 1G", name="1G fibre"), "switch B": FIBRE_SWITCH},
        links=(("switch A:f - switch B:f", lead("a lc-duplex plug; b lc-duplex plug", length_m=20, category="OM3")),),
        finds={"fibre-type-mismatch": "stop"},
        why="1000BASE-SX and 10GBASE-SR do not link: fibre ports do not negotiate their rate.",
        source="IEEE 802.3, clauses 38 and 52",
    ),
    Rig(
        name="single-mode patch between multimode runs",
        parts={
            "panel": part(
                "adapter",
                name="fibre coupler",
                ports=[
                    {
                        "name": "front",
                        "connector": "lc-duplex",
                        "side": "socket",
                        "carries": "fibre",
                        "through": "back",
                    },
                    {
                        "name": "back",
                        "connector": "lc-duplex",
                        "side": "socket",
                        "carries": "fibre",
                        "through": "front",
                    },
                ],
            ),
            "switch A": FIBRE_SWITCH,
            "switch B": FIBRE_SWITCH,
        },
        links=(
            ("switch A:f - panel:front", lead("a lc-duplex plug; b lc-duplex plug", length_m=2, category="OS2")),
            ("panel:back - switch B:f", lead("a lc-duplex plug; b lc-duplex plug", length_m=50, category="OM3")),
        ),
        finds={"fibre-type-mismatch": "stop"},
        why="9 and 50 micrometre cores in one run.",
        source="IEC 60793-2",
    ),
    Rig(
        name="snooping without a querier",
        parts={
            "switch A": SNOOPING,
            "console": part("console", "lan 8p8c 1G", name="lighting console"),
            "node": part("node", "lan 8p8c 100M; 1-4 xlr-5", name="node"),
        },
        links=("console:lan - switch A:1", "node:lan - switch A:2"),
        brief=universes(4),
        finds={"querier-missing": "stop"},
        why="Groups age out after 260 s and the lights stop.",
        source="RFC 3376, 8.4; RFC 4541",
    ),
    Rig(
        name="forty-one universes flood a 10 Mb/s node",
        parts={
            "switch A": PLAIN,
            "console": part("console", "lan 8p8c 1G", name="lighting console"),
            "node": part("node", "lan 8p8c 10M; 1-2 xlr-5", name="10 Mb/s node"),
        },
        links=("console:lan - switch A:1", "node:lan - switch A:2"),
        brief=universes(41),
        finds={"multicast-flood": "stop"},
        also=frozenset({"universe-ports-short"}),
        why="41 x 0.2478 Mb/s is 10.16 of 10 Mb/s, and without snooping every port gets all of it.",
        source="ANSI E1.31; RFC 4541",
    ),
    Rig(
        name="twenty universes over access points",
        parts={
            "switch A": PLAIN,
            "console": part("console", "lan 8p8c 1G", name="lighting console"),
            "access point": part("access-point", "lan 8p8c 1G", name="access point", network={"snooping": False}),
        },
        links=("console:lan - switch A:1", "access point:lan - switch A:2"),
        brief={**universes(20), "radio": {"clients": 5, "client_mbps": 1, "basic_rate_mbps": 6}},
        finds={"multicast-on-radio": "stop"},
        why="20 x 4.78 % is 95.5 % of the airtime at 6 Mb/s.",
        source="IEEE 802.11; ANSI E1.31",
    ),
    Rig(
        name="two segments on one block",
        parts={"switch A": MANAGED, "router": ROUTER},
        links=("router:lan 1 - switch A:8",),
        brief={
            "segments": [
                {
                    "name": "control",
                    "vlan": 10,
                    "block": "10.0.10.0/24",
                    "addresses_from": "here",
                    "ports": [{"position": "switch A", "port": "1"}],
                },
                {
                    "name": "guests",
                    "vlan": 20,
                    "block": "10.0.10.128/25",
                    "addresses_from": "here",
                    "ports": [{"position": "switch A", "port": "2"}],
                },
            ]
        },
        finds={"address-overlap": "stop"},
        why="10.0.10.128/25 lies within 10.0.10.0/24.",
        source="RFC 1918; RFC 4632",
    ),
    Rig(
        name="a segment on the block of the venue",
        parts={"switch A": MANAGED, "router": ROUTER},
        links=("router:lan 1 - switch A:8",),
        brief={
            "segments": [
                {
                    "name": "control",
                    "vlan": 10,
                    "block": "192.168.1.0/24",
                    "addresses_from": "here",
                    "ports": [{"position": "switch A", "port": "1"}],
                }
            ],
            "venue_blocks": ["192.168.0.0/16"],
        },
        finds={"address-overlap": "stop"},
        why="The router cannot tell the two apart.",
        source="RFC 1918",
    ),
    Rig(
        name="two VLANs asked of a plain switch",
        parts={"switch A": PLAIN, "router": ROUTER},
        links=("router:lan 1 - switch A:8",),
        brief={
            "segments": [
                {"name": "control", "vlan": 10, "ports": [{"position": "switch A", "port": "1"}]},
                {"name": "guests", "vlan": 20, "ports": [{"position": "switch A", "port": "2"}]},
            ]
        },
        finds={"vlan-unmanaged": "stop"},
        why="A plain switch does not separate VLANs.",
        source="IEEE 802.1Q",
    ),
    Rig(
        name="two routers give addresses on one network",
        parts={"router 1": ROUTER, "router 2": ROUTER, "switch A": PLAIN},
        links=("router 1:lan 1 - switch A:1", "router 2:lan 1 - switch A:2"),
        finds={"dhcp-two": "stop"},
        why="Devices get addresses of either, at random.",
        source="RFC 2131",
    ),
    Rig(
        name="six hundred guests in a /24",
        parts={"router": ROUTER, "switch A": MANAGED, **several(6, "access point", ACCESS_POINT)},
        links=("router:lan 1 - switch A:8",),
        brief={
            "segments": [
                {
                    "name": "guests",
                    "vlan": 20,
                    "block": "10.0.20.0/24",
                    "addresses_from": "here",
                    "ports": [{"position": "switch A", "port": "2"}, {"position": "switch A", "port": "8"}],
                }
            ],
            "radio": {"clients": 600, "client_mbps": 0.5},
        },
        finds={"address-pool-short": "stop"},
        also=frozenset({"poe-starved", "radio-crowded", "unfed"}),
        why="A /24 has 254 addresses, gateway included.",
        source="RFC 4632",
    ),
    Rig(
        name="VLANs that differ at the two ends of a link",
        parts={"switch A": MANAGED, "switch B": MANAGED},
        links=("switch A:8 - switch B:8",),
        brief={
            "segments": [
                {
                    "name": "control",
                    "vlan": 10,
                    "ports": [
                        {"position": "switch A", "port": "8"},
                        {"position": "switch A", "port": "1"},
                        {"position": "switch B", "port": "1"},
                    ],
                },
                {
                    "name": "guests",
                    "vlan": 20,
                    "ports": [
                        {"position": "switch A", "port": "8"},
                        {"position": "switch B", "port": "8"},
                        {"position": "switch B", "port": "2"},
                    ],
                },
            ]
        },
        finds={"vlan-differs": "stop"},
        why="Port 8 of A carries control and guests, port 8 of B guests only: control does not arrive.",
        source="IEEE 802.1Q",
    ),
    Rig(
        name="a port of one segment patched to a port of another",
        parts={"switch A": MANAGED, "switch B": MANAGED},
        links=("switch A:1 - switch B:1",),
        brief={
            "segments": [
                {"name": "control", "vlan": 10, "ports": [{"position": "switch A", "port": "1"}]},
                {"name": "guests", "vlan": 20, "ports": [{"position": "switch B", "port": "1"}]},
            ]
        },
        finds={"vlan-differs": "stop"},
        why="The cord joins control and guests.",
        source="IEEE 802.1Q",
    ),
    Rig(
        name="a 100 Mb/s part under eight audio flows",
        parts={
            "switch A": part("switch", "1-8 8p8c 100M", name="100 Mb/s switch"),
            "switch B": PLAIN,
            "desk": part("console", "net 8p8c 1G", name="sound desk"),
            "stage box": part("converter", "net 8p8c 1G", name="stage box"),
        },
        links=("desk:net - switch A:1", "switch A:8 - switch B:8", "stage box:net - switch B:1"),
        brief={
            "streams": [
                {
                    "name": f"flow {n}",
                    "mbps": 9.84,
                    "from": {"position": "stage box", "port": "net"},
                    "to": {"position": "desk", "port": "net"},
                }
                for n in range(1, 9)
            ]
        },
        finds={"trunk-overfull": "caution"},
        why="8 x 9.84 is 78.7 Mb/s; above 75 % of 100.",
        source="AES67; common practice",
    ),
    Rig(
        name="two streams on a thin line of the venue",
        parts={"router": ROUTER, "encoder": part("computer", "lan 8p8c 1G", name="encoder")},
        links=("encoder:lan - router:lan 1",),
        brief={
            "streams": [
                {"name": "main", "mbps": 6, "from": {"position": "encoder", "port": "lan"}},
                {"name": "backup", "mbps": 6, "from": {"position": "encoder", "port": "lan"}},
            ],
            "internet_up_mbps": 10,
        },
        finds={"uplink-short": "caution"},
        why="12 Mb/s and headroom through 10 Mb/s.",
        source="common practice",
    ),
    Rig(
        name="a dead panel hole in use",
        parts={
            "case": replace(PANEL_8, damage={"LAN 1": "dead"}),
            "switch A": SWITCH_65W,
            "camera": CAMERA,
        },
        links=(rear(1, "switch A:1"), ("camera:lan - case:LAN 1", CAT5E_2M)),
        finds={"port-damaged": "stop"},
        why="The camera is plugged into a dead hole; LAN 2 to 8 are free.",
        source="common practice",
    ),
    Rig(
        name="an audio multicore plugged into an Ethernet port",
        parts={
            "switch A": SWITCH_65W,
            "shuttle": part("adapter", "in 8p8c audio; 1-4 xlr-3", name="audio over twisted pair"),
        },
        links=("shuttle:in - switch A:1",),
        finds={"carries-mismatch": "stop"},
        why="The plug fits; analogue audio meets a powered network port.",
        source="IEEE 802.3; common practice",
    ),
    Rig(
        name="eight ports asked for, four on the panel",
        parts={
            "case": part("case", "LAN 1-4 8p8c-rugged outside through 8p8c", name="case with four feed-throughs"),
            "switch A": SWITCH_65W,
        },
        links=tuple(rear(n, f"switch A:{n}") for n in (1, 2, 3, 4)),
        brief={"outside": [{"carries": "ethernet", "quantity": 8}]},
        finds={"lid-must-open": "caution"},
        why="Four outside, and the free ones are inside.",
        source="common practice",
    ),
)
