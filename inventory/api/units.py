"""``/units/`` and ``/locations/``."""

from typing import Any, TypedDict

import django_filters
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.fields import IdField, InstantField, NumberField, TextField, WholeField
from inventory.base.api.lists import IdFilter, ListFilter, orderings
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from inventory.base.bounds import LARGEST_COUNT
from inventory.base.errors import NotFoundError
from inventory.models import Location, Unit
from inventory.models.unit import UnitState
from inventory.selectors.units import UnitShape, show_units, unit_rows
from inventory.services import locations, units

MOST_UNITS_AT_ONCE = 1000


class UnitInput(StrictSerializer):
    tag = serializers.RegexField(r"^[\x21-\x7e]{1,40}$", required=False)
    serial = TextField(max_length=100, allow_null=True, required=False)
    spec = IdField()
    condition = TextField(required=False)
    state = serializers.ChoiceField(choices=UnitState.values, required=False)
    location = IdField(allow_null=True, required=False)
    signed_to = IdField(allow_null=True, required=False)
    owner = TextField(required=False)
    available_from = InstantField(allow_null=True, required=False)
    available_until = InstantField(allow_null=True, required=False)
    firmware = TextField(max_length=60, allow_null=True, required=False)
    measured_w = NumberField(max_value=1_000_000, allow_null=True, required=False)

    def validate_serial(self, value: str | None) -> str | None:
        return value or None

    def validate_firmware(self, value: str | None) -> str | None:
        return value or None


class NewUnitInput(UnitInput):
    quantity = WholeField(min_value=1, max_value=min(MOST_UNITS_AT_ONCE, LARGEST_COUNT), required=False)


class UnitFilter(ListFilter):
    search_over = ("tags__tag", "serial", "spec__name", "condition")

    tag = django_filters.CharFilter(field_name="tags__tag", max_length=40)
    spec = IdFilter()
    kit = IdFilter(field_name="positions__kit", distinct=True)
    state = django_filters.ChoiceFilter(choices=[(state, state) for state in UnitState.values])
    location = IdFilter()

    def filter_search(self, queryset: Any, _name: str, value: str) -> Any:
        return super().filter_search(queryset, _name, value).distinct()


UNIT_ORDERINGS = orderings("tag", "id", "spec", "state")


class UnitsShape(TypedDict):
    """Several units entered at once."""

    units: list[UnitShape]


class UnitListView(ListView):
    permits = {"GET": "unit.read", "POST": "unit.edit"}
    filter_class = UnitFilter
    orderings = UNIT_ORDERINGS

    @described_list(UnitShape, UnitFilter, UNIT_ORDERINGS)
    def get(self, request: Request) -> Response:
        return self.list(unit_rows(), show_units)

    @described(takes=NewUnitInput, gives=UnitShape, status=201)
    def post(self, request: Request) -> Response:
        fields: Any = dict(NewUnitInput.read(request.data))
        several = "quantity" in fields
        quantity = fields.pop("quantity", 1)

        def show(ids: list[int]) -> Any:
            shown = show_units(list(unit_rows().filter(pk__in=ids).order_by("id")))
            return {"units": shown} if several else shown[0]

        def location(body: Any) -> str:
            return "/api/v1/units/" if several else f"/api/v1/units/{body['id']}/"

        return self.write(
            lambda c: units.create_units(c, fields=fields, quantity=quantity), show, status=201, location=location
        )


class UnitView(ResourceView):
    permits = {"GET": "unit.read", "PATCH": "unit.edit", "DELETE": "unit.edit"}

    @described(gives=UnitShape)
    def get(self, request: Request, unit_id: int) -> Response:
        return self.read(show_unit(unit_id))

    @described(takes=UnitInput, gives=UnitShape)
    def patch(self, request: Request, unit_id: int) -> Response:
        fields: Any = dict(UnitInput.read(request.data, partial=True))
        return self.write(
            lambda c: units.edit_unit(c, unit_id, fields=fields),
            lambda _: show_unit(unit_id),
            version=self.version_of(Unit, unit_id),
        )

    @described(status=204)
    def delete(self, request: Request, unit_id: int) -> Response:
        return self.write(
            lambda c: units.delete_unit(c, unit_id),
            lambda _: None,
            status=204,
            version=self.version_of(Unit, unit_id),
        )


def show_unit(unit_id: int) -> UnitShape:
    """Return one unit.

    Raises:
        NotFoundError: there is no such unit.
    """
    rows = list(unit_rows().filter(pk=unit_id))
    if not rows:
        raise NotFoundError(f"There is no unit {unit_id}.")
    return show_units(rows)[0]


class LocationInput(StrictSerializer):
    name = TextField(allow_blank=False)
    parent = IdField(allow_null=True, required=False)  # type: ignore[assignment]  # a field of that name


class LocationShape(TypedDict):
    id: int
    version: int
    name: str
    parent: int | None


class LocationFilter(ListFilter):
    search_over = ("name",)

    parent = IdFilter()


LOCATION_ORDERINGS = orderings("name", "id")


class LocationListView(ListView):
    permits = {"GET": "location.read", "POST": "location.edit"}
    filter_class = LocationFilter
    orderings = LOCATION_ORDERINGS

    @described_list(LocationShape, LocationFilter, LOCATION_ORDERINGS)
    def get(self, request: Request) -> Response:
        return self.list(Location.objects.all(), lambda rows: [show_location(row) for row in rows])

    @described(takes=LocationInput, gives=LocationShape, status=201)
    def post(self, request: Request) -> Response:
        given = LocationInput.read(request.data)
        return self.write(
            lambda c: locations.create_location(c, name=given["name"], parent_id=given.get("parent")),
            location_shape,
            status=201,
            location=lambda body: f"/api/v1/locations/{body['id']}/",
        )


class LocationView(ResourceView):
    permits = {"GET": "location.read", "PATCH": "location.edit", "DELETE": "location.edit"}

    @described(gives=LocationShape)
    def get(self, request: Request, location_id: int) -> Response:
        return self.read(location_shape(location_id))

    @described(takes=LocationInput, gives=LocationShape)
    def patch(self, request: Request, location_id: int) -> Response:
        given = LocationInput.read(request.data, partial=True)
        return self.write(
            lambda c: locations.edit_location(
                c, location_id, name=given.get("name"), parent_id=given.get("parent"), move="parent" in given
            ),
            location_shape,
            version=self.version_of(Location, location_id),
        )

    @described(status=204)
    def delete(self, request: Request, location_id: int) -> Response:
        return self.write(
            lambda c: locations.delete_location(c, location_id),
            lambda _: None,
            status=204,
            version=self.version_of(Location, location_id),
        )


def location_shape(location_id: int) -> LocationShape:
    """Return one location.

    Raises:
        NotFoundError: there is no such location.
    """
    row = Location.objects.filter(pk=location_id).first()
    if row is None:
        raise NotFoundError(f"There is no location {location_id}.")
    return show_location(row)


def show_location(row: Location) -> LocationShape:
    return {"id": row.pk, "version": row.version, "name": row.name, "parent": row.parent_id}
