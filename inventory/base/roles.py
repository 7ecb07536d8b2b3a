"""Who may do what: four roles, each with all that those before it have, and one that comes on top of any of them."""

from collections.abc import Iterable

ROLES = ("viewer", "crew", "planner", "owner")  # each may do what those before it may
OWNER = ROLES[-1]
ELECTRICS = "electrics"
"""Accepts findings about mains; comes on top of one of the four."""
ALL_ROLES = (*ROLES, ELECTRICS)

PERMITS: dict[str, str] = {}
"""Verb → the least role that may do it. Each room adds its own verbs once, through ``permit``."""


def permit(verbs: dict[str, str]) -> None:
    """Add a room's verbs to the one table.

    Raises:
        ValueError: a verb is entered twice or a role is not one of ours.
    """
    for verb, role in verbs.items():
        if verb in PERMITS and PERMITS[verb] != role:
            raise ValueError(f"{verb} already has the role {PERMITS[verb]}.")
        if role not in ALL_ROLES:
            raise ValueError(f"{role} is not a role.")
        PERMITS[verb] = role


def role_permits(roles: Iterable[str], verb: str) -> bool:
    """Say whether a person with these roles may do ``verb``.

    Raises:
        KeyError: the verb is not in the table.
    """
    needed = PERMITS[verb]
    held = set(roles)
    if needed == ELECTRICS:
        return ELECTRICS in held
    return any(ROLES.index(role) >= ROLES.index(needed) for role in held if role in ROLES)
