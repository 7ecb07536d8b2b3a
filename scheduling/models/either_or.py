from django.db import models


class EitherOr(models.Model):
    """Several dates for one show, of which one will be taken: each is an event, and the gear of all is pencilled."""

    name = models.CharField(max_length=200)

    def __str__(self) -> str:
        return self.name
