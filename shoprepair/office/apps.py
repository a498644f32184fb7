from django.apps import AppConfig


class OfficeConfig(AppConfig):
    name = "shoprepair.office"

    def ready(self) -> None:
        from shoprepair.office.demo import removing
        from shoprepair.shop import daily

        daily.duty("demo-backups-gone", removing.let_old_go)
