"""The database: tables, migrations, repositories."""
