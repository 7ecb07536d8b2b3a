from collections.abc import Mapping
from typing import IO, Any

from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser


class StrictJSONParser(JSONParser):
    """JSON as RFC 8259 has it: UTF-8, no NaN, and no nesting so deep that reading it runs out of stack."""

    def parse(
        self, stream: IO[Any], media_type: str | None = None, parser_context: Mapping[str, Any] | None = None
    ) -> Any:
        try:
            return super().parse(stream, media_type, parser_context)
        except RecursionError as error:
            raise ParseError("The body is nested too deep. Send a flatter document.") from error
