"""``/notices/``: what the person who asks is told."""

import django_filters
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.lists import ListFilter
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import EmptyInput
from inventory.base.api.views import ListView, ResourceView
from inventory.base.notices import NoticeShape, mark_seen, notice_rows, show_notices

NEWEST_FIRST = {"-id": ("-id",), "id": ("id",)}


class NoticeFilter(ListFilter):
    search_over = ("words",)

    unseen = django_filters.BooleanFilter(field_name="seen_at", lookup_expr="isnull")


class NoticeListView(ListView):
    permits = {"GET": "notice.read"}
    filter_class = NoticeFilter
    orderings = NEWEST_FIRST

    @described_list(NoticeShape, NoticeFilter, NEWEST_FIRST)
    def get(self, request: Request) -> Response:
        return self.list(notice_rows(self.user().pk), show_notices)


class NoticeSeenView(ResourceView):
    permits = {"POST": "notice.read"}

    @described(takes=EmptyInput, gives=NoticeShape)
    def post(self, request: Request, notice_id: int) -> Response:
        EmptyInput.read(request.data)
        return self.write(
            lambda c: mark_seen(c, [notice_id]),
            lambda _: show_notices(list(notice_rows(self.user().pk).filter(pk=notice_id)))[0],
        )
