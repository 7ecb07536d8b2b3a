"""Parts of the form, and rows of them: as many as are filled, and one more. What is left empty does not count."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.forms.formsets import DELETION_FIELD_NAME, BaseFormSet, formset_factory
from django.http import QueryDict

from inventory.services.briefs import MOST_ENTRIES
from web.forms import PageForm
from web.named_ports import NamedPorts, UnknownNamesError

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    PartSet = BaseFormSet["Part"]
else:
    PartSet = BaseFormSet

Entry = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """The kit that is asked: its ports by name, and the tags of units."""

    ports: NamedPorts
    tags: Mapping[int, str]


class Part(PageForm):
    """One entry of a brief. Its fields are those of the dataclass that calculation knows it as."""

    is_a: ClassVar[type["DataclassInstance"]]
    words: ClassVar[str]
    """What one of them is called."""
    folded: ClassVar[tuple[str, ...]] = ()
    """Fields that are rarely written."""

    def __init__(self, *args: Any, about: About, **kwargs: Any) -> None:
        self.about = about
        super().__init__(*args, **{**kwargs, "empty_permitted": True})

    @classmethod
    def shown(cls, entry: Mapping[str, Any], about: About) -> Entry:
        """Return an entry as its fields show it; what goes without saying is left empty."""
        return {
            field.name: entry[field.name]
            for field in fields(cls.is_a)
            if field.name in cls.base_fields and entry[field.name] not in (None, field.default)
        }

    @classmethod
    def rows(cls, entries: Sequence[Mapping[str, Any]], about: About) -> list[Entry]:
        """Return entries as rows."""
        return [cls.shown(entry, about) for entry in entries]

    def given(self) -> Entry:
        """Return what is filled; what is not is left out."""
        return {
            name: value
            for name, value in self.cleaned_data.items()
            if value not in (None, "") and name != DELETION_FIELD_NAME
        }

    def asked(self) -> list[Entry]:
        """Return what the service takes: one entry, or none where nothing is filled."""
        return [self.given()] if self.has_changed() else []

    def field_of(self, path: str) -> str | None:
        return super().field_of(path.partition(".")[0])

    @property
    def is_filled(self) -> bool:
        return self.has_changed() if self.is_bound else any(self.initial.values())

    @property
    def at_once(self) -> list[forms.BoundField]:
        """The fields that are always seen."""
        return [self[name] for name in self.fields if name not in {*self.folded, DELETION_FIELD_NAME}]

    @property
    def under_fold(self) -> list[forms.BoundField]:
        return [self[name] for name in self.folded]

    @property
    def is_unfolded(self) -> bool:
        return any(field.value() not in (None, "") or field.errors for field in self.under_fold)

    @property
    def removal(self) -> forms.BoundField | None:
        """The box that takes a filled row away."""
        return self[DELETION_FIELD_NAME] if DELETION_FIELD_NAME in self.fields and self.is_filled else None


class Rows(PartSet):
    """Entries of one kind."""

    def __init__(self, data: QueryDict | None, *, about: About, prefix: str) -> None:
        super().__init__(data, auto_id="f-%s", prefix=prefix, form_kwargs={"about": about})

    def initial_form_count(self) -> int:
        """Every row may be left empty, those that were filled before as well."""
        return 0

    def add_fields(self, form: Part, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields[DELETION_FIELD_NAME].label = "take it away"

    def lay(self, entries: list[Entry]) -> None:
        """Show these rows and an empty one."""
        self.initial, self.extra = entries, len(entries) + 1

    def lay_in(self, back: QueryDict) -> None:
        """Show the rows that were sent and filled, and an empty one."""
        names = [*self.form.base_fields, DELETION_FIELD_NAME]
        sent = back.get(f"{self.prefix}-TOTAL_FORMS", "")
        rows = [
            {name: back[f"{self.prefix}-{row}-{name}"] for name in names if back.get(f"{self.prefix}-{row}-{name}")}
            for row in range(min(int(sent), MOST_ENTRIES) if sent.isdecimal() else 0)
        ]
        self.lay([row for row in rows if row])

    @property
    def words(self) -> str:
        """What one of them is called."""
        words: str = self.form.words
        return words

    @property
    def kept(self) -> list[Part]:
        """The rows that count."""
        return [row for row in self.forms if row not in self.deleted_forms]

    def asked(self) -> list[Entry]:
        return [entry for row in self.kept for entry in row.asked()]

    def part_of(self, place: int) -> Part:
        """Return the row that gave an entry, by the entry's place."""
        return [row for row in self.kept for _ in row.asked()][place]

    def parts(self) -> Iterator[tuple[str, Part]]:
        """Yield each row with what it is called."""
        for number, row in enumerate(self.forms, start=1):
            yield (f"{row.words.capitalize()} {number}" if row.is_filled else f"Another {row.words}"), row

    @property
    def filled(self) -> int:
        return sum(row.is_filled for row in self.forms)


def rows_of(part: type[Part], data: QueryDict | None, *, about: About, prefix: str) -> Rows:
    """Return rows of a kind of part, with what was sent, or empty."""
    made: type[Any] = formset_factory(
        part, formset=Rows, max_num=MOST_ENTRIES, absolute_max=MOST_ENTRIES, validate_max=True, can_delete=True
    )
    rows: Rows = made(data, about=about, prefix=prefix)
    return rows


def named(read: Any, text: str) -> Any:
    """Return what ``read`` makes of a text; what it does not know is an error of the field."""
    try:
        return read(text)
    except UnknownNamesError as error:
        raise ValidationError(error.sentences) from error
