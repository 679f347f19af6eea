"""Backup and restore: one file that holds everything, proven by digest."""
