"""The Django project: environment, settings, addresses, problems, start and stop. Knows every room; none imports it."""

from config.celery import app as celery_app

__all__ = ["celery_app"]
