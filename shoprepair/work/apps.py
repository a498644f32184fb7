from django.apps import AppConfig


class WorkConfig(AppConfig):
    name = "shoprepair.work"

    def ready(self) -> None:
        from shoprepair.jobs.signals import moved
        from shoprepair.pricing.signals import accepted
        from shoprepair.shop import daily, lasting, opening
        from shoprepair.work import agreed, forecast, guards, leaving, personal, ready, stale, stints, to_do

        # The stages belong to jobs and the answers to pricing; both are told here what the work adds.
        guards.keep_ways()
        accepted.connect(agreed.on_accepted, dispatch_uid="work.agreed")
        moved.connect(ready.on_moved, dispatch_uid="work.ready")
        moved.connect(stints.on_moved, dispatch_uid="work.stints")
        opening.add_closed(to_do.closed_days)
        stale.follow()
        leaving.keep()
        daily.duty("invoices-unnamed", personal.erase_due)
        lasting.add(personal.KIND)
        daily.duty("dates-reckoned", forecast.refresh)
