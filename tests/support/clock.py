"""A clock for tests."""

from datetime import UTC, datetime, timedelta

BEGIN = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)


class Clock:
    """Moves a minute each time it is asked."""

    def __init__(self, begin: datetime = BEGIN) -> None:
        self.at = begin

    def __call__(self) -> datetime:
        """The next minute."""
        self.at += timedelta(minutes=1)
        return self.at
