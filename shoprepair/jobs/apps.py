from django.apps import AppConfig


class JobsConfig(AppConfig):
    name = "shoprepair.jobs"

    def ready(self) -> None:
        from django.db.models.signals import post_save

        from shoprepair.jobs import judging_anew, leaving
        from shoprepair.jobs.enquiries import coming, forgetting
        from shoprepair.jobs.signals import moved
        from shoprepair.shop import daily, lasting
        from shoprepair.shop.models import JournalEntry

        leaving.keep()
        moved.connect(coming.on_moved, dispatch_uid="jobs.enquiries")
        post_save.connect(judging_anew.on_written, sender=JournalEntry, dispatch_uid="jobs.judging-anew")
        daily.duty("enquiries-forgotten", forgetting.forget_due)
        daily.watch(judging_anew.NAME, judging_anew.look)
        lasting.add(forgetting.KIND)
