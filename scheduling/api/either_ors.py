"""``/either-ors/``: several dates for one show, of which one will be taken."""

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.fields import IdField, TextField
from inventory.base.api.lists import ListFilter, orderings
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from scheduling.api.one import one
from scheduling.selectors.either_ors import EitherOrShape, either_or_rows, show_either_ors
from scheduling.services.either_or import tie_dates, untie_dates

MOST_DATES = 50
IN_ORDER = orderings("id", "name")


class EitherOrInput(StrictSerializer):
    name = TextField(allow_blank=False)
    events = serializers.ListField(child=IdField(), max_length=MOST_DATES)


class EitherOrFilter(ListFilter):
    search_over = ("name", "events__name")


class EitherOrListView(ListView):
    permits = {"GET": "event.read", "POST": "event.edit"}
    filter_class = EitherOrFilter
    orderings = IN_ORDER

    @described_list(EitherOrShape, EitherOrFilter, IN_ORDER)
    def get(self, request: Request) -> Response:
        return self.list(either_or_rows(), show_either_ors)

    @described(takes=EitherOrInput, gives=EitherOrShape, status=201)
    def post(self, request: Request) -> Response:
        given = EitherOrInput.read(request.data)
        return self.write(
            lambda c: tie_dates(c, name=given["name"], event_ids=given["events"]),
            lambda choice: one(either_or_rows(), choice, show_either_ors),
            status=201,
            location=lambda body: f"/api/v1/either-ors/{body['id']}/",
        )


class EitherOrView(ResourceView):
    permits = {"GET": "event.read", "DELETE": "event.edit"}

    @described(gives=EitherOrShape)
    def get(self, request: Request, choice_id: int) -> Response:
        shown: EitherOrShape = one(either_or_rows(), choice_id, show_either_ors)
        return self.read(shown)

    @described(status=204)
    def delete(self, request: Request, choice_id: int) -> Response:
        return self.write(lambda c: untie_dates(c, choice_id), lambda _: None, status=204)
