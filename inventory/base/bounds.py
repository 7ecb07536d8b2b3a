"""Bounds of what people and programs may give, where the database or the calendar would choke on more."""

from datetime import UTC, datetime

LARGEST_ID = 2**63 - 1
"""Of a 64-bit key column."""
LARGEST_COUNT = 10_000
EARLIEST = datetime(1970, 1, 1, tzinfo=UTC)
LATEST = datetime(2200, 1, 1, tzinfo=UTC)
