"""What is kept, in SQLite or PostgreSQL; the only package that knows SQL.

Import :mod:`formulary.records.opening` when the store is opened, not before: SQLAlchemy takes a
fifth of a second to load.
"""
