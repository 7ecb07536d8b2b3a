"""Routes of the inventory, under the base of the interface."""

from django.urls import path

from inventory.api import checks, company, drafts, drawings, faults, kits, notices, people, specs, tokens, units
from inventory.base import addresses  # noqa: F401 - it registers the converter "row"

urlpatterns = [
    path("tokens/", tokens.TokenListView.as_view()),
    path("tokens/<slug:token_key>/", tokens.TokenView.as_view()),
    path("me/", tokens.MeView.as_view()),
    path("users/", people.UserListView.as_view()),
    path("users/<row:user_id>/", people.UserView.as_view()),
    path("company/", company.CompanyView.as_view()),
    path("history/", company.HistoryListView.as_view()),
    path("notices/", notices.NoticeListView.as_view()),
    path("notices/<row:notice_id>/seen/", notices.NoticeSeenView.as_view()),
    path("changes/", company.ChangesView.as_view()),
    path("connectors/", specs.ConnectorListView.as_view()),
    path("specs/", specs.SpecListView.as_view()),
    path("specs/<row:spec_id>/", specs.SpecView.as_view()),
    path("units/", units.UnitListView.as_view()),
    path("units/<row:unit_id>/", units.UnitView.as_view()),
    path("locations/", units.LocationListView.as_view()),
    path("locations/<row:location_id>/", units.LocationView.as_view()),
    path("kits/", kits.KitListView.as_view()),
    path("kits/compare/", drafts.CompareView.as_view()),
    path("kits/<row:kit_id>/", kits.KitView.as_view()),
    path("kits/<row:kit_id>/clone/", drafts.CloneView.as_view()),
    path("kits/<row:kit_id>/contents/", kits.ContentsView.as_view()),
    path("kits/<row:kit_id>/positions/", kits.PositionListView.as_view()),
    path("kits/<row:kit_id>/positions/<row:position_id>/", kits.PositionView.as_view()),
    path("kits/<row:kit_id>/links/", kits.LinkListView.as_view()),
    path("kits/<row:kit_id>/links/<row:link_id>/", kits.LinkView.as_view()),
    path("kits/<row:kit_id>/check/", checks.CheckView.as_view()),
    path("kits/<row:kit_id>/checks/", checks.CheckListView.as_view()),
    path("kits/<row:kit_id>/capability/", checks.CapabilityView.as_view()),
    path("kits/<row:kit_id>/drawing.svg", drawings.DrawingView.as_view()),
    path("numbers-worth-measuring/", checks.MeasuringView.as_view()),
    path("findings/<row:finding_id>/accept/", checks.AcceptView.as_view()),
    path("faults/", faults.FaultListView.as_view()),
    path("faults/<row:fault_id>/", faults.FaultView.as_view()),
    path("repairs/", faults.RepairListView.as_view()),
    path("repairs/<row:repair_id>/", faults.RepairView.as_view()),
    path("downtimes/", faults.DowntimeListView.as_view()),
    path("downtimes/<row:downtime_id>/", faults.DowntimeView.as_view()),
    path("inspections/", faults.InspectionListView.as_view()),
    path("inspections/<row:inspection_id>/", faults.InspectionView.as_view()),
]
