"""Addresses of the pages for people."""

from django.urls import URLPattern, URLResolver, include, path

from inventory.base import addresses  # noqa: F401 - it registers the converter "row"
from web.views import find, settings, today
from web.views.bench import faults
from web.views.bench import flagging as fault_flag
from web.views.bench import page as bench
from web.views.bench import work as bench_work
from web.views.documents import components, docs, problems
from web.views.events import new as event_new
from web.views.kits import adoption as kit_adoption
from web.views.kits import brief as kit_brief
from web.views.kits import contents as kit_contents
from web.views.kits import drafts as kit_drafts
from web.views.kits import facts as kit_facts
from web.views.kits import findings as kit_findings
from web.views.kits import link_lines as kit_link_lines
from web.views.kits import links as kit_links
from web.views.kits import listing as kits
from web.views.kits import measuring
from web.views.kits import page as kit
from web.views.kits import retyping as kit_retyping
from web.views.people import account, begin, sign_in
from web.views.people import listing as people
from web.views.specs import editing as spec_edit
from web.views.specs import listing as specs
from web.views.specs import new as spec_new
from web.views.units import forms as unit_forms
from web.views.units import page as units

urlpatterns: list[URLPattern | URLResolver] = [
    path("", today.TodayPage.as_view()),
    path("notices/seen/", today.NoticesSeenPage.as_view()),
    path("find/", find.FindPage.as_view()),
    path("kits/", kits.KitListPage.as_view()),
    path("kits/compare/", kit_drafts.ComparePage.as_view()),
    path("kits/new/", kits.NewKitPage.as_view()),
    path("kits/<row:kit_id>/", kit.KitPage.as_view()),
    path("kits/<row:kit_id>/brief/", kit_brief.BriefPage.as_view()),
    path("kits/<row:kit_id>/edit/", kit_facts.EditKitPage.as_view()),
    path("kits/<row:kit_id>/adopt/", kit_adoption.AdoptPage.as_view()),
    path("kits/<row:kit_id>/use/", kit_facts.UsePage.as_view()),
    path("kits/<row:kit_id>/draft/", kit_drafts.DraftPage.as_view()),
    path("kits/<row:kit_id>/lid/", kit.LidPart.as_view()),
    path("kits/<row:kit_id>/wiring/", kit.WiringPage.as_view()),
    path("kits/<row:kit_id>/check/", kit_findings.AskForCheckPage.as_view()),
    path("kits/<row:kit_id>/findings/<row:finding_id>/", kit_findings.AcceptPage.as_view()),
    path("kits/<row:kit_id>/positions/new/", kit_contents.NewPositionPage.as_view()),
    path("kits/<row:kit_id>/positions/<row:position_id>/", kit_contents.PackPage.as_view()),
    path("kits/<row:kit_id>/positions/<row:position_id>/type/", kit_retyping.TypePage.as_view()),
    path("kits/<row:kit_id>/links/", kit_link_lines.LinkLinesPage.as_view()),
    path("kits/<row:kit_id>/links/<row:link_id>/", kit_links.MoveLinkPage.as_view()),
    path("kits/<row:kit_id>/links/new/", kit_links.NewLinkPage.as_view()),
    path("kits/<row:kit_id>/links/<row:link_id>/remove/", kit_links.RemoveLinkPage.as_view()),
    path("measuring/", measuring.MeasuringPage.as_view()),
    path("specs/", specs.SpecListPage.as_view()),
    path("specs/new/", spec_new.NewSpecPage.as_view()),
    path("specs/<row:spec_id>/", specs.SpecPage.as_view()),
    path("specs/<row:spec_id>/edit/", spec_edit.DetailsPage.as_view()),
    path("specs/<row:spec_id>/numbers/<str:path>/", spec_edit.NumberPage.as_view()),
    path("specs/<row:spec_id>/ports/", spec_edit.MorePortsPage.as_view()),
    path("specs/<row:spec_id>/ports/named/", spec_edit.NamedPortPage.as_view()),
    path("specs/<row:spec_id>/ports/<row:number>/", spec_edit.PortPage.as_view()),
    path("units/new/", unit_forms.NewUnitsPage.as_view()),
    path("units/<row:unit_id>/", units.UnitPage.as_view()),
    path("units/<row:unit_id>/edit/", unit_forms.EditUnitPage.as_view()),
    path("units/<row:unit_id>/state/", unit_forms.StatePage.as_view()),
    path("units/<row:unit_id>/work/", bench_work.WorkPage.as_view()),
    path("units/<row:unit_id>/back/", bench_work.BackPage.as_view()),
    path("units/<row:unit_id>/test/", bench_work.TestPage.as_view()),
    path("units/<row:unit_id>/fault/", fault_flag.FlagPage.as_view()),
    path("bench/", bench.BenchPage.as_view()),
    path("bench/flag/", fault_flag.FlagByTagPage.as_view()),
    path("faults/<row:fault_id>/", faults.FaultPage.as_view()),
    path("faults/<row:fault_id>/move/", faults.MovePage.as_view()),
    path("events/new/", event_new.NewEventPage.as_view()),
    path("", include("web.show_urls")),
    path("people/", people.PeoplePage.as_view()),
    path("people/new/", people.NewPersonPage.as_view()),
    path("people/<row:user_id>/", people.PersonPage.as_view()),
    path("settings/", settings.SettingsPage.as_view()),
    path("account/", account.AccountPage.as_view()),
    path("begin/<str:key>/", begin.BeginPage.as_view()),
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
