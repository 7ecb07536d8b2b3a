"""How ids are written in addresses, of the interface and of pages alike."""

from django.urls import register_converter


class RowId:
    """The id of a row in an address: a number that a database can hold."""

    regex = "[0-9]{1,18}"

    def to_python(self, value: str) -> int:
        """Return the id as a number."""
        return int(value)

    def to_url(self, value: int) -> str:
        """Return the id as it is written."""
        return str(value)


register_converter(RowId, "row")
