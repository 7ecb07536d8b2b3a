"""``/company/``: settings; ``/history/`` and ``/changes/``: who changed what."""

from typing import Any, TypedDict

import django_filters
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from calc.vocabulary import RULE_SETS
from inventory.base.api.fields import TextField, WholeField
from inventory.base.api.lists import IdFilter, ListFilter, refuse_unknown_names
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from inventory.base.bounds import LARGEST_ID
from inventory.base.history import HistoryShape, changes_after, history_rows, show_history
from inventory.models import Company
from inventory.selectors.company import CompanyShape, show_company
from inventory.services.company import edit_company


class CompanyInput(StrictSerializer):
    name = TextField(allow_blank=False)
    timezone = TextField(max_length=60, allow_blank=False)
    rules = serializers.ChoiceField(choices=RULE_SETS)
    currency = serializers.RegexField(r"^[A-Z]{3}$")


class CompanyView(ResourceView):
    permits = {"GET": "company.read", "PATCH": "company.edit"}

    @described(gives=CompanyShape)
    def get(self, request: Request) -> Response:
        return self.read(show_company())

    @described(takes=CompanyInput, gives=CompanyShape)
    def patch(self, request: Request) -> Response:
        fields: Any = dict(CompanyInput.read(request.data, partial=True))
        return self.write(
            lambda c: edit_company(c, fields=fields), lambda _: show_company(), version=self.version_of(Company, 1)
        )


class HistoryFilter(ListFilter):
    search_over = ("label",)

    noun = django_filters.CharFilter(max_length=40)
    object = IdFilter(field_name="object_id")
    actor = IdFilter()


NEWEST_FIRST = {"-version": ("-version", "-id"), "version": ("version", "id")}


class HistoryListView(ListView):
    permits = {"GET": "history.read"}
    filter_class = HistoryFilter
    orderings = NEWEST_FIRST

    @described_list(HistoryShape, HistoryFilter, NEWEST_FIRST)
    def get(self, request: Request) -> Response:
        return self.list(history_rows(), show_history)


class ChangesShape(TypedDict):
    """Changes in the order in which they became true; ask again with ``after`` = ``version``."""

    version: int
    more: bool
    results: list[HistoryShape]


class AfterInput(StrictSerializer):
    after = WholeField(max_value=LARGEST_ID, required=False)


class ChangesView(ResourceView):
    permits = {"GET": "history.read"}

    @described(
        gives=ChangesShape,
        query=[OpenApiParameter("after", OpenApiTypes.INT, description="The version that the reader has.")],
    )
    def get(self, request: Request) -> Response:
        refuse_unknown_names(request.query_params, {"after"})
        after: int = AfterInput.read(request.query_params.dict()).get("after", 0)
        rows, version, more = changes_after(after)
        return self.answer({"version": version, "more": more, "results": show_history(rows)})
