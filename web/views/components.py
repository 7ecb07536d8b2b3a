"""``/components/``: every figure in every state, with invented values, for whoever changes the look."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from web.page import Page


@dataclass(frozen=True, slots=True, kw_only=True)
class ComponentsModel:
    title: str


class ComponentsPage(Page):
    permits = {"GET": "kit.edit"}
    section = "/components/"

    def get(self, request: HttpRequest) -> HttpResponse:
        return self.show("web/pages/components.html", ComponentsModel(title="Components"))
