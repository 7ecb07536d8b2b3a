"""The callable that the web server runs."""

import os
from collections.abc import Iterable
from io import BytesIO
from typing import TYPE_CHECKING

from django.core.wsgi import get_wsgi_application

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
django_application = get_wsgi_application()

from config.middleware import READ_TO_THE_END  # noqa: E402 - needs the settings


def with_known_length(inner: "WSGIApplication") -> "WSGIApplication":
    """Read a body that comes in chunks before Django sees it, which would take it for empty: it goes by the length."""

    def application(environ: "WSGIEnvironment", start_response: "StartResponse") -> Iterable[bytes]:
        if "chunked" in environ.get("HTTP_TRANSFER_ENCODING", "").lower():
            body = environ["wsgi.input"].read(READ_TO_THE_END)
            environ["wsgi.input"] = BytesIO(body)
            environ["CONTENT_LENGTH"] = str(len(body))
        return inner(environ, start_response)

    return application


application = with_known_length(django_application)
