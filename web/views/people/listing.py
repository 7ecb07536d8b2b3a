"""``/people/``: who works here and what each may do; the owner adds somebody, gives roles, lets somebody go."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from django import forms
from django.http import Http404, HttpRequest, HttpResponse

from inventory.base.changes import Change, ledger_version
from inventory.base.roles import ELECTRICS, ROLES
from inventory.selectors.people import UserShape, one_user, show_user, user_rows
from inventory.services.people import PersonFields, add_person, edit_person
from web.form_page import FormModel, FormPage
from web.forms import EditForm, PageForm
from web.page import Page

MEANINGS = {
    "viewer": "reads everything but money and clients",
    "crew": "also flags faults, asks for checks, books gear for shows",
    "planner": "also keeps data sheets, units, kits, shows and the bench",
    "owner": "also keeps the people and the settings",
    ELECTRICS: "on top of another role: accepts findings about mains",
}
NAME = r"^[\w.@+-]{1,150}$"


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonLine:
    id: int
    username: str
    name: str
    roles: str
    active: bool
    self: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleLine:
    role: str
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleModel:
    title: str
    people: tuple[PersonLine, ...]
    gone: tuple[PersonLine, ...]
    """Those who are not active: they stay, because what they did stays under their name."""
    roles: tuple[RoleLine, ...]
    may_edit: bool


class PeoplePage(Page):
    permits = {"GET": "user.read"}
    section = "/people/"

    def get(self, request: HttpRequest) -> HttpResponse:
        lines = [self._line(show_user(row)) for row in user_rows().order_by("username")]
        page = PeopleModel(
            title="People",
            people=tuple(line for line in lines if line.active),
            gone=tuple(line for line in lines if not line.active),
            roles=tuple(RoleLine(role=role, meaning=meaning) for role, meaning in MEANINGS.items()),
            may_edit=self.person().may("user.edit"),
        )
        return self.show("web/pages/people.html", page)

    def _line(self, shape: UserShape) -> PersonLine:
        ordered = sorted(shape["roles"], key=lambda role: role == ELECTRICS)
        return PersonLine(
            id=shape["id"],
            username=shape["username"],
            name=shape["name"],
            roles=" and ".join(ordered) or "no role",
            active=shape["active"],
            self=shape["id"] == self.person().pk,
        )


class PersonFormBase(PageForm):
    """The fields of a person that new and known ones share."""

    username = forms.RegexField(
        NAME,
        label="Signs in as",
        help_text="Letters, digits and . @ + - _",
        error_messages={"invalid": "Use letters, digits and . @ + - _ only."},
    )
    name = forms.CharField(max_length=150, required=False, label="Name")
    role = forms.ChoiceField(choices=[(role, role) for role in ROLES], label="Role", initial="crew")
    electrics = forms.BooleanField(required=False, label="electrics as well")

    def field_of(self, path: str) -> str | None:
        return "role" if path == "roles" else super().field_of(path)

    def person(self) -> PersonFields:
        """Return what the service takes."""
        given = self.cleaned_data
        fields: PersonFields = {
            "username": given["username"],
            "name": given["name"],
            "roles": [given["role"], *([ELECTRICS] if given["electrics"] else [])],
        }
        if given["password"]:
            fields["password"] = given["password"]
        return fields


class NewPersonForm(PersonFormBase):
    password = forms.CharField(
        max_length=1000,
        strip=False,
        label="First password",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Eight characters or more, not a common one. They change it on their own page.",
    )


class KnownPersonForm(EditForm, PersonFormBase):
    sources = {"roles": ("role", "electrics")}

    active = forms.BooleanField(
        required=False,
        label="works here",
        help_text="Without it nobody signs in by this name, and its tokens are gone.",
    )
    password = forms.CharField(
        max_length=1000,
        strip=False,
        required=False,
        label="New password",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Leave it empty to keep the present one. A new one takes back every token.",
    )

    def person(self) -> PersonFields:
        return {**super().person(), "active": self.cleaned_data["active"]}


class NewPersonPage(FormPage[NewPersonForm]):
    permits = {"GET": "user.edit", "POST": "user.edit"}
    section = "/people/"

    def make_form(self) -> NewPersonForm:
        return self.form(NewPersonForm)

    def describe(self, form: NewPersonForm) -> FormModel:
        return FormModel(title="Somebody new", button="Add them", form=form, back="/people/", back_words="People")

    def work(self, c: Change, form: NewPersonForm) -> None:
        add_person(c, fields=form.person())

    def after(self) -> str:
        return "/people/"


class PersonPage(FormPage[KnownPersonForm]):
    permits = {"GET": "user.edit", "POST": "user.edit"}
    section = "/people/"
    noun = "user"

    def begin(self) -> None:
        found = one_user(self.object_id())
        if found is None:
            raise Http404(f"There is nobody {self.object_id()}.")
        self.found = found

    def object_id(self) -> int:
        return int(self.kwargs["user_id"])

    def make_form(self) -> KnownPersonForm:
        known = self.found
        role = next((role for role in known["roles"] if role in ROLES), None)
        initial = {"version": known["version"], "ledger": ledger_version(), "username": known["username"]}
        rest = {"name": known["name"], "role": role, "electrics": ELECTRICS in known["roles"]}
        return self.form(KnownPersonForm, {**initial, **rest, "active": known["active"]})

    def describe(self, form: KnownPersonForm) -> FormModel:
        return FormModel(
            title=self.found["name"] or self.found["username"],
            lead="Nobody is deleted: what they did stays under their name.",
            button="Save",
            form=form,
            back="/people/",
            back_words="People",
        )

    def work(self, c: Change, form: KnownPersonForm) -> None:
        edit_person(c, self.object_id(), fields=cast(PersonFields, form.edited(form.person())))

    def version(self) -> Callable[[], int]:
        return lambda: (one_user(self.object_id()) or self.found)["version"]

    def after(self) -> str:
        return "/people/"
