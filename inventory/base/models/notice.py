from django.conf import settings
from django.db import models
from django.db.models import Q

MOST_WORDS = 400


class Notice(models.Model):
    """One person is told that somebody else changed something of theirs; written with the change itself."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="notices")
    noun = models.CharField(max_length=40)
    object_id = models.BigIntegerField()
    """What it is about, such as a booking."""
    words = models.CharField(max_length=MOST_WORDS)
    at = models.DateTimeField()
    due_at = models.DateTimeField(null=True)
    """By when it asks for an answer."""
    seen_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [
            models.Index(fields=["person", "-id"], condition=Q(seen_at__isnull=True), name="base_notice_unseen"),
            models.Index(fields=["person", "-id"], name="base_notice_of_person"),
        ]
