"""The application as a WSGI server sees it."""

from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firstpush.web.settings")
application = get_wsgi_application()
