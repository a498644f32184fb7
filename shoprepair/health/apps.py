from django.apps import AppConfig


class HealthConfig(AppConfig):
    name = "shoprepair.health"

    def ready(self) -> None:
        from shoprepair import checks

        checks.register()
