"""Loads templates without the indentation of their source."""

import re

from django.template.base import Origin
from django.template.loaders.app_directories import Loader as AppDirectoriesLoader

INDENTATION = re.compile(r"\n[ \t]+")


class Loader(AppDirectoriesLoader):
    """Templates of the apps, indented for readers and sent without: a long list would be a third indentation.

    Nothing between tags depends on it; what people type reaches a page as a value and keeps its blanks.
    """

    def get_contents(self, origin: Origin) -> str:
        """Return the source with each line at the left edge."""
        return INDENTATION.sub("\n", super().get_contents(origin))
