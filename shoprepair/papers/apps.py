from django.apps import AppConfig


class PapersConfig(AppConfig):
    name = "shoprepair.papers"

    def ready(self) -> None:
        from shoprepair.papers import kept
        from shoprepair.shop import daily
        from shoprepair.shop.archive import registry

        registry.MADE_AGAIN.add(kept.FOLDER)
        daily.duty("papers-swept", kept.sweep)
