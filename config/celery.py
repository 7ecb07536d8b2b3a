"""The Celery application: a doorbell for the background checks, never the place where work is kept."""

import os
import warnings

from celery import Celery
from celery.platforms import SecurityWarning

from config import broker

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

# It warns of messages that run code; ours are JSON, and on a fresh machine or in a container root is who there is.
warnings.filterwarnings("ignore", category=SecurityWarning)

broker.register()
app = Celery("road-cases")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
