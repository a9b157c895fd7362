"""A story section by section, one way for every reader and every language."""
