from django.apps import AppConfig


class CoverConfig(AppConfig):
    name = "shoprepair.cover"

    def ready(self) -> None:
        from shoprepair.cover import claim_guards, giving, leaving, uncovered
        from shoprepair.shop import lasting
        from shoprepair.work.signals import handed_back, taken_back

        claim_guards.keep_ways()
        # The bench hands gear back without knowing of covers; they follow it here.
        handed_back.connect(giving.on_handed_back, dispatch_uid="cover.given")
        taken_back.connect(giving.on_taken_back, dispatch_uid="cover.taken-back")
        leaving.keep()
        lasting.add(uncovered.PHOTOS, uncovered.CONTACTS)
