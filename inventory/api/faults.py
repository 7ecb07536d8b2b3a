"""``/faults/``, ``/repairs/``, ``/downtimes/`` and ``/inspections/``."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from calc.vocabulary import FAULT_KINDS
from inventory.base.api.fields import IdField, InstantField, NumberField, TextField, WholeField
from inventory.base.api.lists import IdFilter, ListFilter, YesNoFilter
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from inventory.base.changes import Change
from inventory.base.errors import NotFoundError
from inventory.models import Downtime, Fault
from inventory.models.fault import DowntimeCause
from inventory.selectors import faults as selectors
from inventory.services import downtimes, faults, inspections

NEWEST_FIRST = {"-id": ("-id",), "id": ("id",)}


class FaultInput(StrictSerializer):
    unit = IdField()
    what = serializers.ChoiceField(choices=FAULT_KINDS)
    port = TextField(max_length=60, allow_null=True, required=False)
    usable = serializers.BooleanField(allow_null=True, required=False)
    note = TextField(max_length=2000, required=False)


class FaultJudgementInput(StrictSerializer):
    usable = serializers.BooleanField(required=False)
    note = TextField(max_length=2000, required=False)


class FaultFilter(ListFilter):
    search_over = ("unit__tag", "note")

    unit = IdFilter()
    open = YesNoFilter(field_name="closed_at", lookup_expr="isnull")


class FaultListView(ListView):
    permits = {"GET": "fault.read", "POST": "fault.report"}
    filter_class = FaultFilter
    orderings = NEWEST_FIRST

    @described_list(selectors.FaultShape, FaultFilter, NEWEST_FIRST)
    def get(self, request: Request) -> Response:
        return self.list(selectors.fault_rows(), selectors.show_faults)

    @described(takes=FaultInput, gives=selectors.ReportedFaultShape, status=201)
    def post(self, request: Request) -> Response:
        given: Any = FaultInput.read(request.data)

        def report(c: Change) -> tuple[int, Change]:
            fault_id = faults.report_fault(
                c,
                unit_id=given["unit"],
                what=given["what"],
                port=given.get("port") or None,
                usable=given.get("usable"),
                note=given.get("note", ""),
            )
            return fault_id, c

        def show(reported: tuple[int, Change]) -> dict[str, Any]:
            fault_id, c = reported  # the followers have run by now, and left their consequences in the change
            shown = one(selectors.fault_rows(), fault_id, selectors.show_faults)
            return {**shown, "affected_bookings": c.consequences}

        return self.write(report, show, status=201, location=lambda body: f"/api/v1/faults/{body['id']}/")


class FaultView(ResourceView):
    permits = {"GET": "fault.read", "PATCH": "fault.judge"}

    @described(gives=selectors.FaultShape)
    def get(self, request: Request, fault_id: int) -> Response:
        return self.read(one(selectors.fault_rows(), fault_id, selectors.show_faults))

    @described(takes=FaultJudgementInput, gives=selectors.FaultShape)
    def patch(self, request: Request, fault_id: int) -> Response:
        given: Any = FaultJudgementInput.read(request.data)
        return self.write(
            lambda c: faults.judge_fault(
                c,
                fault_id,
                usable=given.get("usable"),
                note=given.get("note"),
                electrics=self.user().may("finding.accept-mains"),
            ),
            lambda _: one(selectors.fault_rows(), fault_id, selectors.show_faults),
            version=self.version_of(Fault, fault_id),
        )


class RepairInput(StrictSerializer):
    unit = IdField()
    faults = serializers.ListField(child=IdField(), required=False, max_length=500)
    note = TextField(max_length=2000, required=False)
    cost = serializers.DecimalField(12, 2, min_value=0, allow_null=True, required=False)
    currency = serializers.RegexField(r"^[A-Z]{3}$", required=False)
    minutes = WholeField(max_value=1_000_000, allow_null=True, required=False)
    waiver = TextField(max_length=500, required=False)


class OfUnitFilter(ListFilter):
    search_over = ("unit__tag", "note")

    unit = IdFilter()


class RepairListView(ListView):
    permits = {"GET": "repair.read", "POST": "repair.record"}
    filter_class = OfUnitFilter
    orderings = NEWEST_FIRST

    @described_list(selectors.RepairShape, OfUnitFilter, NEWEST_FIRST)
    def get(self, request: Request) -> Response:
        money = self.user().may("money.read")
        return self.list(selectors.repair_rows(), lambda rows: selectors.show_repairs(rows, money=money))

    @described(takes=RepairInput, gives=selectors.RepairShape, status=201)
    def post(self, request: Request) -> Response:
        given: Any = RepairInput.read(request.data)
        return self.write(
            lambda c: faults.record_repair(
                c,
                unit_id=given["unit"],
                fault_ids=given.get("faults"),
                note=given.get("note", ""),
                cost=given.get("cost"),
                currency=given.get("currency"),
                minutes=given.get("minutes"),
                waiver=given.get("waiver", ""),
            ),
            self._show,
            status=201,
            location=lambda body: f"/api/v1/repairs/{body['id']}/",
        )

    def _show(self, repair_id: int) -> Any:
        money = self.user().may("money.read")
        return one(selectors.repair_rows(), repair_id, lambda rows: selectors.show_repairs(rows, money=money))


class RepairView(ResourceView):
    permits = {"GET": "repair.read"}

    @described(gives=selectors.RepairShape)
    def get(self, request: Request, repair_id: int) -> Response:
        money = self.user().may("money.read")
        return self.read(
            one(selectors.repair_rows(), repair_id, lambda rows: selectors.show_repairs(rows, money=money))
        )


class DowntimeInput(StrictSerializer):
    unit = IdField()
    cause = serializers.ChoiceField(choices=DowntimeCause.values, required=False)
    starts_at = InstantField(required=False)
    ends_at = InstantField(allow_null=True, required=False)
    expected_until = InstantField(allow_null=True, required=False)
    note = TextField(max_length=2000, required=False)


class DowntimeEndInput(StrictSerializer):
    ends_at = InstantField(required=False)


class DowntimeListView(ListView):
    permits = {"GET": "downtime.read", "POST": "downtime.edit"}
    filter_class = OfUnitFilter
    orderings = NEWEST_FIRST

    @described_list(selectors.DowntimeShape, OfUnitFilter, NEWEST_FIRST)
    def get(self, request: Request) -> Response:
        return self.list(selectors.downtime_rows(), selectors.show_downtimes)

    @described(takes=DowntimeInput, gives=selectors.DowntimeShape, status=201)
    def post(self, request: Request) -> Response:
        given: Any = DowntimeInput.read(request.data)
        return self.write(
            lambda c: downtimes.open_downtime(
                c,
                unit_id=given["unit"],
                cause=given.get("cause", DowntimeCause.OTHER),
                starts_at=given.get("starts_at"),
                ends_at=given.get("ends_at"),
                expected_until=given.get("expected_until"),
                note=given.get("note", ""),
            ),
            lambda row_id: one(selectors.downtime_rows(), row_id, selectors.show_downtimes),
            status=201,
            location=lambda body: f"/api/v1/downtimes/{body['id']}/",
        )


class DowntimeView(ResourceView):
    permits = {"GET": "downtime.read", "PATCH": "downtime.edit"}

    @described(gives=selectors.DowntimeShape)
    def get(self, request: Request, downtime_id: int) -> Response:
        return self.read(one(selectors.downtime_rows(), downtime_id, selectors.show_downtimes))

    @described(takes=DowntimeEndInput, gives=selectors.DowntimeShape)
    def patch(self, request: Request, downtime_id: int) -> Response:
        given: Any = DowntimeEndInput.read(request.data)
        return self.write(
            lambda c: downtimes.end_downtime(c, downtime_id, ends_at=given.get("ends_at")),
            lambda row_id: one(selectors.downtime_rows(), row_id, selectors.show_downtimes),
            version=self.version_of(Downtime, downtime_id),
        )


class ReadingInput(StrictSerializer):
    what = TextField(allow_blank=False)
    value = NumberField(min_value=-1e9)
    unit = TextField(max_length=20, required=False)
    limit = NumberField(min_value=-1e9, allow_null=True, required=False)


class InspectionInput(StrictSerializer):
    unit = IdField()
    passed = serializers.BooleanField()
    at = InstantField(required=False)
    kind = TextField(max_length=60, required=False)
    readings = serializers.ListField(child=ReadingInput(), required=False, max_length=100)
    instrument = TextField(required=False)
    tester = TextField(required=False)
    note = TextField(max_length=2000, required=False)


class InspectionListView(ListView):
    permits = {"GET": "inspection.read", "POST": "inspection.record"}
    filter_class = OfUnitFilter
    orderings = NEWEST_FIRST

    @described_list(selectors.InspectionShape, OfUnitFilter, NEWEST_FIRST)
    def get(self, request: Request) -> Response:
        return self.list(selectors.inspection_rows(), selectors.show_inspections)

    @described(takes=InspectionInput, gives=selectors.InspectionShape, status=201)
    def post(self, request: Request) -> Response:
        given: Any = InspectionInput.read(request.data)
        return self.write(
            lambda c: inspections.record_inspection(
                c,
                unit_id=given["unit"],
                passed=given["passed"],
                at=given.get("at"),
                kind=given.get("kind", ""),
                readings=given.get("readings", []),
                instrument=given.get("instrument", ""),
                tester=given.get("tester", ""),
                note=given.get("note", ""),
            ),
            lambda row_id: one(selectors.inspection_rows(), row_id, selectors.show_inspections),
            status=201,
            location=lambda body: f"/api/v1/inspections/{body['id']}/",
        )


class InspectionView(ResourceView):
    permits = {"GET": "inspection.read"}

    @described(gives=selectors.InspectionShape)
    def get(self, request: Request, inspection_id: int) -> Response:
        return self.read(one(selectors.inspection_rows(), inspection_id, selectors.show_inspections))


def one(rows: QuerySet[Any], row_id: int, show: Any) -> Any:
    """Return one row as it is shown.

    Raises:
        NotFoundError: there is no such row.
    """
    found = list(rows.filter(pk=row_id))
    if not found:
        raise NotFoundError(f"There is no {rows.model._meta.verbose_name} {row_id}.")
    return show(found)[0]
