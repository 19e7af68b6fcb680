"""Where the journal and the weather lie: tables, migrations, backup, archive."""
