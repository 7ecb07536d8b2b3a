"""Calls with sound arguments, for every public function of calc: what the walk of impossible input starts from.

Together the calls of a function give all its arguments; more than one call is for arguments that exclude each other.
"""

from calc.channel import Span
from calc.connectors import Adapter

SAMPLE_CALLS = [
    ("calc.addressing.overlaps", {"a": "10.0.0.0/24", "b": "10.0.0.128/25"}),
    ("calc.addressing.plan", {"block": "192.168.16.0/24", "segments": [("crew", 60)]}),
    ("calc.channel.copper", {"spans": [Span(10, "6a", cord_awg=26)], "speed_mbps": 1000, "temperature_c": 40}),
    ("calc.channel.cord_allowance_m", {"fixed_m": 80, "awg": 24}),
    (
        "calc.channel.fibre_budget_db",
        {
            "loss_db": 3.0,
            "transmit_min_dbm": -7.3,
            "receive_min_dbm": -9.9,
            "transmit_max_dbm": -1.0,
            "receive_max_dbm": 0.5,
            "least_loss_db": 0.0,
        },
    ),
    (
        "calc.channel.fibre_loss_db",
        {
            "length_m": 300.0,
            "fibre": "OM3",
            "wavelength_nm": 850,
            "mated_pairs": 2,
            "splices": 1,
            "expanded_beam_pairs": 1,
        },
    ),
    ("calc.channel.fibre_reach_m", {"fibre": "OM3", "application": "10GBASE-SR"}),
    ("calc.channel.temperature_factor", {"temperature_c": 30}),
    ("calc.conductors.awg_area_mm2", {"awg": 12}),
    ("calc.conductors.awg_diameter_mm", {"awg": 12}),
    ("calc.conductors.awg_ohm_per_km", {"awg": 12, "temperature_c": 60, "stranded": True}),
    (
        "calc.conductors.drop_v",
        {
            "current_a": 10.0,
            "length_m": 50.0,
            "ohm_per_km": 13.3,
            "phases": 1,
            "power_factor": 0.9,
            "reactance_ohm_per_km": 0.08,
        },
    ),
    ("calc.conductors.flexible_ohm_per_km", {"area_mm2": 2.5, "temperature_c": 60}),
    (
        "calc.connectors.adapter_path",
        {
            "from_": ("xlr-5", "plug"),
            "to": ("xlr-5", "socket"),
            "adapters": [Adapter("A-1", "xlr-5", "socket", "xlr-3", "plug")],
        },
    ),
    ("calc.connectors.all_connectors", {}),
    ("calc.connectors.apart_because", {"a": "8p8c", "side_a": "plug", "b": "c13", "side_b": "plug"}),
    ("calc.connectors.connector", {"code": "8p8c"}),
    ("calc.connectors.family", {"code": "8p8c"}),
    ("calc.connectors.mates", {"a": "8p8c", "side_a": "plug", "b": "8p8c", "side_b": "socket"}),
    ("calc.connectors.rating_a", {"code": "c13", "rules": "iec"}),
    ("calc.dmx.max_refresh_hz", {"slots": 512, "break_us": 92, "mark_us": 12}),
    ("calc.dmx.packet_us", {"slots": 512, "break_us": 92, "mark_us": 12}),
    ("calc.dmx.radio_airtime", {"universes": 8, "hz": 44, "basic_rate_mbps": 6}),
    ("calc.dmx.sacn_bit_rate_mbps", {"universes": 8, "hz": 44, "slots": 512}),
    ("calc.dmx.sacn_multicast", {"universe": 1}),
    ("calc.dmx.unit_loads", {"receivers": [1.0, 0.125]}),
    ("calc.radio.clients_supported", {"rate_mbps": 400.0, "client_mbps": 5.0, "efficiency": 0.5, "airtime": 0.7}),
    ("calc.radio.free_space_loss_db", {"distance_m": 100.0, "mhz": 2437.0}),
    ("calc.radio.phy_rate_mbps", {"standard": "ac", "mcs": 9, "streams": 2, "width_mhz": 80, "guard_ns": 400}),
    ("calc.rules.cord_rated_a", {"rules": "iec", "area_mm2": 1.5, "loaded_conductors": 2}),
    ("calc.rules.cord_rated_a", {"rules": "north_america", "awg": 14, "loaded_conductors": 3}),
    ("calc.rules.rule_set", {"name": "iec"}),
    ("calc.spares.failure_rate", {"failures": 3, "exposure_days": 365.0, "confidence": 0.9}),
    ("calc.spares.spares_needed", {"rate_per_day": 0.0108, "days": 90.0, "confidence": 0.95}),
    ("calc.streams.rtp_audio_mbps", {"channels": 8, "sample_hz": 48000.0, "bits": 24, "packet_time_ms": 1.0}),
    ("calc.streams.uncompressed_video_mbps", {"width": 1920, "height": 1080, "fps": 50.0, "bits_per_pixel": 20.0}),
    ("calc.streams.uplink_needed_mbps", {"streams": [6.0, 2.0], "overhead": 0.25}),
]
