"""The Celery application: a doorbell for the background checks, never the place where work is kept."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("road-cases")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
