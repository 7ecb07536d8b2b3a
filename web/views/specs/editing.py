"""``/specs/{id}/…``: one number, one port, more ports, or what else a data sheet says."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.http import Http404, HttpRequest, HttpResponse

from calc.connectors import all_connectors
from calc.ports_text import LONGEST_TEXT
from calc.rig.field_table import FIELDS
from calc.rig.fields import Field
from calc.rig.kit import Port, PortPoe, PortPower
from calc.vocabulary import CARRIES, FACES, OUTLET_LEGS, POE_ROLES, POWER_ROLES, PROVENANCES, SIDES, SPEC_KINDS
from inventory.base.changes import Change, ledger_version
from inventory.selectors.specs import one_spec, spec_and_facts
from inventory.services.spec_rules import ports_from_text
from inventory.services.specs import SpecFields, edit_spec
from web.components.connectors import ConnectorLine, connectors_by_use
from web.components.sheet import origin_of, value_at
from web.field_forms import form_field
from web.form_page import Form, FormModel, FormPage
from web.forms import EditForm, VersionedForm
from web.page import Page

ORIGINS = [(origin, origin) for origin in PROVENANCES]
PORT_NUMBERS = ("speed_mbps", "pairs")
POWER_NUMBERS = ("volts_min", "volts_max", "watts")


class SpecFormPage(FormPage[Form]):
    """Base of the forms over one data sheet."""

    permits = {"GET": "spec.edit", "POST": "spec.edit"}
    section = "/specs/"
    noun = "spec"

    def begin(self) -> None:
        found = spec_and_facts(self.object_id(), money=True)
        if found is None:
            raise Http404(f"There is no type {self.object_id()}.")
        self.spec, self.facts = found

    def object_id(self) -> int:
        return int(self.kwargs["spec_id"])

    def version(self) -> Callable[[], int]:
        return lambda: (one_spec(self.object_id(), money=False) or self.spec)["version"]

    def stamp(self) -> dict[str, Any]:
        """Return the hidden values of a form made now."""
        return {"version": self.spec["version"], "ledger": ledger_version()}

    def around(self, title: str, form: VersionedForm, *, lead: str = "", button: str = "Save") -> FormModel:
        return FormModel(
            title=title, lead=lead, button=button, form=form, back=self.after(), back_words=self.spec["name"]
        )

    def after(self) -> str:
        return f"/specs/{self.object_id()}/"


class NumberForm(VersionedForm):
    """One fact: its value, and where it came from."""

    value: forms.Field
    origin = forms.ChoiceField(choices=ORIGINS, label="Where it came from", help_text="A guess is “assumed”.")

    def __init__(self, *args: Any, field: Field, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.add_field("value", form_field(field))
        self.order_fields(["value", "origin"])

    def field_of(self, path: str) -> str | None:
        return "origin" if path.startswith("provenance") else "value"

    def given(self) -> Any:
        """Return the value; None: not known."""
        value = self.cleaned_data["value"]
        return {"yes": True, "no": False}.get(value, value) if value != "" else None


class NumberPage(SpecFormPage[NumberForm]):
    def begin(self) -> None:
        if self.kwargs["path"] not in FIELDS:
            raise Http404("There is no such number on a data sheet.")
        super().begin()
        self.field = FIELDS[self.kwargs["path"]]

    def make_form(self) -> NumberForm:
        value = value_at(self.spec, self.field)
        if isinstance(value, bool):
            value = "yes" if value else "no"
        initial = {**self.stamp(), "value": value, "origin": origin_of(self.spec, self.field.path)}
        return self.form(NumberForm, initial, field=self.field)

    def describe(self, form: NumberForm) -> FormModel:
        return self.around(self.field.heading, form, lead="Leave the value empty where nobody knows it.")

    def work(self, c: Change, form: NumberForm) -> None:
        value: Any = form.given()
        field = self.field
        fields: Any = {field.sheet: {field.name: value}} if field.sheet else {field.name: value}
        fields["provenance"] = {**self.spec["provenance"], field.path: form.cleaned_data["origin"]}
        edit_spec(c, self.object_id(), fields=fields)


class DetailsForm(EditForm):
    name = forms.CharField(max_length=200, label="Name")
    kind = forms.ChoiceField(choices=[(kind, kind) for kind in SPEC_KINDS], label="Kind")
    maker = forms.CharField(max_length=200, required=False, label="Maker")
    part_number = forms.CharField(max_length=200, required=False, label="Part number")
    country_of_origin = forms.RegexField(
        r"^[A-Z]{2}$", required=False, label="Made in", help_text="Two letters, ISO 3166-1; papers for customs ask it."
    )
    rack_units = forms.FloatField(min_value=0, max_value=100, required=False, label="Rack units")
    replacement_cost = forms.DecimalField(
        min_value=Decimal(0), max_digits=12, decimal_places=2, required=False, label="What one costs to replace"
    )
    currency = forms.RegexField(r"^[A-Z]{3}$", label="Currency", help_text="Three letters, ISO 4217.")
    inspection_interval_days = forms.IntegerField(
        min_value=1, max_value=36_500, required=False, label="Tested every so many days"
    )
    prep_minutes = forms.IntegerField(min_value=0, max_value=100_000, required=False, label="Minutes to make ready")
    turnaround_minutes = forms.IntegerField(
        min_value=0, max_value=100_000, required=False, label="Minutes to turn around after a show"
    )

    def facts(self) -> dict[str, Any]:
        """Return what the service takes, by name."""
        return {name: value for name, value in self.cleaned_data.items() if name not in EditForm.base_fields}


class DetailsPage(SpecFormPage[DetailsForm]):
    def make_form(self) -> DetailsForm:
        return self.form(DetailsForm, {**self.spec, **self.stamp()})

    def describe(self, form: DetailsForm) -> FormModel:
        return self.around(f"About {self.spec['name']}", form)

    def work(self, c: Change, form: DetailsForm) -> None:
        edit_spec(c, self.object_id(), fields=cast(SpecFields, form.edited(form.facts())))


class MorePortsForm(VersionedForm):
    ports_text = forms.CharField(
        max_length=LONGEST_TEXT,
        label="More ports, in a line",
        widget=forms.Textarea(attrs={"rows": 3, "spellcheck": "false", "autocapitalize": "none"}),
        help_text="Such as: 1-4 8p8c 1G class4 out; dc 48-57V 78W",
    )

    def field_of(self, path: str) -> str | None:
        return "ports_text"


@dataclass(frozen=True, slots=True, kw_only=True)
class MorePortsModel(FormModel):
    connectors: tuple[tuple[str, tuple[ConnectorLine, ...]], ...]


class MorePortsPage(SpecFormPage[MorePortsForm]):
    template = "web/pages/spec_ports.html"

    def make_form(self) -> MorePortsForm:
        return self.form(MorePortsForm, self.stamp())

    def describe(self, form: MorePortsForm) -> FormModel:
        return MorePortsModel(
            title="More ports",
            lead="The ports that stand stay as they are.",
            button="Add them",
            form=form,
            back=self.after(),
            back_words=self.spec["name"],
            connectors=connectors_by_use(),
        )

    def work(self, c: Change, form: MorePortsForm) -> None:
        more = ports_from_text(form.cleaned_data["ports_text"], kind=self.spec["kind"])
        edit_spec(c, self.object_id(), fields={"ports": (*self.facts.ports, *more)})


def _or_nothing(values: tuple[str, ...], nothing: str) -> list[tuple[str, str]]:
    return [("", nothing), *((value, value) for value in values)]


class PortForm(VersionedForm):
    name = forms.CharField(max_length=60, label="Name", help_text="Connections and faults follow a new name.")
    connector = forms.ChoiceField(
        choices=lambda: [(entry.code, f"{entry.name} ({entry.code})") for entry in all_connectors()], label="Connector"
    )
    side = forms.ChoiceField(choices=[(side, side) for side in SIDES], label="Side")
    face = forms.ChoiceField(choices=[(face, face) for face in FACES], label="Face")
    carries = forms.ChoiceField(choices=[(signal, signal) for signal in CARRIES], label="Carries")
    through = forms.CharField(
        max_length=60, required=False, label="Joined to", help_text="The port behind it, or the other end of a lead."
    )
    speed_mbps = forms.FloatField(min_value=0, max_value=1_000_000, required=False, label="Speed, Mb/s")
    pairs = forms.IntegerField(min_value=1, max_value=100, required=False, label="Pairs")
    poe_role = forms.ChoiceField(choices=_or_nothing(POE_ROLES, "none"), required=False, label="Power over Ethernet")
    poe_class = forms.IntegerField(min_value=0, max_value=8, required=False, label="Class")
    power_role = forms.ChoiceField(choices=_or_nothing(POWER_ROLES, "none"), required=False, label="Power of its own")
    volts_min = forms.FloatField(min_value=0, max_value=1000, required=False, label="Lowest volts")
    volts_max = forms.FloatField(min_value=0, max_value=1000, required=False, label="Highest volts")
    watts = forms.FloatField(min_value=0, max_value=1_000_000, required=False, label="Watts at most")
    leg = forms.ChoiceField(
        choices=_or_nothing(OUTLET_LEGS, "not known"),
        required=False,
        label="Leg",
        help_text="Of an outlet: the line of its inlet that it hangs on. Of split phase, A is L1 and B is L2.",
    )
    origin = forms.ChoiceField(choices=ORIGINS, label="Its numbers came from")
    remove = forms.BooleanField(required=False, label="take this port off the sheet")

    def field_of(self, path: str) -> str | None:
        last = {"class": "poe_class", "poe": "poe_role", "power": "power_role"}.get(path.rpartition(".")[2])
        return last or super().field_of(path.rpartition(".")[2])


class PortPage(SpecFormPage[PortForm]):
    def begin(self) -> None:
        super().begin()
        self.place = int(self.kwargs["number"]) - 1
        if not 0 <= self.place < len(self.facts.ports):
            raise Http404(f"{self.spec['name']} has no port {self.place + 1}.")
        self.port = self.facts.ports[self.place]

    def make_form(self) -> PortForm:
        port, poe, power = self.port, self.port.poe, self.port.power
        plain = {name: getattr(port, name) for name in ("name", "connector", "side", "face", "carries", "through")}
        numbers = {name: getattr(port, name) for name in PORT_NUMBERS}
        given = {name: getattr(power, name) if power else None for name in POWER_NUMBERS}
        roles = {"poe_role": poe.role if poe else "", "poe_class": poe.poe_class if poe else None}
        origins = {value for path, value in self.spec["provenance"].items() if path.startswith(self._path())}
        rest = {"power_role": power.role if power else "", "origin": min(origins, default="data sheet")}
        rest["leg"] = (power.leg if power else None) or ""
        return self.form(PortForm, {**self.stamp(), **plain, **numbers, **given, **roles, **rest})

    def describe(self, form: PortForm) -> FormModel:
        return self.around(f"Port {self.port.name}", form)

    def work(self, c: Change, form: PortForm) -> None:
        ports = list(self.facts.ports)
        provenance = {
            path: value for path, value in self.spec["provenance"].items() if not path.startswith(self._path())
        }
        fields: SpecFields = {}
        if form.cleaned_data["remove"]:
            del ports[self.place]
            ports = [replace(port, through=None) if port.through == self.port.name else port for port in ports]
        else:
            changed = _changed(self.port, form.cleaned_data)
            ports[self.place] = changed
            provenance |= _origins(changed, form.cleaned_data["origin"])
            if changed.name != self.port.name:
                fields["renames"] = {self.port.name: changed.name}
                ports = [
                    replace(port, through=changed.name) if port.through == self.port.name else port for port in ports
                ]
        edit_spec(c, self.object_id(), fields={**fields, "ports": tuple(ports), "provenance": provenance})

    def _path(self) -> str:
        return f"ports.{self.port.name}."


class NamedPortPage(Page):
    """Leads to the form of a port by its name, which is how a missing number names it; who only reads, to the ports."""

    permits = {"GET": "spec.read"}

    def get(self, request: HttpRequest, spec_id: int) -> HttpResponse:
        found = spec_and_facts(spec_id, money=False)
        names = [port.name for port in found[1].ports] if found is not None else []
        name = request.GET.get("name", "")
        if name not in names:
            raise Http404(f"It has no port {name}.")
        to = f"ports/{names.index(name) + 1}/" if self.person().may("spec.edit") else "#ports"
        return self.go_to(f"/specs/{spec_id}/{to}")


def _changed(port: Port, given: dict[str, Any]) -> Port:
    poe = power = None
    if given["poe_role"]:
        standing = port.poe or PortPoe(role=given["poe_role"])
        poe = replace(standing, role=given["poe_role"], poe_class=given["poe_class"])
    if given["power_role"]:
        own = port.power or PortPower(role=given["power_role"])
        numbers = {name: given[name] for name in POWER_NUMBERS}
        power = replace(own, role=given["power_role"], leg=given["leg"] or None, **numbers)
    return replace(
        port,
        name=given["name"],
        connector=given["connector"],
        side=given["side"],
        face=given["face"],
        carries=given["carries"],
        through=given["through"] or None,
        speed_mbps=given["speed_mbps"],
        pairs=given["pairs"],
        poe=poe,
        power=power,
    )


def _origins(port: Port, origin: str) -> dict[str, str]:
    """Return the provenance of the port's numbers; the data sheet goes without saying."""
    if origin == "data sheet":
        return {}
    paths = [name for name in PORT_NUMBERS if getattr(port, name) is not None]
    if port.poe is not None and port.poe.poe_class is not None:
        paths.append("poe.class")
    if port.power is not None:
        paths += [f"power.{name}" for name in POWER_NUMBERS if getattr(port.power, name) is not None]
    return {f"ports.{port.name}.{path}": origin for path in paths}
