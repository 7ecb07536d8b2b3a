"""Pure calculation: networks, power, heat, lifting and time, as functions over plain numbers and frozen dataclasses.

Nothing here knows Django, a clock, a file or a network. Units are part of every name.
"""
