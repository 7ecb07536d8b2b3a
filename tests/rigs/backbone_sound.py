"""Sound networks of a stage and of a hall: power over Ethernet, copper, fibre, addresses, streams, the air."""

from tests.rigs.declare import Rig, lead, part, several
from tests.rigs.gear import ACCESS_POINT, CAMERA, PANEL_8, SWITCH_120W, at, copper, glass, module, rear

SNOOPING = {"managed": True, "vlans": True, "snooping": True, "querier": True}
CAGED = part("switch", "1-8 8p8c 1G; f sfp+ 10G", name="switch with a 10G cage", network=SNOOPING)
CAGED_1G = part("switch", "1-8 8p8c 1G; f sfp 1G", name="switch with a 1G cage", network=SNOOPING)
CORE = part("switch", "1-2 qsfp 40G", name="core switch, 40G cages", network=SNOOPING)
INTERCOM = part("other", "lan 8p8c 100M class3 in", name="intercom station, class 3")

RIGS = (
    Rig(
        name="three intercom stations and an access point on 120 W",
        parts={
            "case": PANEL_8,
            "switch A": SWITCH_120W,
            **several(3, "station", INTERCOM),
            "access point": ACCESS_POINT,
        },
        links=(
            *(rear(n, f"switch A:{n}") for n in (1, 2, 3, 4)),
            *((f"station {n}:lan - case:LAN {n}", copper(20)) for n in (1, 2, 3)),
            ("access point:lan - case:LAN 4", copper(30)),
        ),
        why="3 x 15.4 W and 30 W are 76.2 of 120 W, each behind a hole of the panel.",
        source="IEEE 802.3, clause 33, table 33-7",
    ),
    Rig(
        name="a midspan feeds a class 4 camera over eighty metres",
        parts={
            "switch A": part("switch", "1-8 8p8c 1G", name="plain switch", network={"managed": False}),
            "midspan": part(
                "injector",
                "in 8p8c; out 8p8c class4 out",
                name="midspan, 30 W",
                poe={"budget_w": 30, "allotment": "class"},
            ),
            "camera": CAMERA,
        },
        links=(
            ("midspan:in - switch A:1", copper(2, 26)),
            ("camera:lan - midspan:out", copper(80, 23, stranded=False)),
        ),
        why="80 m of 23 AWG, at 45 C 5.9 ohm a pairset: 46 V of 50 arrive; with the 2 m cord 83 of 102 m.",
        source="IEEE 802.3, clause 33; ANSI/TIA-568",
    ),
    Rig(
        name="ten gigabit on category 6A through two panels",
        parts={
            "server": part("computer", "lan 8p8c 10G", name="media server"),
            "switch A": part("switch", "1-4 8p8c 10G", name="switch, 10G"),
            "case": PANEL_8,
        },
        links=(
            ("switch A:1 - case:LAN 1 rear", copper(1, 26, category="6a")),
            (
                "case:LAN 1 - case:LAN 2",
                lead("a 8p8c-rugged plug; b 8p8c-rugged plug", length_m=70, awg=24, category="6a", pairs=4),
            ),
            ("case:LAN 2 rear - server:lan", copper(2, 26, category="6a")),
        ),
        why="1.5 + 70 x 1.2 + 3 is 88.5 of 102 m with two joints; 6A carries 10GBASE-T for 100 m.",
        source="ANSI/TIA-568; IEEE 802.3, clause 55",
    ),
    Rig(
        name="a backbone of long-range modules on single-mode",
        parts={
            **several(2, "switch", CAGED),
            **several(2, "module", module("10GBASE-LR")),
            "case": part("case", "Fibre 1-2 lc-duplex-rugged outside through lc-duplex", name="fibre panel"),
        },
        links=(
            "switch 1:f - module 1:host",
            ("module 1:line - case:Fibre 1 rear", glass(1, "OS2")),
            ("case:Fibre 1 - case:Fibre 2", glass(500, "OS2", ("lc-duplex-rugged", "lc-duplex-rugged"))),
            ("case:Fibre 2 rear - module 2:line", glass(1, "OS2")),
            "module 2:host - switch 2:f",
        ),
        why="0.5 dB of glass and 1.5 dB at two panels are 2 of 6.2 dB; 502 m of 10 km.",
        source="IEEE 802.3, clause 52",
    ),
    Rig(
        name="two hundred metres both ways on one fibre",
        parts={
            **several(2, "switch", CAGED_1G),
            "upper": module("1000BASE-BX10", "lc-simplex", wavelength_nm=1310, receives_nm=1490),
            "lower": module("1000BASE-BX10", "lc-simplex", wavelength_nm=1490, receives_nm=1310),
        },
        links=(
            "switch 1:f - upper:host",
            ("upper:line - lower:line", glass(200, "OS2", ("lc-simplex", "lc-simplex"))),
            "lower:host - switch 2:f",
        ),
        why="One sends 1310 and takes 1490 nm, the other the reverse: one fibre is enough.",
        source="IEEE 802.3, clause 58",
    ),
    Rig(
        name="forty gigabit over eighty metres of OM4",
        parts={**several(2, "core", CORE), **several(2, "module", module("40GBASE-SR4", "mpo-12"))},
        links=(
            "core 1:1 - module 1:host",
            ("module 1:line - module 2:line", glass(80, "OM4", ("mpo-12", "mpo-12"))),
            "module 2:host - core 2:1",
        ),
        why="40GBASE-SR4 reaches 150 m on OM4 and uses eight of twelve fibres.",
        source="IEEE 802.3, clause 86",
    ),
    Rig(
        name="a direct-attach lead between two cages",
        parts=several(2, "switch", CAGED),
        links=(("switch 1:f - switch 2:f", lead("a sfp plug; b sfp plug", length_m=3)),),
        why="A lead with its ends fixed to it needs no modules and no glass.",
        source="SFF-8431; common practice",
    ),
    Rig(
        name="a ring of three switches that run spanning tree",
        parts=several(3, "switch", part("switch", "1-8 8p8c 1G", name="managed switch", network=SNOOPING)),
        links=tuple(
            (f"switch {a}:{pa} - switch {b}:{pb}", copper(10))
            for a, pa, b, pb in ((1, 1, 2, 2), (2, 1, 3, 2), (3, 1, 1, 2))
        ),
        why="Managed switches break the ring and open it again when a link fails.",
        source="IEEE 802.1Q, clause 13",
    ),
    Rig(
        name="light, sound and guests on networks of their own beside the venue's",
        parts={
            "router": part(
                "router",
                "1-2 8p8c 1G; wan 8p8c 1G",
                name="router",
                network={"managed": True, "vlans": True, "dhcp_server": True, "querier": True},
            ),
            "switch A": part("switch", "1-8 8p8c 1G", name="managed switch", network=SNOOPING),
        },
        links=("router:1 - switch A:8",),
        brief={
            "segments": [
                {
                    "name": name,
                    "vlan": vlan,
                    "block": block,
                    "addresses_from": "here",
                    "ports": [at("switch A", hole), at("switch A", "8"), at("router", "1")],
                }
                for name, vlan, block, hole in (
                    ("light", 10, "172.16.10.0/24", "1"),
                    ("sound", 20, "172.16.20.0/24", "2"),
                    ("guests", 30, "172.16.32.0/22", "3"),
                )
            ],
            "venue_blocks": ["10.0.0.0/16", "192.168.0.0/16"],
        },
        why="Three blocks of 172.16.0.0/12, none of them the venue's, one server, a trunk with all three at both ends.",
        source="RFC 1918; IEEE 802.1Q",
    ),
    Rig(
        name="two pictures and sixteen channels on one gigabit trunk",
        parts={
            "mixer": part("console", "lan 8p8c 1G", name="vision mixer"),
            "recorder": part("computer", "lan 8p8c 1G", name="recorder"),
            **several(2, "switch", part("switch", "1-8 8p8c 1G", name="managed switch", network=SNOOPING)),
        },
        links=(
            ("mixer:lan - switch 1:1", copper(5)),
            ("switch 1:8 - switch 2:8", copper(60)),
            ("recorder:lan - switch 2:1", copper(5)),
        ),
        brief={
            "streams": [
                {"name": name, "mbps": mbps, "from": at("mixer", "lan"), "to": at("recorder", "lan")}
                for name, mbps in (("picture 1", 350), ("picture 2", 350), ("sound", 20))
            ]
        },
        why="720 of the 750 Mb/s that are planned on a gigabit, one way.",
        source="common practice: three quarters of a link",
    ),
    Rig(
        name="a hundred guests on four access points",
        parts={
            "switch A": part(
                "switch",
                "1-8 8p8c 1G class4 out",
                name="switch, 140 W",
                poe={"budget_w": 140, "allotment": "class"},
                network=SNOOPING,
            ),
            **several(4, "access point", ACCESS_POINT),
        },
        links=tuple((f"access point {n}:lan - switch A:{n}", copper(30)) for n in range(1, 5)),
        brief={"radio": {"clients": 100, "client_mbps": 1, "rate_mbps": 86.7}},
        why="86.7 Mb/s, half of it data, 70 % of the time: 30 clients of 1 Mb/s each, 120 in all; 4 x 30 of 140 W.",
        source="common practice; IEEE 802.3, clause 33",
    ),
)
