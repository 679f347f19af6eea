#!/usr/bin/env python3
"""The command of the catalogue in a checkout, where nothing needs to be installed as `siltmark`."""

from catalogue.__main__ import main

if __name__ == "__main__":
    main()
