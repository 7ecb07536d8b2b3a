"""Addresses of the pages for people."""

from django.urls import URLPattern, URLResolver, path
from django.views.generic import RedirectView

from inventory.api import urls as inventory_urls  # noqa: F401 - it registers the converter "row"
from web.views import (
    account,
    components,
    docs,
    find,
    kit,
    kit_contents,
    kit_findings,
    kit_links,
    kits,
    people,
    problems,
    settings,
    sign_in,
)

urlpatterns: list[URLPattern | URLResolver] = [
    path("", RedirectView.as_view(url="/kits/")),
    path("find/", find.FindPage.as_view()),
    path("kits/", kits.KitListPage.as_view()),
    path("kits/new/", kits.NewKitPage.as_view()),
    path("kits/<row:kit_id>/", kit.KitPage.as_view()),
    path("kits/<row:kit_id>/lid/", kit.LidPart.as_view()),
    path("kits/<row:kit_id>/wiring/", kit.WiringPage.as_view()),
    path("kits/<row:kit_id>/check/", kit_findings.AskForCheckPage.as_view()),
    path("kits/<row:kit_id>/findings/<row:finding_id>/", kit_findings.AcceptPage.as_view()),
    path("kits/<row:kit_id>/positions/new/", kit_contents.NewPositionPage.as_view()),
    path("kits/<row:kit_id>/positions/<row:position_id>/", kit_contents.PackPage.as_view()),
    path("kits/<row:kit_id>/links/new/", kit_links.NewLinkPage.as_view()),
    path("kits/<row:kit_id>/links/<row:link_id>/remove/", kit_links.RemoveLinkPage.as_view()),
    path("people/", people.PeoplePage.as_view()),
    path("people/new/", people.NewPersonPage.as_view()),
    path("people/<row:user_id>/", people.PersonPage.as_view()),
    path("settings/", settings.SettingsPage.as_view()),
    path("account/", account.AccountPage.as_view()),
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
