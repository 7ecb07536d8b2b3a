"""Items into bins: as many as possible of what matters most, proven, with whole numbers and no units."""

from calc.solve.packing.choosing import choose
from calc.solve.packing.problem import Bin, Choice, Group, Loading, Problem

__all__ = ["Bin", "Choice", "Group", "Loading", "Problem", "choose"]
