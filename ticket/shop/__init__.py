"""One open shop: the verbs that the command line and the screens both call."""
