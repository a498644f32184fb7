from django.apps import AppConfig


class JobsConfig(AppConfig):
    name = "shoprepair.jobs"

    def ready(self) -> None:
        from shoprepair.jobs import leaving
        from shoprepair.jobs.enquiries import coming, forgetting
        from shoprepair.jobs.signals import moved
        from shoprepair.shop import daily, lasting

        leaving.keep()
        moved.connect(coming.on_moved, dispatch_uid="jobs.enquiries")
        daily.duty("enquiries-forgotten", forgetting.forget_due)
        lasting.add(forgetting.KIND)
