"""Drafts made before their origin was a column: history says what they were cloned from."""

from django.db import migrations


def forwards(apps, schema_editor):
    kit_rows = apps.get_model("inventory", "Kit").objects
    there = set(kit_rows.values_list("pk", flat=True))
    clones = apps.get_model("base", "HistoryEntry").objects.filter(noun="kit", verb="clone")
    for draft, details in clones.values_list("object_id", "details"):
        origin = details.get("of")
        if origin in there and origin != draft:
            kit_rows.filter(pk=draft, drafted_from__isnull=True).update(drafted_from_id=origin)


class Migration(migrations.Migration):
    dependencies = [("inventory", "0005_drafted_from"), ("base", "0002_one_ledger_and_roles")]
    operations = [migrations.RunPython(forwards, migrations.RunPython.noop)]
