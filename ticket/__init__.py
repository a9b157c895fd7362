"""A job ticket for vehicle repair: each fact typed once at the bay, told to everyone who needs it."""

__version__ = "0.1.0"
