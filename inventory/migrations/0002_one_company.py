"""The company's one row of settings."""

from django.db import migrations


def forwards(apps, schema_editor):
    apps.get_model("inventory", "Company").objects.get_or_create(pk=1, defaults={"name": "The company"})


class Migration(migrations.Migration):
    dependencies = [("inventory", "0001_initial")]
    operations = [migrations.RunPython(forwards, migrations.RunPython.noop)]
