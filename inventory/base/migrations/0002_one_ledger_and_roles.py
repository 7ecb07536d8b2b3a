"""The ledger's one row and the groups that stand for roles: every installation has them from the first day."""

from django.db import migrations

from inventory.base.roles import ALL_ROLES


def forwards(apps, schema_editor):
    apps.get_model("base", "Ledger").objects.get_or_create(pk=1)
    group = apps.get_model("auth", "Group")
    for name in ALL_ROLES:
        group.objects.get_or_create(name=name)


class Migration(migrations.Migration):
    dependencies = [("base", "0001_initial"), ("auth", "0012_alter_user_first_name_max_length")]
    operations = [migrations.RunPython(forwards, migrations.RunPython.noop)]
