from django.apps import AppConfig


class ShopConfig(AppConfig):
    name = "shoprepair.shop"

    def ready(self) -> None:
        from shoprepair.shop import daily, limits

        daily.duty("tries-pruned", limits.prune)
