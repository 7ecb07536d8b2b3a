"""Addresses of the pages for people."""

from django.urls import URLPattern, URLResolver, path
from django.views.generic import RedirectView

from web.views import components, docs, problems, sign_in

urlpatterns: list[URLPattern | URLResolver] = [
    path("", RedirectView.as_view(url="/kits/")),
    path("sign-in/", sign_in.SignInPage.as_view()),
    path("sign-out/", sign_in.SignOutPage.as_view()),
    path("typed/", sign_in.TypedPage.as_view()),
    path("problems/", problems.ProblemListPage.as_view()),
    path("problems/<slug:code>", problems.ProblemPage.as_view()),
    path("problems/<slug:code>/", problems.ProblemPage.as_view()),
    path("components/", components.ComponentsPage.as_view()),
    path("docs/", docs.DocsPage.as_view()),
    path("docs/<slug:slug>/", docs.DocPage.as_view()),
]
