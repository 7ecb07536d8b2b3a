"""The first hour of a company: its settings and its first owner, set together and once."""

from inventory.base.changes import Change
from inventory.base.models import User
from inventory.errors import AlreadyBegunError
from inventory.services.company import CompanyFields, edit_company
from inventory.services.people import add_person


def begin_company(c: Change, *, company: CompanyFields, username: str, name: str, password: str) -> int:
    """Set up the company and its first owner; return the owner's id.

    Raises:
        AlreadyBegunError: the company has people.
        InvalidError: the time zone is unknown, or the password is too weak.
    """
    if User.objects.exists():
        raise AlreadyBegunError("Somebody has set up this company already. Sign in, or ask an owner for an account.")
    edit_company(c, fields=company)
    return add_person(
        c, fields={"username": username, "name": name, "password": password, "roles": ["owner"], "active": True}
    )
