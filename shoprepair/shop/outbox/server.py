"""The mail server as the settings name it, and what keeps letters from leaving at all."""

from django.conf import settings
from django.utils.translation import gettext

from shoprepair.mail_url import MailServer
from shoprepair.shop.models import Shop


def current() -> MailServer:
    """The mail server of the settings."""
    return MailServer(
        host=settings.EMAIL_HOST,
        port=settings.EMAIL_PORT,
        user=settings.EMAIL_HOST_USER,
        password=settings.EMAIL_HOST_PASSWORD,
        tls=settings.EMAIL_USE_TLS,
        ssl=settings.EMAIL_USE_SSL,
        console=settings.LETTERS_ON_CONSOLE,
    )


def is_set() -> bool:
    """Whether the settings name a mail server at all."""
    server = current()
    return bool(server.host or server.console)


def obstacle(shop: Shop) -> str:
    """Why no letter can leave today, as the rest of a sentence; empty when they can."""
    if not is_set():
        return gettext("no mail server is set")
    return "" if shop.email else gettext("the shop has no e-mail address to write from")
