from django.apps import AppConfig


class PricingConfig(AppConfig):
    name = "shoprepair.pricing"

    def ready(self) -> None:
        from shoprepair.pricing import guards, leaving

        # The stages belong to jobs, which knows nothing of quotes; they are told here which ways need one.
        guards.keep_ways()
        leaving.keep()
