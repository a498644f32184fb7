from django.apps import AppConfig


class GearConfig(AppConfig):
    name = "shoprepair.gear"

    def ready(self) -> None:
        from shoprepair.gear import describe
        from shoprepair.shop.archive import registry

        # The library is there from the first day; drawings of it are remembered by key and version.
        registry.begun_with("gear.Cloth", "gear.Pattern", "gear.Tube", "gear.Panel", "gear.Valve")
        registry.FORGET.append(describe.forget)
