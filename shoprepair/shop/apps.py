from django.apps import AppConfig


class ShopConfig(AppConfig):
    name = "shoprepair.shop"
