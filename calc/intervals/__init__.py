"""Periods: how many are wanted at once, and who gets which unit."""

from calc.intervals.assigning import assign
from calc.intervals.moments import Moment
from calc.intervals.overlap import peak_overlap
from calc.intervals.requests import FULL, Assignment, Effort, Request

__all__ = ["FULL", "Assignment", "Effort", "Moment", "Request", "assign", "peak_overlap"]
