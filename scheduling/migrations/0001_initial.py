import django.db.models.deletion
import inventory.base.no_overlap
from django.conf import settings
from django.db import migrations, models


def let_gist_compare_plain_columns(apps, schema_editor):
    """The exclusion of overlapping claims compares a plain column beside a range; PostgreSQL keeps that in an extension.

    Not django.contrib.postgres: importing it needs the PostgreSQL driver, which an installation on SQLite lacks.
    """
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute("CREATE EXTENSION IF NOT EXISTS btree_gist")


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('inventory', '0002_one_company'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(let_gist_compare_plain_columns, migrations.RunPython.noop),
        migrations.CreateModel(
            name='Event',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=200)),
                ('client', models.CharField(blank=True, default='', max_length=200)),
                ('state', models.CharField(choices=[('enquiry', 'enquiry'), ('confirmed', 'confirmed'), ('closed', 'closed'), ('cancelled', 'cancelled')], default='enquiry', max_length=12)),
                ('gear_out_at', models.DateTimeField()),
                ('gear_back_at', models.DateTimeField()),
                ('version', models.PositiveIntegerField(default=1)),
            ],
        ),
        migrations.CreateModel(
            name='Booking',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.PositiveIntegerField(default=1)),
                ('state', models.CharField(choices=[('pencil', 'pencil'), ('confirmed', 'confirmed'), ('cancelled', 'cancelled')], max_length=10)),
                ('starts_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField()),
                ('follows_event', models.BooleanField()),
                ('expires_at', models.DateTimeField(null=True)),
                ('from_kits', models.BooleanField(default=False)),
                ('proof', models.CharField(choices=[('free', 'free'), ('bound', 'bound'), ('exact', 'exact'), ('undecided', 'undecided')], default='free', max_length=10)),
                ('booked_at', models.DateTimeField()),
                ('version', models.PositiveIntegerField(default=1)),
                ('booked_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('kit', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='bookings', to='inventory.kit')),
                ('spec', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='bookings', to='inventory.spec')),
                ('unit', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='bookings', to='inventory.unit')),
                ('event', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='bookings', to='scheduling.event')),
            ],
        ),
        migrations.CreateModel(
            name='Phase',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('prep', 'prep'), ('load-in', 'load-in'), ('show', 'show'), ('load-out', 'load-out'), ('return', 'return')], max_length=10)),
                ('starts_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField()),
                ('event', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='phases', to='scheduling.event')),
            ],
            options={
                'ordering': ['starts_at', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Shortfall',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.PositiveIntegerField(default=1)),
                ('reason', models.CharField(choices=[('conflict', 'conflict'), ('held-back', 'held-back'), ('late', 'late'), ('empty-position', 'empty-position'), ('out-of-pool', 'out-of-pool'), ('not-enough', 'not-enough'), ('taken-on-site', 'taken-on-site')], max_length=16)),
                ('opened_at', models.DateTimeField()),
                ('closed_at', models.DateTimeField(null=True)),
                ('closed_how', models.CharField(choices=[('filled', 'filled'), ('replaced', 'replaced'), ('not-wanted', 'not-wanted'), ('cancelled', 'cancelled')], max_length=12, null=True)),
                ('booking', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='shortfalls', to='scheduling.booking')),
                ('position', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to='inventory.position')),
                ('rival', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='scheduling.booking')),
                ('spec', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='shortfalls', to='inventory.spec')),
                ('unit', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='shortfalls', to='inventory.unit')),
            ],
        ),
        migrations.CreateModel(
            name='Venue',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=200)),
                ('timezone', models.CharField(max_length=60)),
                ('rules', models.CharField(choices=[('iec', 'iec'), ('north_america', 'north_america')], max_length=20, null=True)),
                ('lan_ranges', models.JSONField(default=list)),
                ('internet_down_mbps', models.FloatField(null=True)),
                ('internet_up_mbps', models.FloatField(null=True)),
                ('ambient_celsius', models.FloatField(null=True)),
                ('version', models.PositiveIntegerField(default=1)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('rules__in', ['iec', 'north_america']), ('rules__isnull', True), _connector='OR'), name='scheduling_venue_rules_known'), models.CheckConstraint(condition=models.Q(('internet_down_mbps__gte', 0)), name='scheduling_venue_down_not_negative'), models.CheckConstraint(condition=models.Q(('internet_up_mbps__gte', 0)), name='scheduling_venue_up_not_negative')],
            },
        ),
        migrations.AddField(
            model_name='event',
            name='venue',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='events', to='scheduling.venue'),
        ),
        migrations.CreateModel(
            name='VenueCircuit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=100)),
                ('sort', models.PositiveIntegerField(default=0)),
                ('breaker_a', models.FloatField(null=True)),
                ('volts', models.FloatField(null=True)),
                ('leg', models.CharField(blank=True, default='', max_length=20)),
                ('curve', models.CharField(choices=[('B', 'B'), ('C', 'C'), ('D', 'D')], max_length=2, null=True)),
                ('rcd_ma', models.FloatField(null=True)),
                ('rcd_type', models.CharField(choices=[('AC', 'AC'), ('A', 'A'), ('F', 'F'), ('B', 'B')], max_length=2, null=True)),
                ('connector', models.CharField(max_length=40, null=True)),
                ('zone', models.CharField(blank=True, default='', max_length=100)),
                ('already_used_a', models.FloatField(null=True)),
                ('venue', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='circuits', to='scheduling.venue')),
            ],
            options={
                'ordering': ['sort', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Claim',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('starts_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField()),
                ('standing', models.CharField(choices=[('soft', 'soft'), ('firm', 'firm'), ('released', 'released')], max_length=10)),
                ('dealt', models.BooleanField()),
                ('pinned_at', models.DateTimeField(null=True)),
                ('pinned_why', models.CharField(blank=True, default='', max_length=40)),
                ('released_at', models.DateTimeField(null=True)),
                ('booking', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='claims', to='scheduling.booking')),
                ('position', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to='inventory.position')),
                ('unit', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='claims', to='inventory.unit')),
            ],
            options={
                'indexes': [models.Index(condition=models.Q(('standing', 'released'), _negated=True), fields=['unit', 'starts_at', 'ends_at'], name='scheduling_claim_of_unit'), models.Index(condition=models.Q(('standing', 'released'), _negated=True), fields=['ends_at', 'starts_at'], name='scheduling_claim_in_time')],
                'constraints': [inventory.base.no_overlap.NoOverlap(ends='ends_at', name='scheduling_claim_firm_alone', of='unit', only=('standing', 'firm'), starts='starts_at'), models.UniqueConstraint(condition=models.Q(('standing', 'released'), _negated=True), fields=('booking', 'unit'), name='scheduling_claim_unit_once_a_booking'), models.CheckConstraint(condition=models.Q(models.Q(('released_at__isnull', False), ('standing', 'released')), models.Q(models.Q(('standing', 'released'), _negated=True), ('released_at__isnull', True)), _connector='OR'), name='scheduling_claim_released_when'), models.CheckConstraint(condition=models.Q(('standing__in', ['soft', 'firm', 'released'])), name='scheduling_claim_standing_known'), models.CheckConstraint(condition=models.Q(('ends_at__gt', models.F('starts_at'))), name='scheduling_claim_ends_after_start')],
            },
        ),
        migrations.AddIndex(
            model_name='booking',
            index=models.Index(condition=models.Q(('state', 'cancelled'), _negated=True), fields=['kit', 'ends_at'], name='scheduling_booking_of_kit'),
        ),
        migrations.AddIndex(
            model_name='booking',
            index=models.Index(condition=models.Q(('state', 'cancelled'), _negated=True), fields=['spec'], name='scheduling_booking_of_spec'),
        ),
        migrations.AddIndex(
            model_name='booking',
            index=models.Index(condition=models.Q(('state', 'pencil')), fields=['expires_at'], name='scheduling_booking_pencils'),
        ),
        migrations.AddConstraint(
            model_name='booking',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('kit__isnull', False), ('spec__isnull', True), ('unit__isnull', True)), models.Q(('kit__isnull', True), ('spec__isnull', True), ('unit__isnull', False)), models.Q(('kit__isnull', True), ('spec__isnull', False), ('unit__isnull', True)), _connector='OR'), name='scheduling_booking_wants_one_thing'),
        ),
        migrations.AddConstraint(
            model_name='booking',
            constraint=models.CheckConstraint(condition=models.Q(('spec__isnull', False), ('quantity', 1), _connector='OR'), name='scheduling_booking_counts_specs_only'),
        ),
        migrations.AddConstraint(
            model_name='booking',
            constraint=models.CheckConstraint(condition=models.Q(('spec__isnull', False), ('from_kits', False), _connector='OR'), name='scheduling_booking_only_specs_strip_kits'),
        ),
        migrations.AddConstraint(
            model_name='booking',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('state', 'pencil'), _negated=True), ('expires_at__isnull', False), _connector='OR'), name='scheduling_booking_pencil_expires'),
        ),
        migrations.AddConstraint(
            model_name='booking',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['pencil', 'confirmed', 'cancelled'])), name='scheduling_booking_state_known'),
        ),
        migrations.AddConstraint(
            model_name='booking',
            constraint=models.CheckConstraint(condition=models.Q(('proof__in', ['free', 'bound', 'exact', 'undecided'])), name='scheduling_booking_proof_known'),
        ),
        migrations.AddConstraint(
            model_name='booking',
            constraint=models.CheckConstraint(condition=models.Q(('quantity__gte', 1)), name='scheduling_booking_quantity_positive'),
        ),
        migrations.AddConstraint(
            model_name='booking',
            constraint=models.CheckConstraint(condition=models.Q(('ends_at__gt', models.F('starts_at'))), name='scheduling_booking_ends_after_start'),
        ),
        migrations.AddConstraint(
            model_name='phase',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['prep', 'load-in', 'show', 'load-out', 'return'])), name='scheduling_phase_kind_known'),
        ),
        migrations.AddConstraint(
            model_name='phase',
            constraint=models.CheckConstraint(condition=models.Q(('ends_at__gt', models.F('starts_at'))), name='scheduling_phase_ends_after_start'),
        ),
        migrations.AddIndex(
            model_name='shortfall',
            index=models.Index(condition=models.Q(('closed_at__isnull', True)), fields=['booking'], name='scheduling_shortfall_open'),
        ),
        migrations.AddIndex(
            model_name='shortfall',
            index=models.Index(condition=models.Q(('closed_at__isnull', True)), fields=['unit'], name='scheduling_shortfall_of_unit'),
        ),
        migrations.AddConstraint(
            model_name='shortfall',
            constraint=models.CheckConstraint(condition=models.Q(('reason__in', ['conflict', 'held-back', 'late', 'empty-position', 'out-of-pool', 'not-enough', 'taken-on-site'])), name='scheduling_shortfall_reason_known'),
        ),
        migrations.AddConstraint(
            model_name='shortfall',
            constraint=models.CheckConstraint(condition=models.Q(('closed_how__in', ['filled', 'replaced', 'not-wanted', 'cancelled']), ('closed_how__isnull', True), _connector='OR'), name='scheduling_shortfall_closed_how_known'),
        ),
        migrations.AddConstraint(
            model_name='shortfall',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('closed_at__isnull', True), ('closed_how__isnull', True)), models.Q(('closed_at__isnull', False), ('closed_how__isnull', False)), _connector='OR'), name='scheduling_shortfall_closed_somehow'),
        ),
        migrations.AddConstraint(
            model_name='shortfall',
            constraint=models.CheckConstraint(condition=models.Q(('unit__isnull', True), ('quantity', 1), _connector='OR'), name='scheduling_shortfall_names_one_unit'),
        ),
        migrations.AddConstraint(
            model_name='shortfall',
            constraint=models.CheckConstraint(condition=models.Q(('quantity__gte', 1)), name='scheduling_shortfall_quantity_positive'),
        ),
        migrations.AddIndex(
            model_name='event',
            index=models.Index(fields=['gear_out_at', 'id'], name='scheduling_event_in_time'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['enquiry', 'confirmed', 'closed', 'cancelled'])), name='scheduling_event_state_known'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(('gear_back_at__gt', models.F('gear_out_at'))), name='scheduling_event_back_after_out'),
        ),
        migrations.AddConstraint(
            model_name='venuecircuit',
            constraint=models.UniqueConstraint(fields=('venue', 'name'), name='scheduling_venuecircuit_name_once_a_venue'),
        ),
        migrations.AddConstraint(
            model_name='venuecircuit',
            constraint=models.CheckConstraint(condition=models.Q(('curve__in', ['B', 'C', 'D']), ('curve__isnull', True), _connector='OR'), name='scheduling_venuecircuit_curve_known'),
        ),
        migrations.AddConstraint(
            model_name='venuecircuit',
            constraint=models.CheckConstraint(condition=models.Q(('rcd_type__in', ['AC', 'A', 'F', 'B']), ('rcd_type__isnull', True), _connector='OR'), name='scheduling_venuecircuit_rcd_type_known'),
        ),
        migrations.AddConstraint(
            model_name='venuecircuit',
            constraint=models.CheckConstraint(condition=models.Q(('breaker_a__gt', 0)), name='scheduling_venuecircuit_breaker_positive'),
        ),
        migrations.AddConstraint(
            model_name='venuecircuit',
            constraint=models.CheckConstraint(condition=models.Q(('volts__gt', 0)), name='scheduling_venuecircuit_volts_positive'),
        ),
        migrations.AddConstraint(
            model_name='venuecircuit',
            constraint=models.CheckConstraint(condition=models.Q(('rcd_ma__gt', 0)), name='scheduling_venuecircuit_rcd_positive'),
        ),
        migrations.AddConstraint(
            model_name='venuecircuit',
            constraint=models.CheckConstraint(condition=models.Q(('already_used_a__gte', 0)), name='scheduling_venuecircuit_used_not_negative'),
        ),
    ]
