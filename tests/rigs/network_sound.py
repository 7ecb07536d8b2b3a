"""Sound network and Power over Ethernet rigs, as a network engineer of the trade would build them."""

from tests.rigs.declare import Rig, lead, part, several
from tests.rigs.gear import ACCESS_POINT, CAMERA, CAT5E_2M, PANEL_8, ROUTER, SWITCH_65W, SWITCH_120W, rear, wired_panel

DRUM_80M = lead("a 8p8c-rugged plug; b 8p8c-rugged plug", length_m=80, awg=24, category="6", pairs=4)

RIGS = (
    Rig(
        name="two cameras on a 65 W switch",
        parts={"switch A": SWITCH_65W, **several(2, "camera", CAMERA)},
        links=tuple((f"camera {n}:lan - switch A:{n}", CAT5E_2M) for n in (1, 2)),
        why="2 x 30 W is 60 of 65 W; any order of plugging works.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="a stage box with panel, router, switch and access point",
        parts={"case": PANEL_8, "router": ROUTER, "switch A": SWITCH_120W, "access point": ACCESS_POINT},
        links=(
            "router:lan 1 - switch A:8",
            "access point:lan - switch A:1",
            *wired_panel("switch A", (2, 3, 4, 5, 6, 7)),
        ),
        why="One router, one switch, one access point of class 4 on 120 W; the panel's feed-throughs are free.",
        source="common practice",
    ),
    Rig(
        name="a camera at the end of eighty metres",
        parts={"case": PANEL_8, "switch A": SWITCH_65W, "camera": CAMERA},
        links=(
            rear(1, "switch A:1"),
            (
                "camera:lan - case:LAN 1",
                lead("a 8p8c-rugged plug; b 8p8c plug", length_m=80, awg=24, category="6", pairs=4),
            ),
        ),
        why="80 m of 24 AWG stranded: 80 x 1.2 is 96 of 102 m; 7 ohm keep 46 V at the camera.",
        source="ANSI/TIA-568; IEEE 802.3, clause 33",
    ),
    Rig(
        name="ninety metres fixed and ten metres of cords",
        parts={"switch A": SWITCH_65W, "switch B": SWITCH_120W},
        links=(
            (
                "switch A:8 - switch B:8",
                lead("a 8p8c plug; b 8p8c plug", length_m=90, awg=23, category="6", stranded=False, pairs=4),
            ),
        ),
        why="A fixed run of 90 m is what the standards are written around.",
        source="ANSI/TIA-568",
    ),
    Rig(
        name="a passive splitter within its output",
        parts={
            "switch A": SWITCH_65W,
            "splitter": part(
                "splitter",
                "in 8p8c class4 in; out dc-5.5x2.1 12V 18W out; data 8p8c",
                name="splitter, 12 V 18 W",
                poe={"efficiency": 0.85},
            ),
            "player": part("other", "dc dc-5.5x2.1 plug 12V 10W in; lan 8p8c 100M", name="player"),
        },
        links=("splitter:in - switch A:1", "player:dc - splitter:out", "player:lan - splitter:data"),
        why="10 W of 18 W at the voltage that it wants.",
        source="data sheet",
    ),
    Rig(
        name="ten gigabit over short multimode fibre",
        parts={
            "switch A": part("switch", "1-4 8p8c 1G; f lc-duplex 10G", name="switch with 10G fibre"),
            "switch B": part("switch", "1-4 8p8c 1G; f lc-duplex 10G", name="switch with 10G fibre"),
        },
        links=(("switch A:f - switch B:f", lead("a lc-duplex plug; b lc-duplex plug", length_m=100, category="OM3")),),
        why="10GBASE-SR reaches 300 m on OM3.",
        source="IEEE 802.3, clause 52",
    ),
    Rig(
        name="lighting universes on a snooping network with a querier",
        parts={
            "switch A": part(
                "switch",
                "1-8 8p8c 1G",
                name="managed switch",
                network={"managed": True, "vlans": True, "snooping": True, "querier": True},
            ),
            "console": part("console", "lan 8p8c 1G", name="lighting console"),
            "node": part("node", "lan 8p8c 100M; 1-4 xlr-5", name="node, four universes"),
        },
        links=("console:lan - switch A:1", "node:lan - switch A:2"),
        brief={"universes": [{"number": n} for n in range(1, 5)]},
        why="Four universes are 1 Mb/s of 100; a querier keeps the groups alive.",
        source="ANSI E1.31; RFC 4541",
    ),
    Rig(
        name="segments separated by a managed switch",
        parts={
            "switch A": part(
                "switch",
                "1-8 8p8c 1G",
                name="managed switch",
                network={"managed": True, "vlans": True, "snooping": False},
            ),
            "router": part(
                "router",
                "lan 8p8c 1G; wan 8p8c 1G",
                name="router",
                network={"managed": True, "vlans": True, "dhcp_server": True},
            ),
        },
        links=("router:lan - switch A:8",),
        brief={
            "segments": [
                {
                    "name": "control",
                    "vlan": 10,
                    "block": "10.0.10.0/24",
                    "addresses_from": "here",
                    "ports": [{"position": "switch A", "port": "1"}, {"position": "switch A", "port": "8"}],
                },
                {
                    "name": "guests",
                    "vlan": 20,
                    "block": "10.0.20.0/23",
                    "addresses_from": "here",
                    "ports": [{"position": "switch A", "port": "2"}, {"position": "switch A", "port": "8"}],
                },
            ]
        },
        why="Two segments, two blocks, one server, and gear that separates them.",
        source="IEEE 802.1Q; RFC 1918",
    ),
    Rig(
        name="an injector passes the network through",
        parts={
            "switch A": part(
                "switch",
                "1-8 8p8c 1G",
                name="managed switch",
                network={"managed": True, "snooping": True, "querier": True},
            ),
            "injector": part(
                "injector",
                "in 8p8c; out 8p8c class4 out",
                name="injector, 30 W",
                poe={"budget_w": 30, "allotment": "class"},
            ),
            "access point": ACCESS_POINT,
        },
        links=("injector:in - switch A:1", "access point:lan - injector:out"),
        why="The injector hands the frames through; what is behind it is on the same network.",
        source="IEEE 802.3, clause 33",
        never=frozenset({"querier-missing"}),
    ),
    Rig(
        name="two uplinks between two switches with spanning tree",
        parts={
            "switch A": part("switch", "1-8 8p8c 1G", name="managed switch", network={"managed": True, "vlans": True}),
            "switch B": part("switch", "1-8 8p8c 1G", name="managed switch", network={"managed": True, "vlans": True}),
        },
        links=("switch A:8 - switch B:8",),
        why="One link between two switches makes no ring.",
        source="IEEE 802.1Q",
    ),
)
