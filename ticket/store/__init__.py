"""The database: schema, journal, search index. The only place that speaks SQL."""
