"""``/venues/``."""

import ipaddress
import zoneinfo
from collections.abc import Sequence
from typing import Any

import django_filters
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from calc.connectors import all_connectors
from calc.vocabulary import BREAKER_CURVES, RULE_SETS
from inventory.base.api.fields import NumberField, TextField
from inventory.base.api.lists import ListFilter, orderings
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from scheduling.api.one import one
from scheduling.models import RCD_TYPES, Venue
from scheduling.selectors.venues import VenueShape, show_venues, venue_rows
from scheduling.services import venues

BY_NAME = orderings("name", "id")


class CircuitInput(StrictSerializer):
    name = TextField(max_length=100, allow_blank=False)
    breaker_a = NumberField(min_value=0.001, max_value=10_000, allow_null=True, required=False)
    volts = NumberField(min_value=0.001, max_value=1000, allow_null=True, required=False)
    leg = TextField(max_length=20, required=False)
    curve = serializers.ChoiceField(choices=BREAKER_CURVES, allow_null=True, required=False)
    rcd_ma = NumberField(min_value=0.001, max_value=10_000, allow_null=True, required=False)
    rcd_type = serializers.ChoiceField(choices=RCD_TYPES, allow_null=True, required=False)
    connector = TextField(max_length=40, allow_blank=False, allow_null=True, required=False)
    zone = TextField(max_length=100, required=False)
    already_used_a = NumberField(max_value=10_000, allow_null=True, required=False)

    def validate_connector(self, code: str | None) -> str | None:
        if code is not None and code not in {connector.code for connector in all_connectors()}:
            raise serializers.ValidationError("There is no such connector; /connectors/ lists them.")
        return code


class VenueChange(StrictSerializer):
    name = TextField(allow_blank=False, required=False)
    timezone = TextField(max_length=60, allow_blank=False, required=False)
    rules = serializers.ChoiceField(choices=RULE_SETS, allow_null=True, required=False)
    circuits = serializers.ListField(child=CircuitInput(), required=False, max_length=200)
    lan_ranges = serializers.ListField(child=TextField(max_length=50), required=False, max_length=100)
    internet_down_mbps = NumberField(allow_null=True, required=False)
    internet_up_mbps = NumberField(allow_null=True, required=False)
    ambient_celsius = NumberField(min_value=-60, max_value=90, allow_null=True, required=False)

    def validate_timezone(self, name: str) -> str:
        if name not in zoneinfo.available_timezones():
            raise serializers.ValidationError("Name a zone of the IANA database, for example Europe/Zurich.")
        return name

    def validate_lan_ranges(self, blocks: Sequence[str]) -> list[str]:
        try:
            return [str(ipaddress.ip_network(block)) for block in blocks]
        except ValueError as error:
            raise serializers.ValidationError(
                f"Write blocks in CIDR notation, for example 10.0.0.0/8: {error}."
            ) from error

    def validate_circuits(self, circuits: Sequence[dict[str, Any]]) -> Sequence[dict[str, Any]]:
        names = [circuit["name"] for circuit in circuits]
        if len(set(names)) < len(names):
            raise serializers.ValidationError("Each circuit of a venue has a name of its own.")
        return circuits


class VenueInput(VenueChange):
    name = TextField(allow_blank=False)


class VenueFilter(ListFilter):
    search_over = ("name",)

    name = django_filters.CharFilter(max_length=200)


class VenueListView(ListView):
    permits = {"GET": "venue.read", "POST": "venue.edit"}
    filter_class = VenueFilter
    orderings = BY_NAME

    @described_list(VenueShape, VenueFilter, BY_NAME)
    def get(self, request: Request) -> Response:
        return self.list(venue_rows(), show_venues)

    @described(takes=VenueInput, gives=VenueShape, status=201)
    def post(self, request: Request) -> Response:
        given: Any = VenueInput.read(request.data)
        return self.write(
            lambda c: venues.create_venue(c, fields=given),
            _shown,
            status=201,
            location=lambda body: f"/api/v1/venues/{body['id']}/",
        )


class VenueView(ResourceView):
    permits = {"GET": "venue.read", "PATCH": "venue.edit", "DELETE": "venue.edit"}

    @described(gives=VenueShape)
    def get(self, request: Request, venue_id: int) -> Response:
        return self.read(_shown(venue_id))

    @described(takes=VenueChange, gives=VenueShape)
    def patch(self, request: Request, venue_id: int) -> Response:
        given: Any = VenueChange.read(request.data)
        return self.write(
            lambda c: venues.edit_venue(c, venue_id, fields=given), _shown, version=self.version_of(Venue, venue_id)
        )

    @described(status=204)
    def delete(self, request: Request, venue_id: int) -> Response:
        return self.write(
            lambda c: venues.delete_venue(c, venue_id),
            lambda _: None,
            status=204,
            version=self.version_of(Venue, venue_id),
        )


def _shown(venue_id: int) -> VenueShape:
    return one(venue_rows(), venue_id, show_venues)
