"""Calls with sound arguments, for every public function of calc: what the walk of impossible input starts from.

Together the calls of a function give all its arguments; more than one call is for arguments that exclude each other.
"""

from calc.channel import Span
from calc.connectors import Adapter
from calc.intervals import Request
from calc.mains import Circuit, Load
from calc.poe import PoeChannel, PoeDevice, PoePort, PoeSource

LIFT = {
    "horizontal_cm": 40.0,
    "origin_cm": 10.0,
    "travel_cm": 75.0,
    "asymmetry_deg": 0.0,
    "lifts_per_min": 0.2,
    "duration_h": 1.0,
    "coupling": "good",
}

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
    ("calc.channel.fibre_loss_limit_db", {"fibre": "OM3", "application": "10GBASE-SR"}),
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
    ("calc.batteries.air_transport", {"wh": 99.0}),
    ("calc.batteries.watt_hours", {"volts": 11.1, "amp_hours": 10.0}),
    ("calc.heat.airflow_m3h", {"watts": 50.0, "rise_c": 15.0, "altitude_m": 300.0}),
    (
        "calc.heat.case_temperatures_c",
        {"watts": 50.0, "ambient_c": 30.0, "area_m2": 0.65, "k_w_m2k": 1.5, "free_air_m3h": 9.0, "altitude_m": 300.0},
    ),
    ("calc.heat.closed_case_rise_c", {"watts": 50.0, "area_m2": 0.65, "k_w_m2k": 1.5}),
    ("calc.heat.effective_area_m2", {"height_m": 0.25, "width_m": 0.5, "depth_m": 0.4, "standing": "floor"}),
    ("calc.heat.fan_rise_c", {"watts": 50.0, "flow_m3h": 4.5, "altitude_m": 300.0}),
    ("calc.heat.heat_inside_w", {"mains_w": 110.0, "delivered_outside_w": 60.0}),
    ("calc.heat.installed_airflow_m3h", {"free_air_m3h": 9.0}),
    ("calc.heat.sun_rise_c", {"sun_w_m2": 800.0, "absorptance": 0.9, "lit_share": 0.3, "outside_w_m2k": 10.0}),
    ("calc.heat.wall_k_w_m2k", {"build": "foam-lined"}),
    ("calc.intervals.assign", {"requests": [Request("show", 9, 17, ("A-1", "A-2"))], "units": ["A-1", "A-2"]}),
    ("calc.intervals.peak_overlap", {"intervals": [(9.0, 10.5), (9.0, 12.5)]}),
    ("calc.lifting.lifting_index", {"load_kg": 20.0, **LIFT}),
    ("calc.lifting.people_needed", {"load_kg": 30.0, "one_person_kg": 15.0}),
    ("calc.lifting.recommended_limit", LIFT),
    ("calc.lifting.team_limit_kg", {"one_person_kg": 15.0, "people": 2}),
    ("calc.mains.apparent_power_va", {"watts": 100.0, "power_factor": 0.9}),
    ("calc.mains.continuous_limit_a", {"breaker_a": 16.0, "rules": "iec"}),
    ("calc.mains.current_a", {"va": 1600.0, "volts": 230.0, "phases": 1}),
    ("calc.mains.disconnects", {"breaker_a": 16.0, "curve": "B", "loop_ohm": 2.39, "volts": 230.0}),
    (
        "calc.mains.inrush_group",
        {"breaker_a": 16.0, "curve": "C", "inrush_a": 30.0, "inrush_ms": 0.5, "pulse_factor": 1.5, "running_a": 4.0},
    ),
    ("calc.mains.instant_floor_a", {"breaker_a": 16.0, "curve": "C", "pulse_factor": 1.5}),
    ("calc.mains.label_va", {"rated_a": 1.6, "at_volts": 100.0}),
    ("calc.mains.leakage_limit_ma", {"rcd_ma": 30.0}),
    ("calc.mains.leakage_steps_ma", {"rcd_ma": 30.0, "rules": "iec"}),
    (
        "calc.mains.loop_impedance_ohm",
        {"supply_ohm": 0.8, "length_m": 50.0, "line_ohm_per_km": 13.3, "protective_ohm_per_km": 13.3},
    ),
    ("calc.mains.loop_limit_ohm", {"breaker_a": 16.0, "curve": "B", "volts": 230.0}),
    ("calc.mains.neutral_current_a", {"l1_a": 10.0, "l2_a": 15.0, "l3_a": 20.0, "third_harmonic": 0.6}),
    ("calc.mains.phase_current_a", {"fundamental_a": 12.0, "third_harmonic": 0.6}),
    (
        "calc.mains.spread",
        {
            "loads": [Load("desk", 800, 1.5)],
            "circuits": [Circuit("stage left", 16, 230, "L1", 30)],
            "rules": "iec",
        },
    ),
    (
        "calc.poe.allocate",
        {"sources": [PoeSource("A", 55, [PoePort("1", 4)])], "devices": [PoeDevice("camera 1", 4)]},
    ),
    ("calc.poe.allotted_w", {"device": PoeDevice("camera 1", 4), "granted": 4, "allotment": "class"}),
    ("calc.poe.class_limits", {"poe_class": 4}),
    ("calc.poe.device_power_w", {"source_w": 30.0, "channel_ohm": 12.5, "source_v": 50.0, "pairs": 2}),
    ("calc.poe.granted_class", {"asked": 4, "port_class": 3}),
    (
        "calc.poe.link",
        {"device": PoeDevice("camera 1", 4), "source_port": PoePort("1", 4), "channel": PoeChannel(12.5)},
    ),
    ("calc.poe.runs_on", {"poe_class": 4, "granted": 3, "reduced_class_ok": 3}),
    ("calc.poe.source_power_w", {"device_w": 25.5, "channel_ohm": 12.5, "source_v": 50.0, "pairs": 2}),
]
