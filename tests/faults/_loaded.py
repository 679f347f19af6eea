"""Imported by the process that forks (`_warm`): every module of the program, and nothing opened."""

import os
from pathlib import Path

from catalogue import environment

environment.keep_secret_key(Path(os.environ["SILTMARK_DATA"]))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")

import django  # noqa: E402  # after what the settings read

django.setup()

from django.db import connections  # noqa: E402
from django.urls import get_resolver  # noqa: E402

import catalogue.access.startup.server  # noqa: E402, F401

get_resolver().url_patterns  # noqa: B018  # to read it is to load it
connections.close_all()
