"""``/kits/{id}/clone/`` and ``/kits/compare/``: change a plan on paper first."""

from typing import Any

from django.http import QueryDict
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.api.kits import kit_shape
from inventory.base.api.fields import IdField, TextField
from inventory.base.api.lists import refuse_unknown_names
from inventory.base.api.schema import described
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ResourceView
from inventory.base.errors import NotFoundError
from inventory.selectors.compare import ComparisonShape, compare_kits
from inventory.selectors.kits import KitShape
from inventory.services.clone import clone_kit


class CloneInput(StrictSerializer):
    name = TextField(allow_blank=False, required=False)


class CloneView(ResourceView):
    permits = {"POST": "kit.edit"}

    @described(takes=CloneInput, gives=KitShape, status=201)
    def post(self, request: Request, kit_id: int) -> Response:
        given: Any = CloneInput.read(request.data or {})
        return self.write(
            lambda c: clone_kit(c, kit_id, name=given.get("name")),
            kit_shape,
            status=201,
            location=lambda body: f"/api/v1/kits/{body['id']}/",
        )


class PairInput(StrictSerializer):
    a = IdField()
    b = IdField()


class CompareView(ResourceView):
    permits = {"GET": "kit.read"}

    @described(
        gives=ComparisonShape,
        query=[OpenApiParameter(name, OpenApiTypes.INT, required=True, description="A kit.") for name in "ab"],
    )
    def get(self, request: Request) -> Response:
        query: QueryDict = request.query_params
        refuse_unknown_names(query, {"a", "b"})
        pair: Any = PairInput.read(query.dict())
        shown = compare_kits(pair["a"], pair["b"], money=self.user().may("money.read"))
        if shown is None:
            raise NotFoundError("One of the two kits does not exist.")
        return self.answer(shown)
