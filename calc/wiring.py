"""The graph of everything that is wired together, for programs outside; it is worked out in ``calc.rig.wiring``."""

from calc.rig.wiring import channels, exposed, power_paths, single_points, wire

__all__ = ["channels", "exposed", "power_paths", "single_points", "wire"]
