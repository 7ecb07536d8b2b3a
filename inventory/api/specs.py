"""``/specs/`` and ``/connectors/``."""

from typing import Any, TypedDict

import django_filters
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from calc.connectors import Connector, all_connectors
from calc.rig.field_table import FIELDS
from calc.vocabulary import SPEC_KINDS
from inventory.api.ports import PortInput, read_port
from inventory.api.sheets import input_field, sheet_input
from inventory.base.api.fields import NumberField, TextField, WholeField
from inventory.base.api.lists import ListFilter, orderings, refuse_unknown_names
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from inventory.base.errors import InvalidError, NotFoundError
from inventory.models import Spec
from inventory.selectors.specs import SpecShape, one_spec, show_specs, spec_rows
from inventory.services import specs as services
from inventory.services.spec_rules import ports_from_text


class SpecInput(StrictSerializer):
    name = TextField(allow_blank=False)
    kind = serializers.ChoiceField(choices=SPEC_KINDS)
    maker = TextField(required=False)
    part_number = TextField(required=False)
    weight_kg = input_field(FIELDS["weight_kg"])
    width_mm = input_field(FIELDS["width_mm"])
    depth_mm = input_field(FIELDS["depth_mm"])
    height_mm = input_field(FIELDS["height_mm"])
    rack_units = NumberField(max_value=100, allow_null=True, required=False)
    replacement_cost = serializers.DecimalField(12, 2, min_value=0, allow_null=True, required=False)
    currency = serializers.RegexField(r"^[A-Z]{3}$", required=False)
    country_of_origin = serializers.RegexField(r"^([A-Z]{2})?$", allow_blank=True, required=False)
    inspection_interval_days = WholeField(min_value=1, max_value=36_500, allow_null=True, required=False)
    prep_minutes = WholeField(max_value=100_000, allow_null=True, required=False)
    turnaround_minutes = WholeField(max_value=100_000, allow_null=True, required=False)
    provenance = serializers.DictField(child=TextField(), required=False)
    power = sheet_input("power")
    poe = sheet_input("poe")
    cable = sheet_input("cable")
    network = sheet_input("network")
    cooling = sheet_input("cooling")
    battery = sheet_input("battery")
    optics = sheet_input("optics")
    sound = sheet_input("sound")
    ports = serializers.ListField(child=PortInput(), required=False, max_length=200)
    ports_text = TextField(max_length=10_000, required=False)
    renames = serializers.DictField(child=TextField(max_length=60, allow_blank=False), required=False)


class SpecFilter(ListFilter):
    search_over = ("name", "maker", "part_number")

    kind = django_filters.ChoiceFilter(choices=[(kind, kind) for kind in SPEC_KINDS])


SPEC_ORDERINGS = orderings("name", "kind", "id")


class SpecListView(ListView):
    permits = {"GET": "spec.read", "POST": "spec.edit"}
    filter_class = SpecFilter
    orderings = SPEC_ORDERINGS

    @described_list(SpecShape, SpecFilter, SPEC_ORDERINGS)
    def get(self, request: Request) -> Response:
        money = self.user().may("money.read")
        return self.list(spec_rows(), lambda rows: show_specs(rows, money=money))

    @described(takes=SpecInput, gives=SpecShape, status=201)
    def post(self, request: Request) -> Response:
        fields = read_spec(request.data)
        return self.write(
            lambda c: services.create_spec(c, fields=fields),
            lambda spec_id: show_spec(spec_id, money=self.user().may("money.read")),
            status=201,
            location=lambda body: f"/api/v1/specs/{body['id']}/",
        )


class SpecView(ResourceView):
    permits = {"GET": "spec.read", "PATCH": "spec.edit", "DELETE": "spec.edit"}

    @described(gives=SpecShape)
    def get(self, request: Request, spec_id: int) -> Response:
        return self.read(show_spec(spec_id, money=self.user().may("money.read")))

    @described(takes=SpecInput, gives=SpecShape)
    def patch(self, request: Request, spec_id: int) -> Response:
        kind = Spec.objects.filter(pk=spec_id).values_list("kind", flat=True).first()
        fields = read_spec(request.data, partial=True, kind=kind)
        return self.write(
            lambda c: services.edit_spec(c, spec_id, fields=fields),
            lambda _: show_spec(spec_id, money=self.user().may("money.read")),
            version=self.version_of(Spec, spec_id),
        )

    @described(status=204)
    def delete(self, request: Request, spec_id: int) -> Response:
        return self.write(
            lambda c: services.delete_spec(c, spec_id),
            lambda _: None,
            status=204,
            version=self.version_of(Spec, spec_id),
        )


def read_spec(data: Any, *, partial: bool = False, kind: str | None = None) -> services.SpecFields:
    """Return the command that a body describes; ``ports_text`` becomes ports, read as those of a ``kind``.

    Raises:
        serializers.ValidationError, InvalidError: a field cannot be used.
    """
    fields: dict[str, Any] = dict(SpecInput.read(data, partial=partial))
    text = fields.pop("ports_text", None)
    if text and "ports" in fields:
        raise InvalidError.of_field("ports_text", "Send ports or ports_text, not both.")
    if "ports" in fields:
        fields["ports"] = tuple(read_port(dict(port)) for port in fields["ports"])
    elif text:
        fields["ports"] = ports_from_text(text, kind=fields.get("kind", kind))
    return fields  # type: ignore[return-value]


def show_spec(spec_id: int, *, money: bool) -> SpecShape:
    """Return one data sheet.

    Raises:
        NotFoundError: there is no such spec.
    """
    found = one_spec(spec_id, money=money)
    if found is None:
        raise NotFoundError(f"There is no spec {spec_id}.")
    return found


class MateShape(TypedDict):
    """What one side of a connector enters or is entered by, and how firmly it then holds."""

    own_side: str
    connector: str
    side: str
    retention: str


class RatingShape(TypedDict):
    a: float | None
    v: float


class ConnectorShape(TypedDict):
    """One entry of the register. ``known`` says of each fact whether it was read, remembered or common practice."""

    code: str
    name: str
    family: str
    standard: str
    sides: list[str]
    carries: str
    rating: dict[str, RatingShape]
    breaking_capacity: bool | None
    locking: str
    caution: str
    known: dict[str, str]
    mates: list[MateShape]


class ConnectorsShape(TypedDict):
    next: str | None
    previous: str | None
    results: list[ConnectorShape]


class ConnectorListView(ResourceView):
    permits = {"GET": "connector.read"}

    @described(gives=ConnectorsShape)
    def get(self, request: Request) -> Response:
        refuse_unknown_names(request.query_params, ())
        shown = [show_connector(entry) for entry in all_connectors()]
        return self.read({"next": None, "previous": None, "results": shown})


def show_connector(entry: Connector) -> ConnectorShape:
    return {
        "code": entry.code,
        "name": entry.name,
        "family": entry.family,
        "standard": entry.standard,
        "sides": list(entry.sides),
        "carries": entry.carries,
        "rating": {rules: {"a": rating.a, "v": rating.v} for rules, rating in entry.rating.items()},
        "breaking_capacity": entry.breaking_capacity,
        "locking": entry.locking,
        "caution": entry.caution,
        "known": dict(entry.known),
        "mates": [
            {"own_side": mate.own_side, "connector": mate.connector, "side": mate.side, "retention": mate.retention}
            for mate in entry.mates
        ],
    }
