"""Django's settings; what differs from start to start comes in as environment variables that `serve` sets.

FIRSTPUSH_FOLDER    data folder; left out, the database lies in memory and the key is made up (tests, type check)
FIRSTPUSH_HOSTS     names under which the application may be called, with spaces between
FIRSTPUSH_HTTPS     "1" when served with a certificate
FIRSTPUSH_FIRST_CODE  what the first account must give; left out, it needs no code
FIRSTPUSH_COURT_ADDRESS  address under which phones reach the application, for printed codes, such as
                    https://club.example; left out, that of the request when it is https and not this computer alone
"""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from firstpush.web.database import django_database, put_newest_sqlite_in_place
from firstpush.web.folder import database_of, secret_key_of
from firstpush.web.local_time import local_time_zone

put_newest_sqlite_in_place()

HERE = Path(__file__).parent
FOLDER = Path(os.environ["FIRSTPUSH_FOLDER"]) if os.environ.get("FIRSTPUSH_FOLDER") else None
HTTPS = os.environ.get("FIRSTPUSH_HTTPS") == "1"
FIRST_CODE = os.environ.get("FIRSTPUSH_FIRST_CODE", "")
COURT_ADDRESS = os.environ.get("FIRSTPUSH_COURT_ADDRESS", "").rstrip("/")

DEBUG = False
SECRET_KEY = secrets.token_urlsafe(64) if FOLDER is None else secret_key_of(FOLDER)
ALLOWED_HOSTS = os.environ.get("FIRSTPUSH_HOSTS", "127.0.0.1 localhost [::1]").split()
ROOT_URLCONF = "firstpush.web.urls"
WSGI_APPLICATION = "firstpush.web.wsgi.application"
DATABASES = {"default": django_database(None if FOLDER is None else database_of(FOLDER))}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
EMAIL_BACKEND = "django.core.mail.backends.dummy.EmailBackend"
"""Nothing is ever sent anywhere."""

INSTALLED_APPS = [
    "firstpush.web.club",
    "firstpush.web.athletes",
    "firstpush.web.kit",
    "firstpush.web.exercises",
    "firstpush.web.sessions",
    "firstpush.web.oncourt",
    "firstpush.web.after",
    "firstpush.web.programme",
    "firstpush.web.courses",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "axes",
    "csp",
    "django_htmx",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "firstpush.web.middleware.first_account_middleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "firstpush.web.middleware.nothing_kept_middleware",
    "allauth.account.middleware.AccountMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [HERE / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "firstpush.web.context.membership",
            ],
        },
    }
]
FORM_RENDERER = "firstpush.web.forms.FormsInOurLook"

# People and passwords

AUTH_USER_MODEL = "club.Account"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "allauth.account.auth_backends.AuthenticationBackend",
]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "training_day"

ACCOUNT_ADAPTER = "firstpush.web.club.adapter.NoSignUp"
ACCOUNT_LOGIN_METHODS = {"username"}
ACCOUNT_FORMS = {"login": "firstpush.web.club.login_form.NameAndPassword"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "password1*", "password2*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_LOGOUT_REDIRECT_URL = "account_login"
ACCOUNT_SESSION_REMEMBER = True
# Failed passwords are counted by axes; these limits hold for the codes of the second step.
ACCOUNT_RATE_LIMITS = {"login": "60/m/ip", "login_failed": "30/m/ip,10/300s/key", "reauthenticate": "10/m/user"}
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes"]
MFA_TOTP_ISSUER = "Firstpush"

AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.25  # h
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "account/blocked.html"
AXES_USERNAME_CALLABLE = "firstpush.web.club.adapter.name_tried"
AXES_ENABLE_ADMIN = False
AXES_VERBOSE = False

# Cookies and headers

_HOST_ONLY = "__Host-" if HTTPS else ""
SESSION_COOKIE_NAME = f"{_HOST_ONLY}firstpush_session"
SESSION_COOKIE_AGE = 7 * 24 * 3600  # s
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_NAME = f"{_HOST_ONLY}firstpush_csrf"
CSRF_COOKIE_SECURE = HTTPS
CSRF_COOKIE_HTTPONLY = True
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'"],
        "font-src": ["'self'"],
        "media-src": ["'self'"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "worker-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}

# Static files: served by the application itself, straight from the package

STATIC_URL = "/static/"
STATICFILES_DIRS = [HERE / "static", ("fonts", HERE.parent / "sheets" / "fonts")]
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
# Asked for again each time, and answered "not changed": a new release is seen at once.
WHITENOISE_MAX_AGE = 0
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_MIMETYPES = {".ttf": "font/ttf"}

# Words and time

LANGUAGE_CODE = "en-gb"
USE_I18N = False
USE_TZ = True
TIME_ZONE = local_time_zone()
# The formats of a language win over those in the settings.
FORMAT_MODULE_PATH = "firstpush.web.formats"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"without_token": {"()": "firstpush.web.club.arrival.WithoutToken"}},
    "formatters": {"plain": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "plain", "filters": ["without_token"]}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
    "loggers": {"django": {"handlers": [], "level": "WARNING", "propagate": True}},
}
