"""``/venues/``: the venues, and what is known of their installations."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from ipaddress import ip_network
from typing import Any, cast
from zoneinfo import available_timezones

from django import forms
from django.http import Http404, HttpRequest, HttpResponse

from calc.connectors import all_connectors
from calc.vocabulary import BREAKER_CURVES, RULE_SETS
from inventory.base.changes import Change, ledger_version
from inventory.base.errors import InvalidError
from inventory.base.words import in_words
from scheduling.models import RCD_TYPES
from scheduling.selectors.venues import CircuitShape, VenueShape, show_venues, venue_rows
from scheduling.services.venues import CircuitFields, VenueFields, create_venue, edit_venue
from web.components.circuits import CircuitLine, circuit_lines
from web.components.numbers import with_unit
from web.form_page import FormModel, FormPage
from web.forms import EditForm, PageForm, VersionedForm
from web.page import Page
from web.sought import sought_words
from web.views.settings import RULES


@dataclass(frozen=True, slots=True, kw_only=True)
class VenueLine:
    id: int
    name: str
    circuits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class VenueListModel:
    title: str
    venues: tuple[VenueLine, ...]
    words: str
    may_edit: bool


class VenueListPage(Page):
    permits = {"GET": "venue.read"}
    section = "/events/"

    def get(self, request: HttpRequest) -> HttpResponse:
        words = sought_words(request)
        shapes = show_venues(list(in_words(venue_rows(), words, ("name",)).order_by("name", "id")[:MOST]))
        page = VenueListModel(
            title="Venues",
            venues=tuple(
                VenueLine(id=shape["id"], name=shape["name"], circuits=len(shape["circuits"])) for shape in shapes
            ),
            words=words,
            may_edit=self.person().may("venue.edit"),
        )
        return self.show("web/pages/venues.html", page)


MOST = 500
"""Venues on the page; more are found by words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VenueModel:
    title: str
    address: str
    facts: tuple[tuple[str, str], ...]
    circuits: tuple[CircuitLine, ...]
    may_edit: bool


class VenuePage(Page):
    permits = {"GET": "venue.read"}
    section = "/events/"

    def get(self, request: HttpRequest, venue_id: int) -> HttpResponse:
        venue = read_venue(venue_id)
        facts = (
            ("Clock", venue["timezone"]),
            ("Rules for mains", RULES[venue["rules"]] if venue["rules"] else "those of the company"),
            ("Warmest air", with_unit(venue["ambient_celsius"], "°C")),
            ("Internet, down", with_unit(venue["internet_down_mbps"], "Mb/s")),
            ("Internet, up", with_unit(venue["internet_up_mbps"], "Mb/s")),
            ("Addresses in use", ", ".join(venue["lan_ranges"]) or "not known"),
        )
        page = VenueModel(
            title=venue["name"],
            address=f"/venues/{venue_id}/",
            facts=facts,
            circuits=circuit_lines(venue["circuits"]),
            may_edit=self.person().may("venue.edit"),
        )
        return self.show("web/pages/venue.html", page)


def read_venue(venue_id: int) -> VenueShape:
    """Return a venue with its circuits; two statements.

    Raises:
        Http404: there is no such venue.
    """
    found = show_venues(list(venue_rows().filter(pk=venue_id)))
    if not found:
        raise Http404(f"There is no venue {venue_id}.")
    return found[0]


class VenueFieldsForm(PageForm):
    """The facts of a venue that new and known ones share."""

    name = forms.CharField(max_length=200, label="Name")
    timezone = forms.CharField(max_length=60, label="Clock", help_text="A zone of the IANA database: Europe/Zurich.")
    rules = forms.ChoiceField(
        choices=[("", "those of the company"), *((rules, RULES[rules]) for rules in RULE_SETS)],
        required=False,
        label="Rules for mains",
    )
    ambient_celsius = forms.FloatField(required=False, min_value=-60, max_value=90, label="Warmest air, °C")
    internet_down_mbps = forms.FloatField(required=False, min_value=0, max_value=1e6, label="Internet, down, Mb/s")
    internet_up_mbps = forms.FloatField(required=False, min_value=0, max_value=1e6, label="Internet, up, Mb/s")
    lan_ranges = forms.CharField(
        required=False,
        max_length=2000,
        label="Addresses in use by the venue",
        help_text="Blocks with commas between them: 192.168.10.0/24, 10.0.0.0/8.",
    )

    def clean_timezone(self) -> str:
        zone: str = self.cleaned_data["timezone"]
        if zone not in available_timezones():
            raise forms.ValidationError("Name a zone of the IANA database, such as Europe/Zurich.")
        return zone

    def clean_lan_ranges(self) -> list[str]:
        try:
            return [
                str(ip_network(block.strip())) for block in self.cleaned_data["lan_ranges"].split(",") if block.strip()
            ]
        except ValueError as error:
            raise forms.ValidationError(f"Write blocks such as 192.168.10.0/24: {error}.") from error

    def venue(self) -> VenueFields:
        """Return what the service takes."""
        given = self.cleaned_data
        fields: Any = {name: given[name] for name in VenueFieldsForm.base_fields}
        fields["rules"] = given["rules"] or None
        venue: VenueFields = fields
        return venue


class KnownVenueForm(EditForm, VenueFieldsForm):
    pass


class NewVenuePage(FormPage[VenueFieldsForm]):
    permits = {"GET": "venue.edit", "POST": "venue.edit"}
    section = "/events/"

    def make_form(self) -> VenueFieldsForm:
        return self.form(VenueFieldsForm, {"timezone": self.person().company_timezone})

    def describe(self, form: VenueFieldsForm) -> FormModel:
        return FormModel(
            title="New venue",
            lead="Leave empty what nobody has asked yet: empty is never nought.",
            button="Enter it",
            form=form,
            back="/venues/",
            back_words="Venues",
        )

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        form = self.make_form()
        if done := self.carry_out(form, lambda c: create_venue(c, fields=form.venue())):
            return self.go_to(f"/venues/{done.result}/")
        return self.show_again(form)


class VenueEditBase(FormPage[Any]):
    """Base of forms about a venue that stands."""

    permits = {"GET": "venue.edit", "POST": "venue.edit"}
    section = "/events/"
    noun = "venue"

    def object_id(self) -> int:
        return int(self.kwargs["venue_id"])

    def begin(self) -> None:
        self.found = read_venue(self.object_id())

    def known(self) -> dict[str, Any]:
        return {"version": self.found["version"], "ledger": ledger_version()}

    def version(self) -> Callable[[], int]:
        return lambda: read_venue(self.object_id())["version"]

    def after(self) -> str:
        return f"/venues/{self.object_id()}/"

    def model(self, form: PageForm, *, title: str, button: str, lead: str = "", grave: bool = False) -> FormModel:
        return FormModel(
            title=title,
            lead=lead,
            button=button,
            grave=grave,
            form=form,
            back=self.after(),
            back_words=self.found["name"],
        )


class EditVenuePage(VenueEditBase):
    def make_form(self) -> KnownVenueForm:
        facts = {name: self.found[name] for name in VenueFieldsForm.base_fields}  # type: ignore[literal-required]
        return self.form(KnownVenueForm, {**facts, "lan_ranges": ", ".join(self.found["lan_ranges"]), **self.known()})

    def describe(self, form: KnownVenueForm) -> FormModel:
        return self.model(form, title=f"Facts of {self.found['name']}", button="Save")

    def work(self, c: Change, form: KnownVenueForm) -> None:
        edit_venue(c, self.object_id(), fields=cast(VenueFields, form.edited(form.venue())))


def _listed(values: Sequence[str]) -> list[tuple[str, str]]:
    return [("", "not known"), *((value, value) for value in values)]


class CircuitForm(EditForm):
    name = forms.CharField(max_length=100, label="Name of the circuit")
    zone = forms.CharField(max_length=100, required=False, label="Where")
    leg = forms.CharField(max_length=20, required=False, label="Leg", help_text="L1, L2, L3, or as the venue calls it.")
    breaker_a = forms.FloatField(required=False, min_value=0.001, max_value=10_000, label="Breaker, A")
    curve = forms.ChoiceField(choices=_listed(BREAKER_CURVES), required=False, label="Curve of the breaker")
    volts = forms.FloatField(required=False, min_value=0.001, max_value=1000, label="Volts")
    rcd_ma = forms.FloatField(required=False, min_value=0.001, max_value=10_000, label="Residual current, mA")
    rcd_type = forms.ChoiceField(choices=_listed(RCD_TYPES), required=False, label="Type of that device, IEC 60755")
    connector = forms.ChoiceField(required=False, label="Socket")
    already_used_a = forms.FloatField(required=False, min_value=0, max_value=10_000, label="In use by the venue, A")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sockets = [(connector.code, connector.name) for connector in all_connectors()]
        self.fields["connector"].choices = [("", "not known"), *sockets]  # type: ignore[attr-defined]  # it has some

    def circuit(self) -> CircuitFields:
        """Return what the service takes."""
        given = self.cleaned_data
        fields: Any = {name: given[name] for name in CircuitForm.base_fields if name not in EditForm.base_fields}
        fields |= {name: given[name] or None for name in ("curve", "rcd_type", "connector")}
        circuit: CircuitFields = fields
        return circuit


class CircuitPageBase(VenueEditBase):
    """A circuit is edited as part of its venue: all of them are written at once."""

    lead = "Ask whoever keeps the venue what it may feed."

    def others(self) -> list[CircuitFields]:
        """Return the circuits that stay, under the lock."""
        return [_fields(circuit) for circuit in read_venue(self.object_id())["circuits"]]

    def write(self, c: Change, circuits: list[CircuitFields]) -> None:
        names = [circuit["name"] for circuit in circuits]
        if len(set(names)) < len(names):
            raise InvalidError.of_field("name", "Each circuit of a venue has a name of its own.")
        edit_venue(c, self.object_id(), fields={"circuits": circuits})


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitModel(FormModel):
    remove: str
    """Address of the page that removes it."""


class NewCircuitPage(CircuitPageBase):
    def make_form(self) -> CircuitForm:
        return self.form(CircuitForm, self.known())

    def describe(self, form: CircuitForm) -> FormModel:
        return self.model(form, title="New circuit", button="Enter it", lead=self.lead)

    def work(self, c: Change, form: CircuitForm) -> None:
        self.write(c, [*self.others(), form.circuit()])


class EditCircuitPage(CircuitPageBase):
    template = "web/pages/circuit.html"

    def begin(self) -> None:
        super().begin()
        wanted = int(self.kwargs["circuit_id"])
        found = [circuit for circuit in self.found["circuits"] if circuit["id"] == wanted]
        if not found:
            raise Http404(f"{self.found['name']} has no circuit {wanted}.")
        self.circuit = found[0]

    def make_form(self) -> CircuitForm:
        return self.form(CircuitForm, {**self.circuit, **self.known()})

    def describe(self, form: CircuitForm) -> FormModel:
        return CircuitModel(
            title=f"Circuit {self.circuit['name']}",
            button="Save",
            lead=self.lead,
            form=form,
            back=self.after(),
            back_words=self.found["name"],
            remove=f"{self.after()}circuits/{self.circuit['id']}/remove/",
        )

    def work(self, c: Change, form: CircuitForm) -> None:
        name = self.circuit["name"]
        edited = cast(CircuitFields, form.edited(form.circuit()))
        self.write(c, [each | edited if each["name"] == name else each for each in self.others()])


class RemoveCircuitPage(EditCircuitPage):
    template = "web/pages/form.html"

    def make_form(self) -> VersionedForm:  # type: ignore[override]  # it has nothing to fill in
        return self.form(VersionedForm, self.known())

    def describe(self, form: VersionedForm) -> FormModel:
        return self.model(
            form,
            title=f"Remove {self.circuit['name']}",
            button="Remove it",
            lead="What was asked about it is gone with it.",
            grave=True,
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        self.write(c, [each for each in self.others() if each["name"] != self.circuit["name"]])


def _fields(circuit: CircuitShape) -> CircuitFields:
    fields: Any = {name: value for name, value in circuit.items() if name != "id"}
    kept: CircuitFields = fields
    return kept
