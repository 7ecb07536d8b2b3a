"""``/kits/{id}/drawing.svg``: the wiring of a kit, or its panel, as a file."""

import base64
import hashlib

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request

from inventory.base.api.lists import refuse_unknown_names
from inventory.base.api.views import ResourceView
from inventory.base.errors import InvalidError, NotFoundError
from inventory.drawings.svg import style
from inventory.selectors.checks import read_check
from inventory.selectors.drawings import assembled, drawing_file, kit_facts, marks_of

SVG = "image/svg+xml"
VIEWS = ("wiring", "panel")


class DrawingRenderer(JSONRenderer):
    """Lets a reader ask for ``image/svg+xml``; what it renders are problems, for the drawing is written as it is."""

    media_type = SVG
    format = "svg"


class DrawingView(ResourceView):
    permits = {"GET": "kit.read"}
    renderer_classes = (JSONRenderer, DrawingRenderer)

    @extend_schema(
        parameters=[OpenApiParameter("view", OpenApiTypes.STR, enum=VIEWS, description="What is drawn.")],
        responses={(200, SVG): OpenApiTypes.STR},
    )
    def get(self, request: Request, kit_id: int) -> HttpResponse:
        refuse_unknown_names(request.query_params, {"view"})
        view = request.query_params.get("view", VIEWS[0])
        if view not in VIEWS:
            raise InvalidError.of_field("view", f"Draw one of: {', '.join(VIEWS)}.")
        facts, check = kit_facts(kit_id), read_check(kit_id)
        if facts is None or check is None:
            raise NotFoundError(f"There is no kit {kit_id}.")
        text = drawing_file(assembled(facts, check), view, marks=marks_of(check.shown["findings"]))
        tag = f'"{hashlib.sha256(text.encode()).hexdigest()[:20]}"'
        if tag in request.headers.get("If-None-Match", ""):
            return HttpResponse(status=304, headers={"ETag": tag})
        return HttpResponse(text, content_type=SVG, headers={"ETag": tag, "Content-Security-Policy": policy()})


def policy() -> str:
    """Return what a drawing may do when it is opened by itself: nothing but carry its own style."""
    own = base64.b64encode(hashlib.sha256(style().encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{own}'; frame-ancestors 'self'"
