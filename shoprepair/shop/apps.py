from django.apps import AppConfig


class ShopConfig(AppConfig):
    name = "shoprepair.shop"

    def ready(self) -> None:
        from django.contrib.auth.signals import user_logged_in, user_logged_out

        from shoprepair.shop import daily, limits, sessions
        from shoprepair.shop.backup import duties

        daily.duty("tries-pruned", limits.prune)
        daily.duty("log-ins-pruned", sessions.prune)
        daily.duty("backed-up", duties.back_up)
        daily.duty("files-swept", duties.sweep)
        user_logged_in.connect(sessions.on_log_in, dispatch_uid="log-in")
        user_logged_out.connect(sessions.on_log_out, dispatch_uid="log-out")
