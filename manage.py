#!/usr/bin/env python3
"""The one command of the catalogue: `manage.py start` for users, Django's own for whoever builds on it."""

import os
import sys

from catalogue.access.startup import ground


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
    # The folder of the catalogue must be settled before Django reads the settings.
    with ground.around(sys.argv):
        try:
            from django.core.management import execute_from_command_line
        except ModuleNotFoundError:
            sys.exit("Django is not installed here. Run the first command of README.md, which installs it.")
        execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
