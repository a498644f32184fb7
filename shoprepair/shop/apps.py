from django.apps import AppConfig


class ShopConfig(AppConfig):
    name = "shoprepair.shop"

    def ready(self) -> None:
        from django.contrib.auth.signals import user_logged_in, user_logged_out

        from shoprepair.shop import daily, damaged, kept_always, lasting, limits, refusals, sessions
        from shoprepair.shop.archive import keeping
        from shoprepair.shop.backup import duties, watching
        from shoprepair.shop.outbox import emptying

        refusals.speak()
        daily.duty("tries-pruned", limits.prune)
        daily.duty("log-ins-pruned", sessions.prune)
        daily.duty("database-checked", damaged.check)
        daily.duty("backed-up", duties.back_up)
        daily.duty("files-checked", duties.check_files)
        daily.duty("journal-compared", duties.compare_journal)
        daily.duty("files-swept", duties.sweep)
        daily.duty("times-over", lasting.let_go)
        daily.watch("backups", watching.look)
        lasting.add(emptying.KIND, keeping.KIND)
        lasting.add_fixed(*kept_always.KINDS)
        user_logged_in.connect(sessions.on_log_in, dispatch_uid="log-in")
        user_logged_out.connect(sessions.on_log_out, dispatch_uid="log-out")
