"""The base of the REST interface: parsing, permits, limits, lists, conditional requests, one way to write."""
