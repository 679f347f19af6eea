"""Everything a browser asks for, filed by its address: `/x/…` is `pages/x/`.

May import every app; no app imports it.
"""
