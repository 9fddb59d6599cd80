"""The records: tables, migrations and queries. The only place where SQL is written; see docs/records.md."""
