"""The closed lists of the trade that models, interface and checks share; each value is what the interface shows."""

SPEC_KINDS = (
    "case", "switch", "router", "access-point", "injector", "splitter", "supply", "distro", "computer", "camera",
    "console", "fixture", "node", "converter", "adapter", "cable", "drum", "fan", "battery", "vehicle", "tool", "other",
)  # fmt: skip
SIDES = ("plug", "socket")
CARRIES = ("ethernet", "dc", "mains", "dmx", "audio", "video", "serial", "usb", "fibre", "radio")
FACES = ("outside", "inside")
POE_ROLES = ("source", "load")
POWER_ROLES = ("source", "load")
BREAKER_CURVES = ("B", "C", "D")
OUTLET_LEGS = ("L1", "L2", "L3", "L1-L2", "L2-L3", "L1-L3")  # of split phase L1 and L2, which some call A and B
ALLOTMENTS = ("class", "negotiated", "measured")
PROTECTION_CLASSES = ("I", "II", "III")
POSITION_ROLES = ("case", "required", "spare", "optional")
PORT_DAMAGE = ("latch", "shell", "contact", "dead", "intermittent", "label")
FAULT_KINDS = (*PORT_DAMAGE, "other")
CASE_BUILDS = ("steel", "stainless", "aluminium", "plastic-or-wood", "foam-lined")
RETENTIONS = ("friction", "latch", "lock")  # weakest first
BELONGS = ("company", "loose", "venue", "brought")  # ours; units that go by themselves; the house's; a client's
RULE_SETS = ("iec", "north_america")
PROVENANCES = ("measured", "label", "data sheet", "assumed", "unknown")
SEVERITIES = ("note", "unknown", "caution", "stop")  # mildest first
NOTHING_FOUND = "nothing-found"
