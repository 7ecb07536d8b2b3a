"""A rule that the database itself keeps: of the rows in a certain state, no two of one thing overlap in time."""

from collections.abc import Iterable
from typing import Any

from django.core.exceptions import ValidationError
from django.db import DEFAULT_DB_ALIAS
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.backends.ddl_references import Columns, Statement, Table
from django.db.models import BaseConstraint, Model

EXCLUSION = (
    "CONSTRAINT %(name)s EXCLUDE USING gist "
    "(%(of)s WITH =, tstzrange(%(starts)s, %(ends)s, '[)') WITH &&) WHERE (%(column)s = %(value)s)"
)
ADDED_EXCLUSION = f"ALTER TABLE %(table)s ADD {EXCLUSION}"
TRIGGER = """CREATE TRIGGER %(trigger)s BEFORE %(when)s ON %(table)s
FOR EACH ROW WHEN NEW.%(column)s = %(value)s
BEGIN
    SELECT RAISE(ABORT, 'NoOverlap: %(name)s')
     WHERE EXISTS (
        SELECT 1 FROM %(table)s AS other
         WHERE other.%(of)s = NEW.%(of)s AND other.%(column)s = %(value)s
           AND other.%(starts)s < NEW.%(ends)s AND other.%(ends)s > NEW.%(starts)s
           AND other.%(key)s IS NOT NEW.%(key)s
     );
END"""


class NoOverlap(BaseConstraint):
    """Rows of one ``of`` whose ``only`` column has the given value never overlap; ends that touch are allowed.

    PostgreSQL keeps it as an exclusion constraint over half-open ranges (btree_gist must be there). SQLite keeps it
    with two triggers. They are handed to the schema editor's deferred statements and not run as raw SQL: SQLite
    rebuilds a table at most schema changes, and a trigger that the schema editor does not know of is gone
    afterwards, in silence.
    """

    def __init__(
        self, *, name: str, of: str, starts: str, ends: str, only: tuple[str, str], violation_error_message: str = ""
    ) -> None:
        super().__init__(name=name, violation_error_message=violation_error_message or None)
        self.of, self.starts, self.ends, self.only = of, starts, ends, only

    def constraint_sql(self, model: type[Model] | None, schema_editor: BaseDatabaseSchemaEditor | None) -> Any:
        assert model is not None
        assert schema_editor is not None
        if schema_editor.connection.vendor == "postgresql":
            return self._statement(EXCLUSION, model, schema_editor)
        schema_editor.deferred_sql.extend(self._triggers(model, schema_editor))
        return None

    def create_sql(self, model: type[Model] | None, schema_editor: BaseDatabaseSchemaEditor | None) -> Any:
        assert model is not None
        assert schema_editor is not None
        return self._statement(ADDED_EXCLUSION, model, schema_editor)  # SQLite rebuilds the table instead

    def remove_sql(self, model: type[Model] | None, schema_editor: BaseDatabaseSchemaEditor | None) -> Any:
        assert model is not None
        assert schema_editor is not None
        return self._statement("ALTER TABLE %(table)s DROP CONSTRAINT %(name)s", model, schema_editor)

    def validate(
        self,
        model: type[Model],
        instance: Model,
        exclude: Iterable[str] | None = None,
        using: str = DEFAULT_DB_ALIAS,
    ) -> None:
        """Refuse a row that overlaps another.

        Raises:
            ValidationError: another row of the same thing overlaps.
        """
        column, value = self.only
        fields = {self.of, self.starts, self.ends, column}
        if fields & set(exclude or ()) or getattr(instance, column) != value:
            return
        others = model._default_manager.using(using).filter(
            **{
                self.of: getattr(instance, model._meta.get_field(self.of).attname),  # type: ignore[union-attr]
                column: value,
                f"{self.starts}__lt": getattr(instance, self.ends),
                f"{self.ends}__gt": getattr(instance, self.starts),
            }
        )
        if others.exclude(pk=instance.pk).exists():
            raise ValidationError(self.get_violation_error_message(), code=self.violation_error_code)

    def deconstruct(self) -> tuple[str, tuple[Any, ...], dict[str, Any]]:
        path, args, kwargs = super().deconstruct()
        return path, tuple(args), kwargs | {"of": self.of, "starts": self.starts, "ends": self.ends, "only": self.only}

    def __eq__(self, other: object) -> bool:
        return isinstance(other, NoOverlap) and self.deconstruct() == other.deconstruct()

    def __hash__(self) -> int:
        return hash((self.name, self.of, self.starts, self.ends, self.only))

    def _triggers(self, model: type[Model], schema_editor: BaseDatabaseSchemaEditor) -> list[Statement]:
        columns = [self._column(model, field) for field in (self.of, self.starts, self.ends, self.only[0])]
        quoted = ", ".join(schema_editor.quote_name(column) for column in columns)
        return [
            self._statement(TRIGGER, model, schema_editor, trigger=f"{self.name}_insert", when="INSERT"),
            self._statement(TRIGGER, model, schema_editor, trigger=f"{self.name}_update", when=f"UPDATE OF {quoted}"),
        ]

    def _statement(
        self, template: str, model: type[Model], schema_editor: BaseDatabaseSchemaEditor, **more: str
    ) -> Statement:
        table, quote = model._meta.db_table, schema_editor.quote_name

        def column(field: str) -> Columns:
            return Columns(table, [self._column(model, field)], quote)

        return Statement(
            template,
            table=Table(table, quote),
            name=self.name,
            of=column(self.of),
            starts=column(self.starts),
            ends=column(self.ends),
            column=column(self.only[0]),
            value=schema_editor.quote_value(self.only[1]),
            key=quote(self._column(model, "pk")),
            **more,
        )

    @staticmethod
    def _column(model: type[Model], field: str) -> str:
        found = model._meta.pk if field == "pk" else model._meta.get_field(field)
        return str(found.column)  # type: ignore[union-attr]
