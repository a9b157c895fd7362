"""Typed lines to meaning without a language, and meaning to the words of a language from data files."""
