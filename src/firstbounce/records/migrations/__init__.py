"""Migrations, oldest first; run by `records.migrate`."""
