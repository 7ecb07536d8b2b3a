from typing import Any

import django.db.models.deletion
from django.db import migrations, models
from django.db.models import F


def rank_by_time_of_booking(apps: Any, schema_editor: Any) -> None:
    apps.get_model("scheduling", "Booking").objects.update(ranked_at=F("booked_at"))


class Migration(migrations.Migration):
    dependencies = [("scheduling", "0001_initial")]

    operations = [
        migrations.AddField("booking", "ranked_at", models.DateTimeField(null=True)),
        migrations.RunPython(rank_by_time_of_booking, migrations.RunPython.noop),
        migrations.AlterField("booking", "ranked_at", models.DateTimeField()),
        migrations.AddField("claim", "stray", models.BooleanField(default=False)),
        migrations.AddField(
            "shortfall",
            "claim",
            models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="shortfalls",
                to="scheduling.claim",
            ),
        ),
        migrations.AddConstraint(
            "claim",
            models.CheckConstraint(
                condition=models.Q(("stray", False), models.Q(("standing", "soft"), _negated=True), _connector="OR"),
                name="scheduling_claim_only_firm_ones_stray",
            ),
        ),
        migrations.AddConstraint(
            "shortfall",
            models.UniqueConstraint(
                condition=models.Q(("claim__isnull", False), ("closed_at__isnull", True)),
                fields=("claim",),
                name="scheduling_shortfall_one_beside_a_claim",
            ),
        ),
    ]
