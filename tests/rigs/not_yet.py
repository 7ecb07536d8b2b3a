"""Names of rigs that are not judged as an expert would yet. The list only gets shorter; at the end it goes."""

NOT_YET = frozenset(
    {
        "12 Gb/s video over eighty metres",
        "1G optics against 10G optics",
        "25G over 300 m of OM3",
        "350 m of control cable",
        "HDMI over twenty-five metres of passive copper",
        "USB over twelve metres",
        "VLANs that differ at the two ends of a link",
        "a 55 kg case lifted by three",
        "a case of 64 kg without a word on lifts",
        "a case of eighteen kilograms",
        "a line of lights without a terminator",
        "a port of one segment patched to a port of another",
        "an amplifier output into a microphone input",
        "an unbalanced line of forty metres",
        "control on a three-pole connector beside audio",
        "forty fixtures on one line",
        "more universes than a node has ports",
        "six hundred guests in a /24",
        "snooping without a querier",
        "twenty universes over access points",
        "video on 50 ohm coax",
    }
)
