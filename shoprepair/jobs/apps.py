from django.apps import AppConfig


class JobsConfig(AppConfig):
    name = "shoprepair.jobs"

    def ready(self) -> None:
        from shoprepair.jobs import leaving

        leaving.keep()
