from django.apps import AppConfig


class GearConfig(AppConfig):
    name = "shoprepair.gear"
