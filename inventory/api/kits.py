"""``/kits/`` with positions and links."""

from typing import Any

import django_filters
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from calc.vocabulary import CASE_BUILDS, POSITION_ROLES, RETENTIONS
from inventory.api.briefs import BriefInput, read_brief
from inventory.api.references import EndInput, ReferenceField
from inventory.base.api.fields import IdField, NumberField, TextField
from inventory.base.api.lists import ListFilter, orderings
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from inventory.base.errors import NotFoundError
from inventory.base.models.checked import VERDICTS
from inventory.models import Kit
from inventory.selectors.kits import (
    KitShape,
    KitSummaryShape,
    LinkShape,
    PositionShape,
    kit_rows,
    show_kit,
    show_kits,
    show_links,
    show_positions,
)
from inventory.services import contents, kits
from inventory.services.links import EndDraft, LinkDraft
from inventory.services.positions import PositionDraft


class PositionInput(StrictSerializer):
    label = TextField(max_length=60, allow_blank=False)  # type: ignore[assignment]  # a field of that name
    spec = IdField(required=False)
    role = serializers.ChoiceField(choices=POSITION_ROLES, required=False)
    unit = IdField(allow_null=True, required=False)
    accepts = serializers.ListField(child=IdField(), required=False, max_length=100)


class LinkInput(StrictSerializer):
    to = EndInput()
    cable = ReferenceField(allow_null=True, required=False)
    cable_spec = IdField(allow_null=True, required=False)
    label = TextField(max_length=100, required=False)  # type: ignore[assignment]  # a field of that name
    colour = TextField(max_length=40, required=False)

    def get_fields(self) -> dict[str, Any]:
        # "from" is a word of the language and cannot be an attribute
        return {"from": EndInput(), **super().get_fields()}


class KitInput(StrictSerializer):
    name = TextField(allow_blank=False)
    purpose = TextField(required=False)
    case = IdField(allow_null=True, required=False)
    build = serializers.ChoiceField(choices=CASE_BUILDS, allow_null=True, required=False)
    ambient_celsius = NumberField(min_value=-50, max_value=100, allow_null=True, required=False)
    exposed_retention = serializers.ChoiceField(choices=RETENTIONS, allow_null=True, required=False)
    colour = TextField(max_length=40, required=False)
    brief = BriefInput(allow_null=True, required=False)


class ContentsInput(StrictSerializer):
    positions = serializers.ListField(child=PositionInput(), required=False, max_length=500)
    links = serializers.ListField(child=LinkInput(), required=False, max_length=1000)


class NewKitInput(KitInput):
    positions = serializers.ListField(child=PositionInput(), required=False, max_length=500)
    links = serializers.ListField(child=LinkInput(), required=False, max_length=1000)


def read_kit(data: Any) -> Any:
    return dict(data) | ({"brief": read_brief(data["brief"])} if "brief" in data else {})


def read_position(data: Any, field: str = "") -> PositionDraft:
    return PositionDraft(
        label=data["label"],
        role=data.get("role") or ("case" if data["label"] == "case" else "required"),
        spec=data.get("spec"),
        unit=data.get("unit"),
        accepts=tuple(data.get("accepts", ())),
        field=field,
    )


def read_link(data: Any, field: str = "") -> LinkDraft:
    ends = {"a" if name == "from" else "b": EndDraft(**data[name]) for name in ("from", "to")}
    return LinkDraft(
        **ends,
        cable=data.get("cable"),
        cable_spec=data.get("cable_spec"),
        label=data.get("label", ""),
        colour=data.get("colour", ""),
        field=field,
    )


def read_contents(data: Any) -> tuple[list[PositionDraft], list[LinkDraft]]:
    positions = [read_position(item, f"positions.{index}") for index, item in enumerate(data.pop("positions", []))]
    links = [read_link(item, f"links.{index}") for index, item in enumerate(data.pop("links", []))]
    return positions, links


class KitFilter(ListFilter):
    search_over = ("name", "purpose")

    verdict = django_filters.ChoiceFilter(choices=[(verdict, verdict) for verdict in VERDICTS])


KIT_ORDERINGS = orderings("name", "id")


class KitListView(ListView):
    permits = {"GET": "kit.read", "POST": "kit.edit"}
    filter_class = KitFilter
    orderings = KIT_ORDERINGS

    @described_list(KitSummaryShape, KitFilter, KIT_ORDERINGS)
    def get(self, request: Request) -> Response:
        return self.list(kit_rows(), show_kits)

    @described(takes=NewKitInput, gives=KitShape, status=201)
    def post(self, request: Request) -> Response:
        fields: Any = read_kit(NewKitInput.read(request.data))
        positions, links = read_contents(fields)
        return self.write(
            lambda c: kits.create_kit(c, fields=fields, positions=positions, links=links),
            kit_shape,
            status=201,
            location=lambda body: f"/api/v1/kits/{body['id']}/",
        )


class KitView(ResourceView):
    permits = {"GET": "kit.read", "PATCH": "kit.edit", "DELETE": "kit.edit"}

    @described(gives=KitShape)
    def get(self, request: Request, kit_id: int) -> Response:
        return self.read(kit_shape(kit_id))

    @described(takes=KitInput, gives=KitShape)
    def patch(self, request: Request, kit_id: int) -> Response:
        fields: Any = read_kit(KitInput.read(request.data, partial=True))
        return self.write(
            lambda c: kits.edit_kit(c, kit_id, fields=fields), kit_shape, version=self.version_of(Kit, kit_id)
        )

    @described(status=204)
    def delete(self, request: Request, kit_id: int) -> Response:
        return self.write(
            lambda c: kits.delete_kit(c, kit_id), lambda _: None, status=204, version=self.version_of(Kit, kit_id)
        )


class ContentsView(ResourceView):
    permits = {"PUT": "kit.edit"}

    @described(takes=ContentsInput, gives=KitShape)
    def put(self, request: Request, kit_id: int) -> Response:
        positions, links = read_contents(dict(ContentsInput.read(request.data)))
        return self.write(
            lambda c: kits.replace_contents(c, kit_id, positions=positions, links=links),
            kit_shape,
            version=self.version_of(Kit, kit_id),
        )


class PositionListView(ResourceView):
    permits = {"GET": "kit.read", "POST": "kit.edit"}

    @described_list(PositionShape)
    def get(self, request: Request, kit_id: int) -> Response:
        return self.read({"next": None, "previous": None, "results": kit_shape(kit_id)["positions"]})

    @described(takes=PositionInput, gives=PositionShape, status=201)
    def post(self, request: Request, kit_id: int) -> Response:
        draft = read_position(PositionInput.read(request.data))
        return self.write(
            lambda c: contents.add_position(c, kit_id, draft=draft),
            lambda position_id: position_shape(kit_id, position_id),
            status=201,
            location=lambda body: f"/api/v1/kits/{kit_id}/positions/{body['id']}/",
            version=self.version_of(Kit, kit_id),
        )


class PositionView(ResourceView):
    permits = {"GET": "kit.read", "PATCH": "kit.edit", "DELETE": "kit.edit"}

    @described(gives=PositionShape)
    def get(self, request: Request, kit_id: int, position_id: int) -> Response:
        return self.read(position_shape(kit_id, position_id))

    @described(takes=PositionInput, gives=PositionShape)
    def patch(self, request: Request, kit_id: int, position_id: int) -> Response:
        fields = dict(PositionInput.read(request.data, partial=True))
        return self.write(
            lambda c: contents.edit_position(c, kit_id, position_id, fields=fields),
            lambda _: position_shape(kit_id, position_id),
            version=self.version_of(Kit, kit_id),
        )

    @described(status=204)
    def delete(self, request: Request, kit_id: int, position_id: int) -> Response:
        return self.write(
            lambda c: contents.delete_position(c, kit_id, position_id),
            lambda _: None,
            status=204,
            version=self.version_of(Kit, kit_id),
        )


class LinkListView(ResourceView):
    permits = {"GET": "kit.read", "POST": "kit.edit"}

    @described_list(LinkShape)
    def get(self, request: Request, kit_id: int) -> Response:
        return self.read({"next": None, "previous": None, "results": kit_shape(kit_id)["links"]})

    @described(takes=LinkInput, gives=LinkShape, status=201)
    def post(self, request: Request, kit_id: int) -> Response:
        draft = read_link(LinkInput.read(request.data))
        return self.write(
            lambda c: contents.add_link(c, kit_id, draft=draft),
            lambda link_id: link_shape(kit_id, link_id),
            status=201,
            location=lambda body: f"/api/v1/kits/{kit_id}/links/{body['id']}/",
            version=self.version_of(Kit, kit_id),
        )


class LinkView(ResourceView):
    permits = {"GET": "kit.read", "PATCH": "kit.edit", "DELETE": "kit.edit"}

    @described(gives=LinkShape)
    def get(self, request: Request, kit_id: int, link_id: int) -> Response:
        return self.read(link_shape(kit_id, link_id))

    @described(takes=LinkInput, gives=LinkShape)
    def patch(self, request: Request, kit_id: int, link_id: int) -> Response:
        given = dict(LinkInput.read(request.data, partial=True))
        fields = {{"from": "a", "to": "b"}.get(name, name): value for name, value in given.items()}
        for name in ("a", "b"):
            if name in fields:
                fields[name] = EndDraft(**fields[name])
        return self.write(
            lambda c: contents.edit_link(c, kit_id, link_id, fields=fields),
            lambda _: link_shape(kit_id, link_id),
            version=self.version_of(Kit, kit_id),
        )

    @described(status=204)
    def delete(self, request: Request, kit_id: int, link_id: int) -> Response:
        return self.write(
            lambda c: contents.delete_link(c, kit_id, link_id),
            lambda _: None,
            status=204,
            version=self.version_of(Kit, kit_id),
        )


def kit_shape(kit_id: int) -> KitShape:
    """Return one kit with its contents.

    Raises:
        NotFoundError: there is no such kit.
    """
    shown = show_kit(kit_id)
    if shown is None:
        raise NotFoundError(f"There is no kit {kit_id}.")
    return shown


def position_shape(kit_id: int, position_id: int) -> PositionShape:
    """Return one position of a kit.

    Raises:
        NotFoundError: the kit has no such position.
    """
    for shown in show_positions([kit_id])[kit_id]:
        if shown["id"] == position_id:
            return shown
    raise NotFoundError(f"Kit {kit_id} has no place {position_id}.")


def link_shape(kit_id: int, link_id: int) -> LinkShape:
    """Return one link of a kit.

    Raises:
        NotFoundError: the kit has no such link.
    """
    for shown in show_links([kit_id])[kit_id]:
        if shown["id"] == link_id:
            return shown
    raise NotFoundError(f"Kit {kit_id} has no link {link_id}.")
