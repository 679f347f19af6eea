"""Settings of the catalogue. Everything that differs between machines comes from `environment`."""

from csp.constants import NONE, SELF

from catalogue import environment
from catalogue.database_url import database_settings
from catalogue.time_zone import zone_name

DATA_DIR = environment.data_folder()
SECRET_KEY = environment.secret_key(DATA_DIR)
DEBUG = False
# Exact names: a page elsewhere that points its own name at this machine gets nothing (DNS rebinding).
# `start --lan` adds the machine's own addresses, and its name within the local network.
PORT = environment.port()
LAN = bool(environment.words_from("SILTMARK_LAN"))
LAN_ADDRESSES = environment.words_from("SILTMARK_LAN_ADDRESSES") if LAN else []
LAN_NAMES = environment.words_from("SILTMARK_LAN_NAMES") if LAN else []
ALLOWED_HOSTS = [
    "127.0.0.1",
    "localhost",
    "[::1]",
    *LAN_ADDRESSES,
    *LAN_NAMES,
    *environment.words_from("SILTMARK_HOSTS"),
]

# An invented catalogue, thrown away at the end.
DEMO = bool(environment.words_from("SILTMARK_DEMO"))

# Django's plain tables, only to look at, and only where they were asked for.
ADMINISTRATION = bool(environment.words_from("SILTMARK_ADMIN"))

INSTALLED_APPS = [
    "catalogue.access.administration.AdministrationConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.forms",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_filters",
    "django_htmx",
    "simple_history",
    "csp",
    "catalogue.common",
    "catalogue.access",
    "catalogue.people",
    "catalogue.shelves",
    "catalogue.sites",
    "catalogue.specimens",
    "catalogue.photos",
    "catalogue.care",
    "catalogue.giving",
    "catalogue.labels",
    "catalogue.exchange",
    "catalogue.pages",
]

MIDDLEWARE = [
    "catalogue.access.middleware.HeadWithoutBody",
    # Above all that writes into a body, static files included.
    "catalogue.access.middleware.CompressedText",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "catalogue.common.localisation.ViewerDates",
    "catalogue.access.errors.NumberedErrors",
    "catalogue.access.middleware.HostsOwnName",
    # Before the session is looked up by its cookie.
    "catalogue.access.storable_text.StorablePath",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "catalogue.access.middleware.SignInOutsideParts",
    "catalogue.access.middleware.OwnersPages",
    # Every page is the owner's unless its view says @login_not_required.
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "catalogue.access.storable_text.StorableFields",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "catalogue.access.middleware.WrongMethodPage",
    "catalogue.access.middleware.RedirectAsHeader",
    "catalogue.access.full_disk.FullDisk",
]

ROOT_URLCONF = "catalogue.urls"
WSGI_APPLICATION = "catalogue.wsgi.application"
LOGIN_URL = "access:enter"
LOGIN_REDIRECT_URL = "/"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [environment.resource_folder("templates")],
        "APP_DIRS": True,
        "OPTIONS": {
            # `{% form_key %}` belongs into every form that is posted, like `{% csrf_token %}`.
            "builtins": [
                "catalogue.common.forms.idempotency_key",
                "catalogue.common.localisation",
                "catalogue.care.stored_flags",
                "catalogue.pages.parts.history_kinds",
            ],
            # Tags that stand beside what they write, by the name that templates load them by.
            "libraries": {
                "quantities": "catalogue.common.localisation",
                "house_words": "catalogue.common.words",
                "trade_terms": "catalogue.common.words.trade_terms",
                "many": "catalogue.pages.finds.many.menu",
            },
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "catalogue.pages.context.house",
            ],
        },
    },
]

FORM_RENDERER = "catalogue.common.forms.renderer.FieldGroupRenderer"

DATABASES = {"default": database_settings(DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.ScryptPasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

LANGUAGE_CODE = "en-gb"
TIME_ZONE = zone_name()
USE_I18N = True
USE_TZ = True
DATE_FORMAT = "j M Y"

STATIC_URL = "static/"
STATICFILES_DIRS = [environment.resource_folder("static")]
# Served straight from the source folders: nothing to collect on a diver's laptop.
WHITENOISE_USE_FINDERS = True
# Nobody else's page has a use for them.
WHITENOISE_ALLOW_ALL_ORIGINS = False
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
# Pictures are not static files: one small view serves them after asking who is looking.
MEDIA_ROOT = DATA_DIR / "files"

FILE_UPLOAD_HANDLERS = [
    "catalogue.common.kept_files.SizeLimit",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
UPLOAD_MAX_BYTES = 80 * 1024 * 1024
PICTURE_MAX_PIXELS = 120_000_000
DATA_UPLOAD_MAX_NUMBER_FILES = 200
DATA_UPLOAD_MAX_NUMBER_FIELDS = 4000

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        # blob: the picture chosen on a phone is shown before it is sent.
        "img-src": [SELF, "data:", "blob:"],
        "script-src": [SELF],
        "style-src": [SELF],
        "object-src": [NONE],
        "base-uri": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 365
SESSION_COOKIE_NAME = f"siltmark_session_{environment.cookie_mark(DATA_DIR)}"
CSRF_COOKIE_NAME = f"siltmark_csrf_{environment.cookie_mark(DATA_DIR)}"
CSRF_FAILURE_VIEW = "catalogue.pages.errors.csrf_failure"
# On one's own machine and home network there is no certificate: these four ask for https.
# They are silenced only while https is off; SILTMARK_HTTPS=1 turns its rules on, behind a proxy that has it.
HTTPS = bool(environment.words_from("SILTMARK_HTTPS"))
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
# Browsers heed this rule on this machine and under https alone; elsewhere they only complain about it.
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin" if HTTPS or not LAN else None
SECURE_HSTS_SECONDS = 3600 if HTTPS else 0
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if HTTPS else None
SILENCED_SYSTEM_CHECKS = (
    ["security.W005", "security.W021"]
    if HTTPS
    else ["security.W004", "security.W008", "security.W012", "security.W016"]
)

SIMPLE_HISTORY_HISTORY_CHANGE_REASON_USE_TEXT_FIELD = True

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line", "level": "WARNING"}},
    "root": {"handlers": ["console"], "level": "INFO"},
}
