"""Everyday errors with networks, addresses, streams and the air, each planted into an otherwise sound rig."""

from tests.rigs.declare import Rig, part, several
from tests.rigs.gear import ACCESS_POINT, PANEL_8, at, copper, rear

MANAGED = {"managed": True, "vlans": True, "snooping": False, "dhcp_server": False}
SWITCH = part("switch", "1-8 8p8c 1G", name="managed switch", network=MANAGED)
FLAT = part("switch", "1-8 8p8c 1G", name="smart switch without VLANs", network={**MANAGED, "vlans": False})
PLAIN = part("switch", "1-8 8p8c 1G", name="plain switch", network={"managed": False})
ROUTER = part("router", "1-4 8p8c 1G; wan 8p8c 1G", name="router",
              network={"managed": True, "vlans": True, "dhcp_server": True})  # fmt: skip
AIR_150W = part("switch", "1-8 8p8c 1G class4 out", name="switch, 150 W",
                poe={"budget_w": 150, "allotment": "class"}, network=MANAGED)  # fmt: skip


def segment(name: str, *ports: object, **facts: object) -> dict[str, object]:
    return {"name": name, "ports": list(ports), **facts}


RIGS = (
    Rig(
        name="three hundred guests on two access points",
        parts={"switch A": AIR_150W, **several(2, "access point", ACCESS_POINT)},
        links=tuple((f"access point {n}:lan - switch A:{n}", copper(30)) for n in (1, 2)),
        brief={"radio": {"clients": 300, "client_mbps": 1, "rate_mbps": 86.7}},
        finds={"radio-crowded": "caution"},
        why="30 clients of 1 Mb/s on each: 60 of 300.",
        source="common practice: half of the radio rate, 70 % of the time",
    ),
    Rig(
        name="three streams on an upload of twenty-five",
        parts={"encoder": part("computer", "lan 8p8c 1G", name="encoder"), "switch A": SWITCH, "router": ROUTER},
        links=(("encoder:lan - switch A:1", copper(5)), ("switch A:8 - router:1", copper(2, 26))),
        brief={
            "streams": [{"name": f"stream {n}", "mbps": 8, "from": at("encoder", "lan")} for n in (1, 2, 3)],
            "internet_up_mbps": 25,
        },
        finds={"uplink-short": "caution"},
        why="24 Mb/s and a quarter of room are 30 of 25.",
        source="common practice",
    ),
    Rig(
        name="eight hundred megabits of pictures on a gigabit trunk",
        parts={
            "camera": part("camera", "lan 8p8c 1G", name="network camera"),
            "recorder": part("computer", "lan 8p8c 1G", name="recorder"),
            **several(2, "switch", SWITCH),
        },
        links=(
            ("camera:lan - switch 1:1", copper(5)),
            ("switch 1:8 - switch 2:8", copper(60)),
            ("recorder:lan - switch 2:1", copper(5)),
        ),
        brief={
            "streams": [
                {"name": "picture 1", "mbps": 400, "from": at("camera", "lan"), "to": at("recorder", "lan")},
                {"name": "picture 2", "mbps": 400, "from": at("camera", "lan"), "to": at("recorder", "lan")},
            ]
        },
        finds={"trunk-overfull": "caution"},
        why="800 of the 750 Mb/s that are planned on a gigabit.",
        source="common practice: three quarters of a link",
    ),
    Rig(
        name="a segment that waits for addresses nobody gives",
        parts={"switch A": SWITCH, "console": part("console", "lan 8p8c 1G", name="console")},
        links=(("console:lan - switch A:1", copper(5)),),
        brief={
            "segments": [segment("control", at("switch A", "1"), vlan=10, block="10.1.0.0/24", addresses_from="here")]
        },
        finds={"dhcp-none": "stop"},
        why="Neither the switch nor the console gives addresses: every device falls back on 169.254.",
        source="RFC 2131; RFC 3927",
    ),
    Rig(
        name="an access point that gives addresses beside the router",
        parts={
            "router": ROUTER,
            "switch A": AIR_150W,
            "access point": part(
                "access-point",
                "lan 8p8c 1G class4 in",
                name="access point, home mode",
                network={"managed": True, "dhcp_server": True},
            ),
        },
        links=(("router:1 - switch A:8", copper(2, 26)), ("access point:lan - switch A:1", copper(20))),
        brief={
            "segments": [
                segment(
                    "guests",
                    at("switch A", "1"),
                    at("switch A", "8"),
                    vlan=30,
                    block="172.16.30.0/24",
                    addresses_from="here",
                )
            ]
        },
        finds={"dhcp-two": "stop"},
        why="Two servers answer: half of the guests get a gateway that is not there.",
        source="RFC 2131",
    ),
    Rig(
        name="a control network inside the venue's own addresses",
        parts={"router": ROUTER, "switch A": SWITCH},
        links=(("router:1 - switch A:8", copper(2, 26)),),
        brief={
            "segments": [
                segment(
                    "control",
                    at("switch A", "1"),
                    at("switch A", "8"),
                    at("router", "1"),
                    vlan=10,
                    block="192.168.10.0/24",
                    addresses_from="here",
                )
            ],
            "venue_blocks": ["192.168.0.0/16"],
        },
        finds={"address-overlap": "stop"},
        why="192.168.10.0/24 is part of 192.168.0.0/16: nothing in the venue can be reached from there.",
        source="RFC 1918; RFC 4632",
    ),
    Rig(
        name="forty crew phones in a /27",
        parts={"router": ROUTER, "switch A": AIR_150W, **several(2, "access point", ACCESS_POINT)},
        links=(
            ("router:1 - switch A:8", copper(2, 26)),
            *((f"access point {n}:lan - switch A:{n}", copper(20)) for n in (1, 2)),
        ),
        brief={
            "segments": [segment("crew", vlan=40, block="172.16.40.0/27", addresses_from="here")],
            "radio": {"clients": 40, "client_mbps": 0.5, "rate_mbps": 86.7},
        },
        finds={"address-pool-short": "stop"},
        why="A /27 has 32 addresses, less its own, the one for everybody and the gateway's: 29 of 40.",
        source="RFC 4632",
    ),
    Rig(
        name="two VLANs asked of a smart switch that has none",
        parts={"router": ROUTER, "switch A": FLAT},
        links=(("router:1 - switch A:8", copper(2, 26)),),
        brief={
            "segments": [
                segment("light", at("switch A", "1"), at("switch A", "8"), vlan=10),
                segment("sound", at("switch A", "2"), at("switch A", "8"), vlan=20),
            ]
        },
        finds={"vlan-unmanaged": "stop"},
        why="It is managed and cannot keep VLANs apart: both networks are one.",
        source="IEEE 802.1Q",
    ),
    Rig(
        name="a VLAN forgotten on the far end of a trunk",
        parts=several(2, "switch", SWITCH),
        links=(("switch 1:8 - switch 2:8", copper(60)),),
        brief={
            "segments": [
                segment(
                    "light", at("switch 1", "1"), at("switch 1", "8"), at("switch 2", "8"), at("switch 2", "1"), vlan=10
                ),
                segment("sound", at("switch 1", "2"), at("switch 1", "8"), at("switch 2", "2"), vlan=20),
            ]
        },
        finds={"vlan-differs": "stop"},
        why="Sound leaves switch 1 on the trunk and is dropped at switch 2.",
        source="IEEE 802.1Q",
    ),
    Rig(
        name="a ring closed through two holes of a panel",
        parts={"case": PANEL_8, **several(2, "switch", PLAIN)},
        links=(
            rear(1, "switch 1:1"),
            rear(2, "switch 1:2"),
            ("case:LAN 1 - switch 2:1", copper(10)),
            ("case:LAN 2 - switch 2:2", copper(10)),
        ),
        finds={"link-loop": "stop"},
        why="Two ways between two plain switches: the first broadcast never ends.",
        source="IEEE 802.1Q",
    ),
    Rig(
        name="sound over switches that snoop, and nobody asks who listens",
        parts={
            "switch A": part(
                "switch",
                "1-8 8p8c 1G",
                name="snooping switch",
                network={"managed": True, "snooping": True, "querier": False},
            ),
            **several(2, "box", part("converter", "lan 8p8c 1G", name="audio box")),
        },
        links=tuple((f"box {n}:lan - switch A:{n}", copper(10)) for n in (1, 2)),
        finds={"querier-missing": "caution"},
        why="Memberships die 260 s after the first report: the sound stops in the fifth minute.",
        source="RFC 3376, 8.4; RFC 4541",
    ),
    Rig(
        name="thirty-three universes beside a ten-megabit node",
        parts={
            "switch A": PLAIN,
            "console": part("console", "lan 8p8c 1G", name="console"),
            "node": part("node", "lan 8p8c 10M; 1-8 xlr-5", name="old node"),
            **several(4, "gateway", part("node", "lan 8p8c 1G; 1-8 xlr-5", name="node, eight outputs")),
        },
        links=(
            ("console:lan - switch A:1", copper(5)),
            ("node:lan - switch A:2", copper(30)),
            *((f"gateway {n}:lan - switch A:{n + 2}", copper(30)) for n in range(1, 5)),
        ),
        brief={"universes": [{"number": n} for n in range(1, 34)]},
        finds={"multicast-flood": "caution"},
        why="33 x 0.248 is 8.2 Mb/s to every port: above 75 % of 10.",
        source="ANSI E1.31; RFC 4541",
    ),
    Rig(
        name="ten universes sent over the air",
        parts={
            "switch A": part(
                "switch",
                "1-8 8p8c 1G class4 out",
                name="plain powered switch",
                poe={"budget_w": 120, "allotment": "class"},
                network={"managed": False},
            ),
            "console": part("console", "lan 8p8c 1G", name="console"),
            "access point": part(
                "access-point", "lan 8p8c 1G class4 in", name="access point", network={"snooping": False}
            ),
        },
        links=(("console:lan - switch A:1", copper(5)), ("access point:lan - switch A:2", copper(20))),
        brief={"universes": [{"number": n} for n in range(1, 11)]},
        finds={"multicast-on-radio": "caution"},
        why="10 x 44 packets of 1.09 ms are 48 % of the air at 6 Mb/s; up to 35 % are planned.",
        source="ANSI E1.31; IEEE 802.11",
    ),
)
