from django.apps import AppConfig


class PricingConfig(AppConfig):
    name = "shoprepair.pricing"
