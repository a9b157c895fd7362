"""When deferred work falls due."""
