import gc
import os

# All that is loaded here stays; to look through it again and again for what could go is a sixth of the start.
gc.disable()

from django.core.wsgi import get_wsgi_application  # noqa: E402
from django.urls import reverse  # noqa: E402

from shoprepair.serve import check_settings  # noqa: E402

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shoprepair.settings")
# Here, so that no server of whatever kind serves a shop that lies open.
check_settings()
application = get_wsgi_application()
# An address is looked up in a table of all pages: every view is loaded before the first request asks for it.
reverse("login")
gc.freeze()
gc.enable()
