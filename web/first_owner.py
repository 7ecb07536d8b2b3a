"""The address on which the first owner of a company sets it up. It is printed where the service is started.

Whoever reads what the service prints runs it, so a signed text is proof enough; it serves until there is a person.
"""

from django.core import signing

SALT = "first owner"
HOURS = 24
"""How long an address may be used; each start prints a new one."""


def address_of_first_owner() -> str:
    """Return the path of the page, with a key of its own."""
    return f"/begin/{signing.dumps('begin', salt=SALT)}/"


def is_valid_key(key: str) -> bool:
    """Tell whether a key was made by this service in the last hours."""
    try:
        signing.loads(key, salt=SALT, max_age=HOURS * 3600)
    except signing.BadSignature:
        return False
    return True
