"""Django's settings: the same for everybody; what differs comes from ``config.environment``."""

import sys
from datetime import timedelta
from typing import Any

from config.environment import PROJECT_DIR, EnvironmentInvalidError, database_settings, read_environment

try:
    ENVIRONMENT = read_environment()
except EnvironmentInvalidError as error:
    sys.exit(str(error))

SECRET_KEY = ENVIRONMENT.secret_key
DEBUG = False
ALLOWED_HOSTS = list(ENVIRONMENT.allowed_hosts)
ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "base.User"
APPEND_SLASH = False

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "rest_framework",
    "django_filters",
    "knox",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "django_htmx",
    "inventory.base",
    "inventory",
    "scheduling",
    "web",
    "django.forms",  # after our own, which has a template of its own for choices
]

MIDDLEWARE = [
    "config.middleware.RequestIdMiddleware",
    "web.middleware.ContentSecurityMiddleware",
    "config.middleware.BodyLimitMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "web.middleware.ReaderClockMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "web.middleware.RefusedMiddleware",
]

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "OPTIONS": {
            "context_processors": ["django.template.context_processors.request"],
            "loaders": [("django.template.loaders.cached.Loader", ["web.template_loader.Loader"])],
        },
    }
]

FORM_RENDERER = "django.forms.renderers.TemplatesSetting"

DATABASES = {"default": database_settings(ENVIRONMENT.database_url)}

AUTHENTICATION_BACKENDS = ["inventory.signed_in.PersonWithRoles"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "/sign-in/"

# The counters of the rate limits: one web process shares its memory; several share Redis. And the layouts of drawings,
# which are costly to make and known by their content, as files.
CACHES: dict[str, dict[str, Any]] = {
    "default": (
        {
            "BACKEND": "config.counters.SharedCounters",
            "LOCATION": ENVIRONMENT.redis_url,
            "KEY_PREFIX": str(DATABASES["default"]["NAME"]),
        }
        if ENVIRONMENT.redis_url
        else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
    ),
    "layouts": {
        "BACKEND": "django.core.cache.backends.filebased.FileBasedCache",
        "LOCATION": str(ENVIRONMENT.data_dir / "layouts"),
        "TIMEOUT": None,
        "OPTIONS": {"MAX_ENTRIES": 2000},
    },
}

USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"
USE_I18N = False

STATIC_URL = "/static/"
STATIC_ROOT = ENVIRONMENT.data_dir / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
WHITENOISE_MANIFEST_STRICT = True

DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if ENVIRONMENT.https else None
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = ENVIRONMENT.https
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CSRF_FAILURE_VIEW = "config.problems.csrf_failure"

REST_FRAMEWORK = {
    # The token class first: it has a challenge to send, so the anonymous get 401 and not 403.
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "knox.auth.TokenAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["inventory.base.api.permissions.RolePermission"],
    "DEFAULT_THROTTLE_CLASSES": ["inventory.base.api.throttles.AccountThrottle"],
    "DEFAULT_PARSER_CLASSES": ["inventory.base.api.parsers.StrictJSONParser"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_SCHEMA_CLASS": "inventory.base.api.schema.Schema",
    "EXCEPTION_HANDLER": "config.problems.problem_response",
    "UNAUTHENTICATED_USER": "django.contrib.auth.models.AnonymousUser",
    "COMPACT_JSON": True,
    "URL_FORMAT_OVERRIDE": None,  # otherwise ?format= would bypass the list of known filters
}
REST_KNOX = {
    "TOKEN_TTL": timedelta(days=30),
    "AUTH_HEADER_PREFIX": "Token",
    "TOKEN_LIMIT_PER_USER": None,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Road cases",
    "DESCRIPTION": "Inventory, kit reservation and engineering checks for a small production company.",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    "SERVE_INCLUDE_SCHEMA": True,
    "SERVE_PERMISSIONS": ["rest_framework.permissions.AllowAny"],
    "SERVE_AUTHENTICATION": [],
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "COMPONENT_SPLIT_REQUEST": True,
    "ENUM_GENERATE_CHOICE_DESCRIPTION": False,
    "POSTPROCESSING_HOOKS": [],
}

# The settings of the service itself, under one name so that rooms below can read them.
LIMITS: dict[str, Any] = {
    "rate_per_s": ENVIRONMENT.rate_per_s,
    "rate_burst": ENVIRONMENT.rate_burst,
    "logins_per_minute": ENVIRONMENT.logins_per_minute,
}
DEMO = ENVIRONMENT.demo

CELERY_BROKER_URL = ENVIRONMENT.redis_url or "folder://"
CELERY_BROKER_CONNECTION_TIMEOUT = 1
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_TRANSPORT_OPTIONS = (
    # An edit must not wait for a broker that is down: the row is the queue, the message only rings the bell.
    {
        "socket_timeout": 1,
        "socket_connect_timeout": 1,
        "visibility_timeout": 300,
        "max_retries": 0,
        # One Redis may serve several installations: none hears another's bell.
        "global_keyprefix": f"{DATABASES['default']['NAME']}:",
    }
    if ENVIRONMENT.redis_url
    else {
        "data_folder_in": str(ENVIRONMENT.data_dir / "broker"),
        "data_folder_out": str(ENVIRONMENT.data_dir / "broker"),
        "control_folder": str(ENVIRONMENT.data_dir / "broker" / "control"),
        "polling_interval": 0.1,
    }
)
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_PUBLISH_RETRY = False
CELERY_TASK_ACKS_LATE = True
CELERY_WORKER_ENABLE_REMOTE_CONTROL = False
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_BEAT_SCHEDULE = {"ring-for-checks": {"task": "inventory.tasks.make_due_and_drain", "schedule": 20.0}}
CELERY_BEAT_SCHEDULER = "celery.beat.Scheduler"  # in memory: one entry has nothing to remember from run to run

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "filters": {
        # Being busy or not ready is said in the answer; the log keeps what is broken.
        "broken": {
            "()": "django.utils.log.CallbackFilter",
            "callback": lambda record: getattr(record, "status_code", None) != 503,
        }
    },
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "loggers": {
        "django.request": {"level": "ERROR", "filters": ["broken"]},
        "kombu": {"level": "ERROR"},
    },
    "root": {"handlers": ["stderr"], "level": "WARNING"},
}
BASE_DIR = PROJECT_DIR
