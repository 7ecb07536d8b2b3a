from django.db import models


class Pulse(models.Model):
    """When a background process was last seen alive; ``/health/ready/`` reads it."""

    name = models.CharField(max_length=40, primary_key=True)
    at = models.DateTimeField()
