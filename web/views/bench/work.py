"""``/units/{id}/work/``, ``back/`` and ``test/``: what is done at the bench, and what it cost."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone

from inventory.base.changes import Change
from inventory.selectors.bench import FaultRecordShape, open_faults_of, outages
from inventory.selectors.company import show_company
from inventory.services.faults import record_repair, return_to_service
from inventory.services.inspections import record_inspection
from web.components.faults import what_broke
from web.components.in_the_way import CAUSES
from web.form_page import FormModel
from web.forms import PageForm
from web.instants import InstantField
from web.views.units.forms import UnitFormPage

READINGS = 3
MOST_MINUTES = 1_000_000


class WorkForm(PageForm):
    note = forms.CharField(max_length=2000, label="What was done", widget=forms.Textarea(attrs={"rows": 3}))
    cost = forms.DecimalField(min_value=Decimal(0), max_digits=12, decimal_places=2, required=False, label="Cost")
    currency = forms.RegexField(r"^[A-Z]{3}$", label="Currency", help_text="Three letters, ISO 4217.")
    minutes = forms.IntegerField(min_value=0, max_value=MOST_MINUTES, required=False, label="Minutes it took")
    waiver = forms.CharField(
        max_length=500,
        required=False,
        label="Why no test is needed",
        help_text="Only where the shell or contacts of mains or a battery were mended without a passed test.",
    )
    faults = forms.TypedMultipleChoiceField(
        coerce=int,
        required=False,
        label="Mended by it",
        widget=forms.CheckboxSelectMultiple,
        help_text="A fault that stays open goes on as it was.",
    )

    def __init__(self, *args: Any, faults: list[FaultRecordShape], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if faults:
            choices = [(fault["id"], what_broke(fault["what"], fault["port"])) for fault in faults]
            self.fields["faults"].choices = choices  # type: ignore[attr-defined]
        else:
            del self.fields["faults"]


class WorkPage(UnitFormPage[WorkForm]):
    permits = {"GET": "repair.record", "POST": "repair.record"}
    section = "/bench/"

    def version(self) -> Callable[[], int] | None:
        return None

    def make_form(self) -> WorkForm:
        faults = open_faults_of([self.object_id()])
        initial = {"currency": show_company()["currency"], "faults": [fault["id"] for fault in faults]}
        return self.form(WorkForm, initial, faults=faults)

    def describe(self, form: WorkForm) -> FormModel:
        return FormModel(
            title="Work at the bench", button="Write it down", form=form, back=self.after(), back_words=self.name
        )

    def work(self, c: Change, form: WorkForm) -> None:
        given = form.cleaned_data
        record_repair(
            c,
            unit_id=self.object_id(),
            fault_ids=given.get("faults", []),
            note=given["note"],
            cost=given["cost"],
            currency=given["currency"],
            minutes=given["minutes"],
            waiver=given["waiver"],
        )


class BackForm(PageForm):
    note = forms.CharField(max_length=2000, required=False, label="What was done", initial="")
    waiver = forms.CharField(
        max_length=500,
        required=False,
        label="Why no test is needed",
        help_text="Only where the shell or contacts of mains or a battery were mended without a passed test.",
    )


class BackPage(UnitFormPage[BackForm]):
    permits = {"GET": "repair.record", "POST": "repair.record"}
    section = "/bench/"

    def version(self) -> Callable[[], int] | None:
        return None

    def make_form(self) -> BackForm:
        return self.form(BackForm)

    def describe(self, form: BackForm) -> FormModel:
        faults = open_faults_of([self.object_id()])
        held = outages([self.object_id()], timezone.now())
        said = [what_broke(fault["what"], fault["port"]) for fault in faults]
        said += [CAUSES[outage["cause"]] for outage in held if outage["cause"] not in {"fault", "inspection"}]
        lead = f"This closes: {', '.join(said)}." if said else "Nothing keeps it from service."
        if any(outage["cause"] == "inspection" for outage in held):
            lead += " It failed its test, and stays held back until a passed one is on record."
        return FormModel(
            title="Back in service",
            lead=lead,
            button="Back in service",
            form=form,
            back=self.after(),
            back_words=self.name,
        )

    def work(self, c: Change, form: BackForm) -> None:
        return_to_service(c, self.object_id(), note=form.cleaned_data["note"], waiver=form.cleaned_data["waiver"])


class TestForm(PageForm):
    __test__ = False  # a form, and no class of tests
    passed = forms.ChoiceField(
        choices=[("yes", "passed"), ("no", "failed")], label="The test", help_text="A fail holds it back at once."
    )
    at = InstantField(required=False, label="When", help_text="Leave it empty for now.")
    kind = forms.CharField(max_length=60, required=False, label="Kind of test")
    instrument = forms.CharField(max_length=200, required=False, label="Instrument")
    tester = forms.CharField(max_length=200, required=False, label="Tested by")
    note = forms.CharField(max_length=2000, required=False, label="Note")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for number in range(1, READINGS + 1):
            self.add_field(f"what-{number}", forms.CharField(max_length=200, required=False, label="Reading of"))
            self.add_field(f"value-{number}", forms.FloatField(required=False, label="Value"))
            self.add_field(f"unit-{number}", forms.CharField(max_length=20, required=False, label="Unit"))
            self.add_field(f"limit-{number}", forms.FloatField(required=False, label="Limit"))

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for number in range(1, READINGS + 1):
            if bool(given.get(f"what-{number}")) != (given.get(f"value-{number}") is not None):
                self.add_error(f"value-{number}", "A reading has a name and a value.")
        return given

    def readings(self) -> list[dict[str, Any]]:
        """Return the readings that were typed."""
        given = self.cleaned_data
        return [
            {name: given[f"{name}-{number}"] for name in ("what", "value", "unit", "limit")}
            for number in range(1, READINGS + 1)
            if given[f"what-{number}"]
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class TestModel(FormModel):
    __test__ = False
    rows: tuple[tuple[Any, ...], ...]
    """The fields of each reading."""


class TestPage(UnitFormPage[TestForm]):
    __test__ = False
    permits = {"GET": "inspection.record", "POST": "inspection.record"}
    section = "/bench/"
    template = "web/pages/unit_test.html"

    def version(self) -> Callable[[], int] | None:
        return None

    def make_form(self) -> TestForm:
        return self.form(TestForm, {"passed": "yes", "tester": self.person().username})

    def describe(self, form: TestForm) -> TestModel:
        return TestModel(
            title="Readings of a test",
            lead="Local codes and the company's own assessment set what is tested, by whom, and how often.",
            button="Put it on record",
            form=form,
            back=self.after(),
            back_words=self.name,
            rows=tuple(
                tuple(form[f"{name}-{number}"] for name in ("what", "value", "unit", "limit"))
                for number in range(1, READINGS + 1)
            ),
        )

    def work(self, c: Change, form: TestForm) -> None:
        given = form.cleaned_data
        record_inspection(
            c,
            unit_id=self.object_id(),
            passed=given["passed"] == "yes",
            at=given["at"],
            kind=given["kind"],
            readings=form.readings(),
            instrument=given["instrument"],
            tester=given["tester"],
            note=given["note"],
        )
