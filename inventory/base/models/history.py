from django.conf import settings
from django.db import models


class HistoryEntry(models.Model):
    """Who changed what and when; written in the same transaction as the change itself."""

    version = models.BigIntegerField()
    """The ledger's version of the transaction: the order in which changes became true."""
    at = models.DateTimeField()
    actor = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    request_id = models.CharField(max_length=64)
    noun = models.CharField(max_length=40)
    object_id = models.BigIntegerField()
    verb = models.CharField(max_length=40)
    label = models.CharField(max_length=200)
    details = models.JSONField(default=dict)

    class Meta:
        ordering = ["-version", "-id"]
        indexes = [
            models.Index(fields=["noun", "object_id", "-version"], name="base_history_of_object"),
            models.Index(fields=["version", "id"], name="base_history_feed"),
        ]
