from django.conf import settings
from django.db import models


class IdempotentAnswer(models.Model):
    """The first answer to a POST that carried a key, kept in the same transaction as its effect."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    method = models.CharField(max_length=8)
    path = models.CharField(max_length=500)
    key = models.CharField(max_length=255)
    body_sha256 = models.CharField(max_length=64)
    status = models.PositiveSmallIntegerField()
    headers = models.JSONField(default=dict)
    body = models.JSONField(null=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(name="base_idempotentanswer_key_once", fields=["user", "method", "path", "key"])
        ]
        indexes = [models.Index(fields=["created_at"], name="base_idempotentanswer_age")]
