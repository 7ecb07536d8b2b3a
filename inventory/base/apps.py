from django.apps import AppConfig


class BaseConfig(AppConfig):
    name = "inventory.base"
    label = "base"
    verbose_name = "Foundation"
