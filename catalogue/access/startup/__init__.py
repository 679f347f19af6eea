"""Opening the catalogue on one's own machine.

`ground` comes first and knows no Django: the folder, its lock, its secret and the port must be settled
before the settings are read. `database`, `owner` and `serving` follow.
"""
