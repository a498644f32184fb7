from django.apps import AppConfig


class CoverConfig(AppConfig):
    name = "shoprepair.cover"
