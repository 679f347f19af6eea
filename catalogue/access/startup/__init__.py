"""Opening the catalogue on one's own machine.

`bootstrap` comes first and knows no Django: the options, the folder, its lock, its secret and the port must
be settled before the settings are read. `server` then opens the catalogue, and uses `database` and `log`.
"""

EXIT_CODE = 2


class StartRefused(Exception):
    """A start that can't be: the sentence that the person reads; the program ends with `EXIT_CODE`."""
