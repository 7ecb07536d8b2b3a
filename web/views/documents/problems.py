"""``/problems/``: what the codes of problems mean, for whoever meets one. Open to all, as the interface points here."""

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse

from inventory.base.problems import ProblemType, problem_type, problem_types
from web.page import Page


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemListModel:
    title: str
    kinds: tuple[ProblemType, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemModel:
    title: str
    kind: ProblemType


class ProblemListPage(Page):
    open_to_all = True

    def get(self, request: HttpRequest) -> HttpResponse:
        page = ProblemListModel(title="What can go wrong", kinds=tuple(problem_types()))
        return self.show("web/pages/problems.html", page)


class ProblemPage(Page):
    open_to_all = True

    def get(self, request: HttpRequest, code: str) -> HttpResponse:
        try:
            kind = problem_type(code)
        except KeyError as error:
            raise Http404("There is no such problem.") from error
        return self.show("web/pages/problem.html", ProblemModel(title=kind.title, kind=kind))
