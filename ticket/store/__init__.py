"""The database: schema, journal, search index. The only place that speaks SQL."""

from ticket.store import driver as driver  # first of all: sqlite-utils takes the library that is picked there
