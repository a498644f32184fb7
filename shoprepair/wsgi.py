import os

from django.core.wsgi import get_wsgi_application

from shoprepair.serve import check_settings

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shoprepair.settings")
# Here, so that no server of whatever kind serves a shop that lies open.
check_settings()
application = get_wsgi_application()
