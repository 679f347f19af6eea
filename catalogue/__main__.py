"""The one command of the catalogue: `siltmark start` for users, and Django's own for whoever builds on it.

`python manage.py` in a checkout, `python -m catalogue` and the installed command `siltmark` are the same.
"""

import os
import sys

from catalogue import __version__
from catalogue.access.startup import bootstrap


def main() -> None:
    """Run the command of `sys.argv`."""
    if sys.argv[1:] in (["--version"], ["version"]):
        # Django would name its own.
        print(f"Siltmark {__version__}")
        return
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
    # The folder of the catalogue must be settled before Django reads the settings.
    with bootstrap.for_command(sys.argv):
        try:
            from django.core.management import execute_from_command_line
        except ModuleNotFoundError:
            sys.exit("Django is not installed here. Run the first command of README.md, which installs it.")
        execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
